package text

import (
	"encoding/csv"
	"io"
	"strings"
	"unicode"
)

// Table writes comma-separated values by RFC 4180, every cell [Guarded]. In its cells control
// characters but ends of lines are spaces, and bytes that are no UTF-8 are U+FFFD. Every
// table that leaves the program is written by one, and [Unguarded] reads its cells.
type Table struct {
	out *csv.Writer
	row []string
}

// NewTable makes a table of rows that end in LF.
func NewTable(w io.Writer) *Table { return &Table{out: csv.NewWriter(w)} }

// NewTableCRLF makes a table of rows that end in CR LF.
func NewTableCRLF(w io.Writer) *Table {
	t := NewTable(w)
	t.out.UseCRLF = true
	return t
}

// lineEnds are what readers and writers of tables take for one another.
var lineEnds = strings.NewReplacer("\r\n", "\n", "\r", "\n")

// cellOf is text without what readers of tables stumble over: some end a cell at a NUL, and
// many refuse a file that is no UTF-8.
func cellOf(s string) string {
	return strings.Map(func(r rune) rune {
		if r != '\n' && unicode.IsControl(r) {
			return ' '
		}
		return r
	}, lineEnds.Replace(s)) // Map makes U+FFFD of each byte that is no UTF-8
}

// Row writes a row. An error stays until [Table.Flush] tells it.
func (t *Table) Row(cells ...string) {
	t.row = t.row[:0]
	for _, c := range cells {
		t.row = append(t.row, Guarded(cellOf(c)))
	}
	_ = t.out.Write(t.row)
}

// Flush writes what is kept back, and returns the first error of all writing.
func (t *Table) Flush() error {
	t.out.Flush()
	return t.out.Error()
}
