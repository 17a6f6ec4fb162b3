package lots

import (
	"errors"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/text"
	"github.com/acreband/acreband/zoning/write"
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
	lots.Row(a.columns()...) // errors stay until the flush
	failed.Row("lot", "reason", "hint", "feature_no", "repaired", "changed_pct")
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
			if err := a.sums.Add(r.zoneMap(a.fleet, a.units)); err != nil {
				return err
			}
			fault = a.unsplit[f.place]
		}
		if a.stops != nil {
			a.addStops(f.place, &r, o)
		}
		if a.lots != nil {
			lot, err := a.overviewLot(f, &r)
			if err != nil {
				return err
			}
			if err := a.lots.Add(lot); err != nil {
				return err
			}
		}
		a.made.Repairs.add(r.Repair)
		lots.Row(a.row(f.place, r)...)
		if fault != nil {
			failed.Row(append([]string{r.Lot, fault.Reason, fault.Hint, strconv.Itoa(f.place)}, repairCells(r.Repair)...)...)
			if a.made.Failed++; a.made.FirstFault == "" {
				a.made.FirstFault = fault.Error()
			}
		}
		a.made.Lots++
		a.tell(a.made.Lots)
	}
	return errors.Join(lots.Flush(), failed.Flush())
}

// table begins a table; what goes into one that is not wanted goes nowhere.
func (a *assembly) table(name string, wanted bool) (*text.Table, error) {
	if !wanted {
		return text.NewTable(io.Discard), nil
	}
	w, err := a.files.Create(name)
	if err != nil {
		return nil, err
	}
	return text.NewTable(w), nil
}

// columns head lots.csv, in the run's units: after the acres of each zone those of each machine's that are to
// be verified on foot, the state of the ground that both are for, and the acres of each zone
// on dry ground and on wet. With a first surface the acres by height of growth follow.
func (a *assembly) columns() []string {
	out := []string{"lot", "feature_no", "status", "view", "parcel_acres"}
	zones := write.ZoneColumns(a.fleet)
	named := func(suffix string) (names []string) {
		for _, zone := range a.byLimits(zones) {
			names = append(names, zone+suffix)
		}
		return names
	}
	out = append(out, named("_acres")...)
	for k := range a.fleet {
		out = append(out, zones[k]+"_verify_acres")
	}
	out = append(out, "ground")
	return a.inUnits(slices.Concat(out, named("_acres_dry"), named("_acres_wet"), a.growthColumns(), []string{"repaired", "changed_pct", "notes", "warnings"}, a.creditCells("credit")))
}

// creditCells is a last cell where a map of others is used on any lot, and nothing where none is.
func (a *assembly) creditCells(text string) []string {
	if !slices.ContainsFunc(a.journal, func(j *journal) bool { return j.head.Lent }) {
		return nil
	}
	return []string{text}
}

// byLimits takes, of a value for each band, those of the bands that a map by limits has.
func (a *assembly) byLimits(values []string) (out []string) {
	for band, v := range values {
		if zoning.ByLimits.Has(a.fleet, band) {
			out = append(out, v)
		}
	}
	return out
}

// row is a lot's row of lots.csv. A lot that failed has no acres, and what nobody
// asked or knows is blank.
func (a *assembly) row(place int, r record) []string {
	cells := []string{r.Lot, strconv.Itoa(place), statusFailed, zoning.ByLimits.Words(), ""}
	acres, verify := make([]string, len(a.bands)), make([]string, len(a.fleet))
	dry, wet := make([]string, len(a.bands)), make([]string, len(a.bands))
	if r.Fault == nil {
		cells[2], cells[4] = statusMapped, a.areaText(r.Acres)
		if a.unsplit[place] != nil {
			cells[2] = statusUnwritten
		}
		fill(acres, "0")
		if r.SigmaM > 0 {
			fill(verify, "0")
		}
		for _, z := range r.Zones {
			acres[z.Band] = a.areaText(z.Acres)
			if sure := float64(z.Sure); z.Band < len(verify) && !math.IsNaN(sure) {
				verify[z.Band] = a.areaText(z.Acres - sure)
			}
		}
		here, otherwise := dry, wet
		if r.Ground == zoning.Wet {
			here, otherwise = wet, dry
		}
		for b, v := range r.Otherwise {
			here[b], otherwise[b] = acres[b], a.areaText(v)
		}
	}
	return slices.Concat(cells, a.byLimits(acres), verify, []string{string(r.Ground)}, a.byLimits(dry), a.byLimits(wet), a.growthCells(r),
		repairCells(r.Repair), []string{strings.Join(r.Notes, "; "), strings.Join(r.Warnings, "; ")}, a.creditCells(r.credit()))
}

// growthColumns head the acres by height of growth, called as in acres; classes are those of the run's
// units.
func (a *assembly) growthColumns() (out []string) {
	if !a.journal[0].head.Surface {
		return nil
	}
	for i := range zoning.GrowthClasses {
		out = append(out, "growth_"+zoning.GrowthClassKey(a.units, i)+"_acres")
	}
	return append(out, "growth_no_data_acres", "growth_water_acres")
}

// growthCells are the acres of a lot below growthColumns.
func (a *assembly) growthCells(r record) []string {
	out := make([]string, len(a.growthColumns()))
	if r.Growth == nil || len(out) == 0 {
		return out
	}
	total := r.Growth.Total()
	for i, acres := range append(total.ByClass[:], total.Unknown, total.Water) {
		out[i] = a.areaText(acres)
	}
	return out
}

func fill(cells []string, text string) {
	for i := range cells {
		cells[i] = text
	}
}

// areaText writes acres in the run's units with at most 9 decimals, as the GeoJSON does: what is
// turned there are rounded acres.
func (a *assembly) areaText(acres float64) string {
	const decimals = 1e9
	_, times := a.units.Property("acres")
	acres = math.Round(acres*decimals) / decimals
	return strconv.FormatFloat(math.Round(acres*times*decimals)/decimals, 'f', -1, 64)
}

// inUnits are names of columns as they are called in the run's units.
func (a *assembly) inUnits(us []string) []string {
	for i, name := range us {
		us[i], _ = a.units.Property(name)
	}
	return us
}

// sumOf is the collection of one lot.
func (a *assembly) sumOf(r record) (*write.Collection, error) {
	c := a.collection()
	return c, c.Add(r.zoneMap(a.fleet, a.units))
}

// collection is one of no lots in the run's units, which it tells even where all lots failed.
func (a *assembly) collection() *write.Collection {
	c := write.NewCollection(a.fleet)
	c.TellIn(a.units)
	return c
}
