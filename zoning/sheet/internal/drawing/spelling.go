package drawing

import (
	"strings"

	"golang.org/x/text/unicode/norm"
)

// Missing stands for a letter that the fonts do not hold.
const Missing = '?'

// alike are signs that the fonts do not hold, and theirs that look the same: the letters
// that write a glottal stop are quotation marks, hyphens and spaces what they say.
var alike = map[rune]rune{
	'\u02BB': '‘', '\u02BD': '‛', '\u02BC': '’', '\uA78C': '\'', '\u02B9': '′', '\u02BA': '″',
	'\u2010': '-', '\u2011': '-', '\u2012': '–', '\u2015': '—', '\u3000': ' ',
}

// Spelled is text in the letters that the fonts hold, and reports whether that is all
// of it. Letters and their marks are one where Unicode has them as one (form C), signs
// that look like one of the fonts' are that one, and [Missing] stands for any other.
func Spelled(words string) (spelled string, whole bool) {
	t := regular() // both hold the same
	whole = true
	return strings.Map(func(r rune) rune {
		if t.advance(r) >= 0 {
			return r
		}
		if like, known := alike[r]; known {
			return like
		}
		whole = false
		return Missing
	}, norm.NFC.String(words)), whole
}

// Written is text with the letters that the fonts hold.
func Written(words string) string {
	spelled, _ := Spelled(words)
	return spelled
}
