package sheet

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning/text"
)

// rungTable is a table of crews whose first column gives way to the others.
type rungTable struct {
	rows   [][]string // the first row its heading
	chosen int        // the row that is recommended; 0 for none
	most   int        // the most lines
}

// leastFirst is the narrowest that the first column gets.
const leastFirst = 14

// lines are the table's, as wide as a brief. What has no room is counted.
func (t rungTable) lines(ink func(style, words string) string) []string {
	rows, more := t.shown()
	widths := make([]int, len(rows[0]))
	for _, row := range rows {
		for i, cell := range row {
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	room := BriefWidth - 2 // the mark before the crew
	for _, w := range widths[1:] {
		room -= w + 2
	}
	widths[0] = max(leastFirst, min(widths[0], room))
	var lines []string
	for i, row := range rows {
		line := "  "
		if i == t.chosen && i > 0 {
			line = "> "
		}
		for k, cell := range row {
			if k == 0 {
				cell = text.Cut(cell, widths[0])
			}
			pad := strings.Repeat(" ", widths[k]-utf8.RuneCountInString(cell))
			if k == 0 {
				line += cell + pad
			} else {
				line += "  " + pad + cell
			}
		}
		line = strings.TrimRight(line, " ")
		switch {
		case i == 0:
			line = ink(bold, line)
		case i == t.chosen:
			line = ink(green, line)
		}
		lines = append(lines, line)
	}
	if more > 0 {
		lines = append(lines, fmt.Sprintf("  and %d more: see %s", more, setting.Name("details")))
	}
	return lines
}

// shown are the rows that there is room for, with the one recommended, and how many are
// left out.
func (t *rungTable) shown() (rows [][]string, more int) {
	if len(t.rows) <= t.most {
		return t.rows, 0
	}
	room := t.most - 1 // the last line counts the others
	from := max(1, min(t.chosen-(room-2), len(t.rows)-(room-1)))
	rows = append(rows, t.rows[0])
	rows = append(rows, t.rows[from:from+room-1]...)
	if t.chosen > 0 {
		t.chosen -= from - 1
	}
	return rows, len(t.rows) - len(rows)
}
