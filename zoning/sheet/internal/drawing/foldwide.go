package drawing

import (
	"strings"

	"github.com/acreband/acreband/zoning/sheet/internal/scripts"
)

// beyond reports whether a text may have letters that the Go fonts do not hold, nor one
// alike: such text is broken and cut between letters with their marks, each line set anew.
func beyond(words string) bool {
	return strings.ContainsFunc(words, func(r rune) bool { return !plain(r) && alike[r] == 0 })
}

// foldWide is [Fold] of such text.
func foldWide(words string, size float64, isBold bool, width float64) []string {
	var out []string
	line := ""
	for _, word := range strings.Fields(Written(words)) {
		rest := lettersOf(word)
		for {
			before := line
			if before != "" {
				before += " "
			}
			n := most(rest, func(head string) bool { return Measure(before+head, size, isBold) <= width })
			if n == len(rest) || line == "" && len(rest) == 1 {
				line = before + strings.Join(rest, "")
				break
			}
			if line != "" {
				out, line = append(out, line), ""
				continue
			}
			n = max(n, 1)
			out, rest = append(out, strings.Join(rest[:n], "")), rest[n:]
		}
	}
	if line != "" {
		out = append(out, line)
	}
	return out
}

// shortenedWide is [Shortened] of such text.
func shortenedWide(words string, size float64, isBold bool, width float64) string {
	fits := func(s string) bool { return Measure(s, size, isBold) <= width }
	letters := lettersOf(Written(words))
	if most(letters, fits) == len(letters) {
		return words
	}
	cut := func(head string) string { return strings.TrimRight(head, " ") + "…" }
	n := most(letters, func(head string) bool { return fits(cut(head)) })
	return cut(strings.Join(letters[:n], ""))
}

// lettersOf are the letters of a text, each with its marks.
func lettersOf(words string) []string {
	var out []string
	for letter := range scripts.Letters(words, plain) {
		out = append(out, letter)
	}
	return out
}

// most is how many letters fit from the beginning. Of a long text it looks at no more than
// twice those that fit.
func most(letters []string, fits func(head string) bool) int {
	few, many := 0, 8 // few fit
	for many < len(letters) && fits(strings.Join(letters[:many], "")) {
		few, many = many, 2*many
	}
	if many = min(many, len(letters)); fits(strings.Join(letters[:many], "")) {
		return many
	}
	for few+1 < many {
		if n := (few + many) / 2; fits(strings.Join(letters[:n], "")) {
			few = n
		} else {
			many = n
		}
	}
	return few
}
