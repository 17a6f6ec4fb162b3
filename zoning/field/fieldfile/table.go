package fieldfile

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strings"

	"github.com/acreband/acreband/zoning/text"
)

// Row is a line of a table.
type Row struct {
	Line  int
	cells map[string]string
}

// Get returns the text under a column, trimmed and without the guard of
// [text.Guarded]; "" where the table has no such column.
func (r Row) Get(column string) string { return r.cells[column] }

// Table reads comma-separated values. Its first line names the columns, in any
// case and order; columns that are not among the known ones are passed over.
// Where that line names none of them it is a row itself, and its values are those
// of the columns in the order given. Lines without a value are left out.
func Table(file string, data []byte, columns []string) ([]Row, error) {
	if err := parsable(file, tableLimits.Table, data); err != nil {
		return nil, err
	}
	r := csv.NewReader(bytes.NewReader(withoutMark(data)))
	r.FieldsPerRecord = -1
	r.TrimLeadingSpace = true
	heading := columns
	var rows []Row
	for first := true; ; first = false {
		record, err := r.Read()
		if err == io.EOF {
			return rows, nil
		}
		var bad *csv.ParseError
		if errors.As(err, &bad) {
			return nil, Refuse(file, bad.Line, "write one row a line, a value that holds a comma or a quote in double quotes", "this is no comma-separated row: %v", bad.Err)
		}
		if err != nil {
			return nil, Refuse(file, 0, "save it again as comma-separated text", "the table cannot be read: %v", err)
		}
		line, _ := r.FieldPos(0)
		if first {
			if named := headingOf(record, columns); named != nil {
				heading = named
				continue
			}
		}
		row := Row{Line: line, cells: map[string]string{}}
		for i, v := range record {
			if v = strings.TrimSpace(text.Unguarded(strings.TrimSpace(v))); v != "" && i < len(heading) {
				row.cells[heading[i]] = v
			}
		}
		if len(row.cells) > 0 {
			rows = append(rows, row)
		}
	}
}

// headingOf is a record as names of columns, nil where it names none.
func headingOf(record, columns []string) []string {
	names := make([]string, len(record))
	known := false
	for i, v := range record {
		names[i] = strings.ToLower(strings.TrimSpace(text.Unguarded(v)))
		known = known || slices.Contains(columns, names[i])
	}
	if !known {
		return nil
	}
	return names
}
