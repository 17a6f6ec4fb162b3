package sheet

import (
	"cmp"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/text"
)

// zoneColumn is acres by band, each with its share of all lots.
type zoneColumn struct {
	head  string
	acres []float64
}

// zones are the acres by zone over all lots, dry, wet, and to be verified on foot.
func (o *Overview) zones(r Run) section {
	s := section{ID: "zones", Heading: o.units.Either("Acres", "Hectares") + " by zone, all lots"}
	if o.mapped == 0 {
		s.Lines = []string{"No lot was mapped."}
		return s
	}
	t := sumTotals(r)
	here := zoneColumn{head: o.units.Areas() + ", " + string(cmp.Or(r.Sum.Ground, zoning.Dry))}
	verify := zoneColumn{head: checkHead}
	for _, b := range t.bands {
		here.acres = append(here.acres, b.acres)
		verify.acres = append(verify.acres, max(orZero(b.acres-b.sureAcres), 0))
	}
	columns := []zoneColumn{here}
	if r.Sum.Otherwise != nil {
		columns = append(columns, zoneColumn{o.units.Areas() + ", " + string(otherGround(r.Sum)), r.Sum.Otherwise})
	}
	if o.sure {
		columns = append(columns, verify)
	}
	rows := [][]string{{"zone", "up to"}}
	last := []string{"all lots", ""}
	for _, c := range columns {
		rows[0] = append(rows[0], c.head, "share")
		all := sum(c.acres)
		last = append(last, t.acresText(all), t.shareText(all))
	}
	for i, b := range t.bands {
		if !r.Sum.View.Has(o.fleet, i) {
			continue
		}
		row := []string{bandName(o.fleet, i), ""}
		if b.Machine >= 0 {
			m := o.fleet[b.Machine]
			row[0], row[1] = text.OneLine(m.Name), limitText(m.SteepestPct())
		}
		any := b.Machine >= 0
		for _, c := range columns {
			any = any || c.acres[i] > 0
			row = append(row, t.acresText(c.acres[i]), t.shareText(c.acres[i]))
		}
		if any {
			rows = append(rows, row)
		}
	}
	s.Tables = []table{{Rows: append(rows, last), Words: 1, Total: true}}
	return s
}

// sumTotals are the totals of a run, its figures written as those of several lots.
func sumTotals(r Run) totals {
	t := totalsOf(r.Sum)
	t.lots, t.decimals = 2, r.decimals()
	return t
}

func sum(all []float64) (out float64) {
	for _, v := range all {
		out += v
	}
	return out
}
