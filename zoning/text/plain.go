package text

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// OneLine makes text fit for a line of a terminal or of a picture: white space and
// control characters become single spaces, format characters (those that turn the
// direction of writing) go, and so do bytes that are no UTF-8.
func OneLine(s string) string {
	s = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsControl(r):
			return ' '
		case unicode.Is(unicode.Cf, r):
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, ""))
	return strings.Join(strings.Fields(s), " ")
}

// Lines makes text of several lines fit for a terminal: control and format characters go
// as in [OneLine], but for the ends of lines and tabs.
func Lines(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t':
		case unicode.IsControl(r):
			return ' '
		case unicode.Is(unicode.Cf, r):
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, ""))
}

// longestName is how many bytes of a name are part of a file's: file systems take 255
// in all.
const longestName = 100

// FileName is what of a name any file system takes: letters, digits, and -_. of it, the
// rest as underscores, cut short where it is long. Different names may become the same.
func FileName(name string) string {
	clean := strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune("-_.", r) {
			return r
		}
		return '_'
	}, name)
	if len(clean) > longestName {
		clean = strings.ToValidUTF8(clean[:longestName], "")
	}
	return clean
}

// Fold writes a label and text after it, folded at spaces to a width and set in below
// the label. The label is written as it is, its spaces too.
func Fold(b *strings.Builder, label, text string, width int) {
	indent := utf8.RuneCountInString(label)
	line, used := label, indent
	for i, word := range strings.Fields(OneLine(text)) {
		n := utf8.RuneCountInString(word)
		switch {
		case i == 0:
		case used+1+n > width:
			b.WriteString(line + "\n")
			line, used = strings.Repeat(" ", indent), indent
		default:
			line, used = line+" ", used+1
		}
		line, used = line+word, used+n
	}
	b.WriteString(line + "\n")
}

// Columns writes cells in columns as wide as their widest, two spaces apart; the first
// few are words, the others end on the right.
func Columns(b *strings.Builder, rows [][]string, words int) {
	var widths []int
	for _, row := range rows {
		for i, cell := range row {
			if i == len(widths) {
				widths = append(widths, 0)
			}
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	for _, row := range rows {
		line := ""
		for i, cell := range row {
			if i > 0 {
				line += "  "
			}
			pad := strings.Repeat(" ", widths[i]-utf8.RuneCountInString(cell))
			if i < words {
				line += cell + pad
			} else {
				line += pad + cell
			}
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
}
