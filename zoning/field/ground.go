package field

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geo"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
)

// Ground is a zone map with the ground under it. Cells, Grid and Field are of one
// window.
type Ground struct {
	// View is the map's: as planned spots lie on the crew's ground and on that of no
	// machine, and are held to the machine that works them.
	View  zoning.View
	Units measure.Units // that people are told in
	Cells *zoning.Cells
	Grid  *terrain.Grid
	Field *slope.Field
	Lots  []zoning.LotMap

	// Fleet has the limits that machines are held to; Drawn those inside them at
	// which the zones were drawn (by a margin, or by the error of the heights), nil
	// where they are the same.
	Fleet, Drawn zoning.Fleet
	On           zoning.Moisture
	// SurePct has, for each machine, the slope below which ground is surely within
	// its limit; nil where the error of the heights is not known, and then a band
	// could tip within [NearPct] of its limit.
	SurePct []float64
	// FootPct lowers the steepest mapped slope on which people are sent on foot, so
	// that the ground is surely below it; 0 leaves it.
	FootPct float64

	Hazards []Hazard
	// Staging is where people come from. Where there is none, they may come over any
	// side of a lot.
	Staging []orb.Point
}

// NearPct is how many points under a limit a band could tip where the error of the
// heights is not known (planning value, no source).
const NearPct = 5.0

func (g *Ground) check() error {
	if err := g.Cells.Check(); err != nil {
		return err
	}
	if err := g.Grid.Check(); err != nil {
		return err
	}
	if err := g.Field.Check(); err != nil {
		return err
	}
	if len(g.Field.Squared) != g.Cells.Cols*g.Cells.Rows || g.Grid.Cols != g.Cells.Cols || g.Grid.Rows != g.Cells.Rows {
		return errors.New("cells, heights and slopes of different windows cannot be checked together")
	}
	if err := g.Fleet.Check(); err != nil {
		return err
	}
	if g.Drawn != nil && len(g.Drawn) != len(g.Fleet) {
		return fmt.Errorf("%d machines were drawn of a fleet of %d", len(g.Drawn), len(g.Fleet))
	}
	if !(g.FootPct >= 0) {
		return fmt.Errorf("FootPct is %g; write 0 or more", g.FootPct)
	}
	bands := len(g.Fleet.Bands())
	for _, lot := range g.Lots {
		if lot.Coverage == nil {
			return fmt.Errorf("lot %s has no coverage; take it from a map as MapLot made it", lot.Lot)
		}
		for _, z := range lot.Zones {
			if z.Band < 0 || z.Band >= bands {
				return fmt.Errorf("lot %s has a zone of band %d; the fleet makes %d bands", lot.Lot, z.Band, bands)
			}
		}
	}
	return nil
}

func (g *Ground) index(col, row int) (i int, inside bool) {
	if col < 0 || row < 0 || col >= g.Cells.Cols || row >= g.Cells.Rows {
		return 0, false
	}
	return row*g.Cells.Cols + col, true
}

// place is the spot at cell coordinates of the window.
func (g *Ground) place(col, row float64) orb.Point {
	lon, lat := g.Cells.Frame.LonLat(float64(g.Cells.Col0)+col, float64(g.Cells.Row0)+row)
	return orb.Point{math.Remainder(lon, 360), lat}
}

// cell is the cell of the window that a place lies in.
func (g *Ground) cell(p orb.Point) (col, row int, inside bool) {
	c, r := g.Cells.Frame.Cell(p[0], p[1])
	c, r = math.Floor(c)-float64(g.Cells.Col0), math.Floor(r)-float64(g.Cells.Row0)
	if !(c >= 0 && r >= 0 && c < float64(g.Cells.Cols) && r < float64(g.Cells.Rows)) {
		return 0, 0, false
	}
	return int(c), int(r), true
}

func (g *Ground) metric(col, row int) terrain.Metric {
	return g.Cells.Frame.MetricAt(float64(g.Cells.Col0+col)+0.5, float64(g.Cells.Row0+row)+0.5)
}

// machines are those that slope alone may keep off a cell; as planned, of its machine's
// ground that one alone, and of ground for none those that come.
func (g *Ground) machines(i int) []Held {
	var out []Held
	worker := g.Cells.Masks[i].First()
	limits := g.limits()
	for k, m := range g.Fleet {
		if g.View == zoning.AsPlanned && (worker >= 0 && k != worker || !g.comes(k)) {
			continue
		}
		if limit, held := g.limit(i, k, limits[k]); held {
			out = append(out, Held{m.Key, limit})
		}
	}
	return out
}

