package drawing

import (
	"strings"

	"golang.org/x/text/unicode/norm"

	"github.com/acreband/acreband/zoning/sheet/internal/scripts"
)

// Missing stands for a letter that no font holds.
const Missing = '?'

// alike are signs that the Go fonts do not hold, and theirs that look the same: the letters
// that write a glottal stop are quotation marks, hyphens and spaces what they say.
var alike = map[rune]rune{
	'\u02BB': '‘', '\u02BD': '‛', '\u02BC': '’', '\uA78C': '\'', '\u02B9': '′', '\u02BA': '″',
	'\u2010': '-', '\u2011': '-', '\u2012': '–', '\u2015': '—', '\u3000': ' ',
}

// Spelled is text in the letters that the fonts hold, and reports whether that is all
// of it. Letters and their marks are one where Unicode has them as one (form C), signs
// that look like one of the Go fonts' are that one, and [Missing] stands for any other.
func Spelled(words string) (spelled string, whole bool) {
	spelled, whole, _ = spell(words)
	return spelled, whole
}

// Written is text with the letters that the fonts hold.
func Written(words string) string {
	spelled, _, _ := spell(words)
	return spelled
}

// spell is Spelled, and reports whether letters are used that the Go fonts do not hold.
func spell(words string) (spelled string, whole, wide bool) {
	spelled = strings.Map(func(r rune) rune {
		if plain(r) {
			return r
		}
		if like, known := alike[r]; known {
			return like
		}
		wide = true
		return r
	}, norm.NFC.String(words))
	if !wide {
		return spelled, true, false
	}
	whole, wide = true, false
	var b strings.Builder
	for letter, known := range scripts.Letters(spelled, plain) {
		if known {
			b.WriteString(letter)
			wide = wide || strings.ContainsFunc(letter, func(r rune) bool { return !plain(r) })
			continue
		}
		whole = false
		for range letter {
			b.WriteRune(Missing)
		}
	}
	return b.String(), whole, wide
}

// plain reports whether the Go fonts hold a letter; both hold the same.
func plain(r rune) bool { return regular().advance(r) >= 0 }
