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
	out := text.NewTableCRLF(w)
	out.Row(heading...)
	for _, r := range layer.Rows {
		out.Row(cellsOf(r.Values...)...)
	}
	return out.Flush()
}

// lotMapped is the status of every lot of a zone map: one that failed is in none.
const lotMapped = "mapped"

// LotsCSV writes a record for each lot: lot, status, view, parcel_acres, its acres
// by the key of each band that the view has, then sure_acres, verify_acres, sight_acres, procedure_acres, tether_acres,
// line_not_flagged_acres, notes, and what makes the map void until it is settled. The status of a lot in a zone map is "mapped".
func LotsCSV(w io.Writer, zm *zoning.ZoneMap) error {
	if err := zm.Check(); err != nil {
		return err
	}
	bands := zm.Fleet.Bands()
	heading := []string{"lot", "status", "view", "parcel_acres"}
	for i, b := range bands {
		if zm.View.Has(zm.Fleet, i) {
			heading = append(heading, b.Key)
		}
	}
	out := text.NewTableCRLF(w)
	out.Row(append(heading, "sure_acres", "verify_acres", "sight_acres", "procedure_acres", "tether_acres", "line_not_flagged_acres", "notes", "void_until_settled")...)
	stops := zm.Stops()
	for _, lot := range zm.Lots {
		acres := lot.BandAcres(len(bands))
		var sure, verify, sight, procedure, tether float64
		for _, z := range lot.Zones {
			if bands[z.Band].Machine >= 0 {
				sure, verify, sight = sure+z.SureAcres, verify+z.Acres-z.SureAcres, sight+z.SightAcres // NaN stays
				procedure, tether = procedure+z.ProcedureAcres, tether+z.TetherAcres
			}
		}
		values := []any{lot.Lot, lotMapped, zm.View.Words(), rounded(lot.Acres)}
		for i, a := range acres {
			if zm.View.Has(zm.Fleet, i) {
				values = append(values, rounded(a))
			}
		}
		values = append(values, rounded(sure), rounded(verify), rounded(sight), rounded(procedure), rounded(tether), nil, joined(lot.Notes), joined(stops))
		if zm.Boundary != "" {
			values[len(values)-3] = rounded(lot.EdgeAcres)
		}
		out.Row(cellsOf(values...)...)
	}
	return out.Flush()
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
