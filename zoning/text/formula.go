package text

import (
	"strconv"
	"strings"
	"unicode"
)

// Guarded keeps a spreadsheet from running text as a formula: text that asks for one has
// an apostrophe put before it. A plain number such as -12.5 stays as it is. [Unguarded]
// takes the apostrophe off again, of any text.
func Guarded(text string) string {
	if asksForFormula(text) {
		return "'" + text
	}
	return text
}

// Unguarded is the text that [Guarded] made its argument of. Text that needs no guard is
// its own, with apostrophes that somebody else put there.
func Unguarded(text string) string {
	if rest, found := strings.CutPrefix(text, "'"); found && asksForFormula(rest) {
		return rest
	}
	return text
}

// formulaSigns are what text begins with that a spreadsheet may run (OWASP, CSV
// Injection: = + - @, tab, line ends and the full-width forms of the signs), and the
// bar, behind which programs are named (dynamic data exchange).
const formulaSigns = "=+-@|＝＋－＠｜"

// asksForFormula reports whether a spreadsheet may run text. What it shows nothing of, a
// byte order mark or a space of no width, counts for nothing before a sign; so do
// apostrophes, lest a guard could not be told from the text's own.
func asksForFormula(text string) bool {
	for i, r := range text {
		switch {
		case r == '\t' || r == '\r' || r == '\n':
			return true
		case strings.ContainsRune(formulaSigns, r):
			return !plainNumber(text[i:])
		case r != '\'' && !unseen(r):
			return false
		}
	}
	return false
}

// unseen reports whether nothing is shown of a character: spaces, control and format
// characters, fillers, and bytes that are none.
func unseen(r rune) bool {
	const blank = '\u2800' // of braille
	return r == blank || unicode.IsSpace(r) || unicode.In(r, unicode.Cc, unicode.Cf, unicode.Mn, unicode.Me, unicode.Other_Default_Ignorable_Code_Point) || r == unicode.ReplacementChar
}

func plainNumber(text string) bool {
	_, err := strconv.ParseFloat(text, 64)
	return err == nil && strings.Trim(text, "+-0123456789.") == ""
}
