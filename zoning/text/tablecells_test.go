package text_test

import (
	"bytes"
	"encoding/csv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/text"
)

// cells are what a reader gets of a table of one column.
func cells(t *testing.T, names ...string) (raw string, read []string) {
	t.Helper()
	var b bytes.Buffer
	table := text.NewTable(&b)
	table.Row("lot", "end")
	for _, name := range names {
		table.Row(name, "x")
	}
	require.NoError(t, table.Flush())
	rows, err := csv.NewReader(strings.NewReader(b.String())).ReadAll()
	require.NoError(t, err)
	for _, row := range rows[1:] {
		read = append(read, row[0])
	}
	return b.String(), read
}

// Names went into cells with the control characters and broken bytes that they had.
func TestCellsHoldNoControlCharactersNorBrokenText(t *testing.T) {
	for name, want := range map[string]string{
		"Lot\x007":          "Lot 7",
		"\x1b[2JLot 7":      " [2JLot 7",
		"Lot\t7":            "Lot 7",
		"Lot\x7f\u0085 7":   "Lot   7",
		"Lot \xff\xfe7":     "Lot \ufffd\ufffd7",
		"Lot \xe2\x82":      "Lot \ufffd\ufffd",
		"\xed\xa0\x80":      "\ufffd\ufffd\ufffd",
		"\x00=1+1":          "' =1+1",
		"\xff=1+1":          "'\ufffd=1+1",
		"\t@SUM(1)":         "' @SUM(1)",
		"a\x0bb\x0cc":       "a b c",
		"two\r\nlines\rand": "two\nlines\nand",
	} {
		raw, read := cells(t, name)
		assert.Equal(t, []string{want}, read, "%q", name)
		assert.True(t, utf8.ValidString(raw), "%q", name)
	}
}

// What nobody attacks with comes back as it was.
func TestCellsOfOrdinaryNamesAreReadBack(t *testing.T) {
	_, read := cells(t, harmless...)
	for i, name := range harmless {
		assert.Equal(t, name, text.Unguarded(read[i]), "%q", name)
	}
}
