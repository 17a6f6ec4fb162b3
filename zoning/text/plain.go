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
// the label. A word that has no room on a line, such as a long path, is broken, behind a slash
// where it has one. The label is written as it is, its spaces too.
func Fold(b *strings.Builder, label, text string, width int) {
	indent := utf8.RuneCountInString(label)
	const least = 8 // beside a label that leaves no room
	room := max(width-indent, least)
	line, used := label, indent
	for i, word := range strings.Fields(OneLine(text)) {
		for k, part := range broken(word, room) {
			n := utf8.RuneCountInString(part)
			switch {
			case i == 0 && k == 0:
			case k > 0 || used+1+n > width:
				b.WriteString(line + "\n")
				line, used = strings.Repeat(" ", indent), indent
			default:
				line, used = line+" ", used+1
			}
			line, used = line+part, used+n
		}
	}
	b.WriteString(line + "\n")
}

// broken is a word in parts no wider than there is room.
func broken(word string, room int) (parts []string) {
	letters := []rune(word)
	for len(letters) > room {
		end := room
		for i := room; i > room/2; i-- {
			if letters[i-1] == '/' || letters[i-1] == '\\' {
				end = i
				break
			}
		}
		parts, letters = append(parts, string(letters[:end])), letters[end:]
	}
	return append(parts, string(letters))
}

// Cut is a text of at most so many characters: what is longer is cut off and ends in an
// ellipsis.
func Cut(text string, width int) string {
	letters := []rune(text)
	if len(letters) <= width {
		return text
	}
	return strings.TrimRight(string(letters[:max(width-1, 0)]), " ") + "…"
}

// ColumnsWithin is [Columns] no wider than a width: the first column is cut where it has to
// be, and those of words after it. Figures are never cut.
func ColumnsWithin(b *strings.Builder, rows [][]string, words, width int) {
	widths := widthsOf(rows)
	over := -2 - width
	for _, w := range widths {
		over += w + 2
	}
	const least = 10 // a word cut shorter tells nothing
	cut := make([][]string, len(rows))
	for r, row := range rows {
		cut[r] = append([]string(nil), row...)
	}
	for i := 0; i < words && i < len(widths) && over > 0; i++ {
		to := max(widths[i]-over, min(widths[i], least))
		over -= widths[i] - to
		for _, row := range cut {
			if i < len(row) {
				row[i] = Cut(row[i], to)
			}
		}
	}
	Columns(b, cut, words)
}

// widthsOf are the widths of columns, each as wide as its widest cell.
func widthsOf(rows [][]string) (widths []int) {
	for _, row := range rows {
		for i, cell := range row {
			if i == len(widths) {
				widths = append(widths, 0)
			}
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	return widths
}

// Columns writes cells in columns as wide as their widest, two spaces apart; the first
// few are words, the others end on the right.
func Columns(b *strings.Builder, rows [][]string, words int) {
	widths := widthsOf(rows)
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