// comes reports whether a machine works ground of the map.
func (g *Ground) comes(machine int) bool {
	if g.View == zoning.ByLimits {
		return true
	}
	for _, lot := range g.Lots {
		for _, z := range lot.Zones {
			if z.Band == machine {
				return true
			}
		}
	}
	return false
}

// limit is the slope that a machine is held to at a cell, unless something else
// than slope keeps it off. One that may work the cell though it is too steep to
// drive on reaches it. It is held to the lower of the faces that it works above and
// below it, or to the other where the map has the cell steeper than that.
func (g *Ground) limit(i, k int, of limits) (pct float64, held bool) {
	mapped := g.pct(i)
	works := g.Cells.Masks[i].First() >= 0 && g.Cells.Masks[i]&(1<<k) != 0
	drives := within(mapped, of.drawnPct)
	pct = of.pct
	if works && !drives {
		face := of.lowFacePct
		if !within(mapped, of.drawnLowFacePct) {
			face = of.highFacePct
		}
		pct = max(pct, face)
	}
	return pct, works || !drives
}

// limits are the slopes that a machine is held to on the ground assumed, in percent: driving,
// and the lower and the higher of the faces that it works; those drawn are what zones show.
type limits struct{ pct, drawnPct, lowFacePct, highFacePct, drawnLowFacePct float64 }

// limits are those of each machine.
func (g *Ground) limits() []limits {
	drawn := g.Drawn
	if drawn == nil {
		drawn = g.Fleet
	}
	out := make([]limits, len(g.Fleet))
	for k, m := range g.Fleet {
		out[k] = limits{
			pct: m.On(g.On).SteepestPct(), drawnPct: drawn[k].On(g.On).SteepestPct(),
			lowFacePct: min(m.ReachUpPct, m.ReachDownPct), highFacePct: max(m.ReachUpPct, m.ReachDownPct),
			drawnLowFacePct: min(drawn[k].ReachUpPct, drawn[k].ReachDownPct),
		}
	}
	return out
}

// pct is the mapped slope of a cell.
func (g *Ground) pct(i int) float64 { return 100 * math.Sqrt(float64(g.Field.Squared[i])) }

// couldTip reports whether the error of the slope could put a cell over the limit
// of the machine whose zone it is in.
func (g *Ground) couldTip(i, machine int, limitPct float64) bool {
	sure := limitPct - NearPct
	if machine < len(g.SurePct) {
		sure = g.SurePct[machine]
	}
	return !g.Cells.IsSure(i, machine, g.pct(i), sure)
}

// downhill is the fall line of a cell in cells per meter of ground; ok is false on
// the level and where heights are missing. It is taken over a machine's length, so
// that a rough cell does not turn it.
func (g *Ground) downhill(col, row int) (dCol, dRow float64, ok bool) {
	m := g.metric(col, row)
	w, h := m.CellM()
	p := g.rise(col, row, 1, 0, w)
	q := g.rise(col, row, 0, 1, h)
	dCol, dRow = -(m.A*p + m.B*q), -(m.B*p + m.C*q)
	s := math.Sqrt(m.A*p*p + 2*m.B*p*q + m.C*q*q)
	return dCol / s, dRow / s, s > 0
}

// rise is the rise per cell along a row or column, from the nearest heights on
// either side; NaN where there are none.
func (g *Ground) rise(col, row, dc, dr int, cellM float64) float64 {
	for k := max(1, int(zoning.DefaultFootprintM/2/cellM)); k > 0; k-- {
		a, okA := g.height(col-k*dc, row-k*dr)
		b, okB := g.height(col+k*dc, row+k*dr)
		if okA && okB {
			return (b - a) / float64(2*k)
		}
	}
	z, _ := g.height(col, row)
	if a, ok := g.height(col-dc, row-dr); ok {
		return z - a
	}
	b, _ := g.height(col+dc, row+dr)
	return b - z
}

func (g *Ground) height(col, row int) (m float64, ok bool) {
	if _, inside := g.index(col, row); !inside {
		return math.NaN(), false
	}
	m = g.Grid.At(col, row)
	return m, m == m
}

// bearing is from one place to another, degrees from true north. On a sphere it is
// within 0.2 degrees of that on the ellipsoid.
func bearing(from, to orb.Point) float64 { return math.Mod(geo.Bearing(from, to)+360, 360) }
