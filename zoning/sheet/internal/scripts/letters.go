package scripts

import (
	"iter"
	"unicode"
	"unicode/utf8"

	"github.com/go-text/typesetting/language"
	"github.com/go-text/typesetting/segmenter"
	"golang.org/x/text/unicode/norm"
)

// A letter has at most this many marks, and runes in all: more of them would be drawn over
// the lines above and below, or make one letter as long as a line.
const mostMarks, mostRunes = 4, 32

// letter is a grapheme cluster (UAX #29): a letter with its marks, or several that join.
type letter struct {
	runes  []rune
	start  int       // in the runes of the line
	face   *typeface // nil leaves it to the caller
	script language.Script
	known  bool // it can be set
}

// Letters are the letters of a text, each with its marks, and whether they can be set.
func Letters(words string, plain func(rune) bool) iter.Seq2[string, bool] {
	return func(yield func(string, bool) bool) {
		for _, l := range letters([]rune(words), plain) {
			if !yield(string(l.runes), l.known) {
				return
			}
		}
	}
}

func letters(line []rune, plain func(rune) bool) []letter {
	var cut segmenter.Segmenter
	cut.Init(line)
	var out []letter
	var before *typeface
	for each := cut.GraphemeIterator(); each.Next(); {
		g := each.Grapheme()
		l := letter{runes: g.Text, start: g.Offset, script: scriptOf(g.Text)}
		switch {
		case overlong(l.runes), unseen(l.runes):
		case all(l.runes, plain):
			l.known = true
		default:
			l.face = faceFor(l, before)
			l.known = l.face != nil
		}
		if l.face != nil {
			before = l.face
		}
		out = append(out, l)
	}
	return out
}

func all(runes []rune, plain func(rune) bool) bool {
	for _, r := range runes {
		if !plain(r) {
			return false
		}
	}
	return true
}

// unseen reports whether a letter has a rune that is not drawn and does more than join: it
// turns the direction of writing, or stands for nothing.
func unseen(runes []rune) bool {
	for i, r := range runes {
		if unicode.Is(unicode.Cf, r) && !(i > 0 && joiner(r)) ||
			unicode.Is(unicode.Other_Default_Ignorable_Code_Point, r) || unicode.Is(unicode.Variation_Selector, r) {
			return true
		}
	}
	return false
}

// overlong reports whether a letter has more marks than any script needs. Those that make
// conjuncts (combining class 9) stand beside each other.
func overlong(runes []rune) bool {
	marks := 0
	var buffer [utf8.UTFMax]byte
	for _, r := range runes {
		if unicode.Is(unicode.Mn, r) || unicode.Is(unicode.Me, r) {
			n := utf8.EncodeRune(buffer[:], r)
			if norm.NFC.Properties(buffer[:n]).CCC() != 9 {
				marks++
			}
		}
	}
	return marks > mostMarks || len(runes) > mostRunes
}

// scriptOf is the script of the first rune that has one of its own.
func scriptOf(runes []rune) language.Script {
	for _, r := range runes {
		if s := language.LookupScript(r); s != language.Common && s != language.Inherited {
			return s
		}
	}
	return language.Common
}

// faceFor is the font that holds a letter: its script's or, of what scripts share, that of
// the letter before, or one that holds most of it. It is nil where none does.
func faceFor(l letter, before *typeface) *typeface {
	if unicode.Is(unicode.M, l.runes[0]) {
		return nil // a mark without a letter
	}
	if name, ok := fileOf[l.script]; ok {
		if t := typefaces[name](); t.holds(l.runes) {
			return t
		}
		return nil
	}
	if l.script != language.Common {
		return nil
	}
	if before != nil && before.holds(l.runes) {
		return before
	}
	for _, name := range []string{latin, cjk} {
		if t := typefaces[name](); t.holds(l.runes) {
			return t
		}
	}
	return nil
}
