package page

import (
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/paulmach/orb/simplify"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/text"
)

// lotOf is a row of the table of lots, where there are several.
type lotOf struct {
	Name     string        `json:"name"`
	Acres    string        `json:"acres"`
	Zones    []string      `json:"zones"` // acres of each of the zones that have ground, as [answer.Zones] orders them; "" for none
	Hours    string        `json:"hours,omitempty"`
	Price    string        `json:"price,omitempty"`
	At       [2]float64    `json:"at"` // inside it, longitude and latitude
	Outlines [][]orb.Point `json:"outlines"`
}

// Outlines of lots on the page: to a meter or so, and of no more corners.
const (
	outlineDeg     = 1e-5
	outlineCorners = 300
)

// lots are the rows of the lots of a map with several; none where it has one.
func (t *tally) lots(r *Result, rows []zone) []lotOf {
	zm := r.Map
	if len(zm.Lots) < 2 {
		return []lotOf{}
	}
	place := map[string]int{} // of the rows, by zone
	shown := 0
	for _, z := range rows {
		if z.Ground {
			place[z.Band] = shown
			shown++
		}
	}
	work := workByLot(r.Plan, zm)
	out := make([]lotOf, len(zm.Lots))
	for i, lot := range zm.Lots {
		row := lotOf{Name: text.OneLine(lot.Lot), Acres: t.text(lot.Acres), Zones: make([]string, shown), Outlines: [][]orb.Point{}}
		for _, z := range lot.Zones {
			if at, ok := place[t.bands[z.Band].Key]; ok && z.Acres > 0 {
				row.Zones[at] = t.text(z.Acres)
			}
		}
		if work != nil {
			row.Hours, row.Price = text.Grouped(work[lot.Lot].hours, 0), usd(work[lot.Lot].usd)
		}
		row.At, row.Outlines = outlinesOf(r.Ground.Lots, lot)
		out[i] = row
	}
	return out
}

// lotWork is what a crew does on a lot: hours of machines, added up, and the lot's share of the
// price by the cost of its work.
type lotWork struct{ hours, usd float64 }

// workByLot shares the chosen crew's work out; nil where there is none, or where the plan does not
// tell the lots apart.
func workByLot(p *plan.Plan, zm *zoning.ZoneMap) map[string]lotWork {
	rung := chosenRung(p)
	if rung == nil {
		return nil
	}
	work := map[string]lotWork{}
	for _, lot := range zm.Lots {
		if _, twice := work[lot.Lot]; twice {
			return nil
		}
		work[lot.Lot] = lotWork{}
	}
	cost := 0.0
	for _, task := range rung.Tasks {
		w, known := work[task.Lot]
		if !known {
			return nil
		}
		cost += task.CostUSD
		work[task.Lot] = lotWork{w.hours + task.ScheduledH, w.usd + task.CostUSD}
	}
	for lot, w := range work {
		if cost > 0 {
			w.usd *= rung.PriceUSD / cost
		}
		work[lot] = w
	}
	return work
}

// outlinesOf is where a lot lies: a place in its largest part, and its lines.
func outlinesOf(lots []zoning.Lot, of zoning.LotMap) (at [2]float64, outlines [][]orb.Point) {
	outlines = [][]orb.Point{}
	for _, lot := range lots {
		if lot.Place != of.Place || lot.Lot != of.Lot {
			continue
		}
		largest := 0.0
		for _, part := range lot.Ground {
			c, size := planar.CentroidArea(part)
			if size > largest {
				largest = size
				if !planar.PolygonContains(part, c) {
					c = part[0][0]
				}
				at = [2]float64{round7(c[0]), round7(c[1])}
			}
			outlines = append(outlines, outline(part[0]))
		}
	}
	return at, outlines
}

// outline is a ring as it is shown.
func outline(ring orb.Ring) []orb.Point {
	r := simplify.DouglasPeucker(outlineDeg).Ring(ring.Clone())
	if len(r) > outlineCorners {
		r = simplify.VisvalingamKeep(outlineCorners).Ring(r)
	}
	for i := range r {
		r[i] = orb.Point{round7(r[i][0]), round7(r[i][1])}
	}
	return r
}
