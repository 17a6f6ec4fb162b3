package batch

import (
	"encoding/csv"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/acreband/acreband/zoning"
)

// Words for the column status of lots.csv.
const (
	statusMapped    = "mapped"
	statusFailed    = "failed"
	statusUnwritten = "mapped, not written" // its own file could not be
)

// tables writes lots.csv and failed.csv, and sums the lots.
func (a *assembly) tables(o Outputs) error {
	lots, err := a.table(tableName, o.Table)
	if err != nil {
		return err
	}
	failed, err := a.table(failedName, o.Failed)
	if err != nil {
		return err
	}
	columns := []string{"lot", "status", "parcel_acres"}
	for _, b := range a.bands {
		columns = append(columns, b.Key)
	}
	_ = lots.Write(append(columns, "place", "notes", "warnings")) // errors stay until the flush
	_ = failed.Write([]string{"lot", "reason", "hint", "place"})
	for f, err := range a.records() {
		if err != nil {
			return err
		}
		var r record
		if err := f.parseHead(&r); err != nil {
			return err
		}
		fault := r.Fault
		if fault == nil {
			a.sums.Add(r.zoneMap(a.fleet))
			fault = a.unsplit[f.place]
		}
		_ = lots.Write(a.row(f.place, r))
		if fault != nil {
			_ = failed.Write([]string{r.Lot, fault.Reason, fault.Hint, strconv.Itoa(f.place)})
			if a.made.Failed++; a.made.FirstFault == "" {
				a.made.FirstFault = fault.Error()
			}
		}
		a.made.Lots++
		a.tell(a.made.Lots)
	}
	lots.Flush()
	failed.Flush()
	if err := lots.Error(); err != nil {
		return err
	}
	return failed.Error()
}

// table begins a table; what goes into one that is not wanted goes nowhere.
func (a *assembly) table(name string, wanted bool) (*csv.Writer, error) {
	if !wanted {
		return csv.NewWriter(io.Discard), nil
	}
	w, err := a.create(name)
	if err != nil {
		return nil, err
	}
	return csv.NewWriter(w), nil
}

// row is a lot's row of lots.csv. A lot that failed has no acres.
func (a *assembly) row(place int, r record) []string {
	cells := []string{r.Lot, statusFailed, ""}
	acres := make([]string, len(a.bands))
	if r.Fault == nil {
		cells[1], cells[2] = statusMapped, acresText(r.Acres)
		if a.unsplit[place] != nil {
			cells[1] = statusUnwritten
		}
		for i := range acres {
			acres[i] = "0"
		}
		for _, z := range r.Zones {
			acres[z.Band] = acresText(z.Acres)
		}
	}
	return append(append(cells, acres...), strconv.Itoa(place), strings.Join(r.Notes, "; "), strings.Join(r.Warnings, "; "))
}

// acresText writes acres with at most 9 decimals, as the GeoJSON does.
func acresText(v float64) string {
	return strconv.FormatFloat(math.Round(v*1e9)/1e9, 'f', -1, 64)
}

// sumOf is the collection of one lot.
func (a *assembly) sumOf(r record) *zoning.Collection {
	c := zoning.NewCollection(a.fleet)
	c.Add(r.zoneMap(a.fleet))
	return c
}
