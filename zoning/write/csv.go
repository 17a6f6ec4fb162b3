package write

import (
	"io"
	"strconv"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/text"
)

// ZonesCSV writes a record for each band of each lot, in the columns of
// [Zones].
func ZonesCSV(w io.Writer, zm *zoning.ZoneMap) error {
	layer, err := Zones(zm)
	if err != nil {
		return err
	}
	heading := make([]string, len(layer.Columns))
	for i, c := range layer.Columns {
		heading[i] = c.Name
	}
	out := creditedTable(w, zm)
	out.row(heading...)
	for _, r := range layer.Rows {
		out.row(cellsOf(r.Values...)...)
	}
	return out.Flush()
}

// LotsCSV writes a record for each lot, in the columns of [Lots].
func LotsCSV(w io.Writer, zm *zoning.ZoneMap) error {
	if err := zm.Check(); err != nil {
		return err
	}
	var heading []string
	for _, p := range LotProperties(zm) {
		heading = append(heading, p.Name)
	}
	out := creditedTable(w, zm)
	out.row(heading...)
	for _, lot := range zm.Lots {
		out.row(cellsOf(lotValues(zm, lot)...)...)
	}
	return out.Flush()
}

// credited is a table with a last column for what is owed to whose map its figures rest on;
// without one where they rest on none.
type credited struct {
	*text.Table
	credit string
	begun  bool
}

func creditedTable(w io.Writer, zm *zoning.ZoneMap) *credited {
	return &credited{Table: text.NewTableCRLF(w), credit: zm.Credit()}
}

// row writes a row, the heading first.
func (t *credited) row(cells ...string) {
	switch {
	case t.credit == "":
	case t.begun:
		cells = append(cells, t.credit)
	default:
		cells = append(cells, "credit")
	}
	t.begun = true
	t.Row(cells...)
}

// cellsOf writes values as the cells of a row.
func cellsOf(values ...any) []string {
	cells := make([]string, len(values))
	for i, v := range values {
		cells[i] = cellOf(v)
	}
	return cells
}

// cellOf writes a value as text; "" where there is none.
func cellOf(v any) string {
	switch v := v.(type) {
	case string:
		return v
	case int64:
		return strconv.FormatInt(v, 10)
	case float64:
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return ""
}
