package mapping

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/text"
	"github.com/acreband/acreband/zoning/trafficability"
)

// IsNear reports whether a spot lies within two miles of the lots, or nearly.
func (g *Ground) IsNear(at orb.Point) bool { return Reach(g.Lots).Contains(at) }

// FarM is how far from the lots features may lie for whose sake elevation is read, in meters:
// two miles.
const FarM = 3218.688

// Around is the ground that elevation is read for: the lots, the ground that machines
// may cross, and the places where the trailer unloads. It refuses ways that lie far
// from the lots.
func Around(lots []zoning.Lot, features []site.Feature) (orb.MultiPolygon, error) {
	if len(lots) == 0 {
		return nil, errNoLot
	}
	var all orb.MultiPolygon
	for _, lot := range lots {
		all = append(all, lot.Ground...)
	}
	near := Reach(lots)
	for _, f := range features {
		if err := f.Check(); err != nil {
			return nil, err
		}
		if err := CheckWay(f, near, measure.US); err != nil {
			return nil, err
		}
		all = append(all, WaysOf(f)...)
	}
	return all, nil
}

// CheckWay refuses a way, staging or travel, that lies far from the lots, in the units that people
// are told in.
func CheckWay(f site.Feature, near orb.Bound, told measure.Units) error {
	ways := WaysOf(f)
	if ways == nil || near.Intersects(ways.Bound()) {
		return nil
	}
	return fmt.Errorf("%s %s lies at %s, more than %s from the lots: check its place and its CRS (%s)", f.Kind, f.Title(), text.Degrees(f.Geometry.Bound().Center()), told.LongLength(FarM), setting.Name("site-crs"))
}

// WaysOf is the ground that elevation is read for beside the lots for the sake of a
// feature; nil where it asks for none.
func WaysOf(f site.Feature) orb.MultiPolygon {
	if f.Kind != site.Staging && f.Kind != site.Travel {
		return nil
	}
	return orb.MultiPolygon{f.Geometry.Bound().Pad(1e-5).ToPolygon()}
}

// Reach is a box around lots as far as features may lie, in degrees.
func Reach(lots []zoning.Lot) orb.Bound {
	var box orb.Bound
	for i, lot := range lots {
		if i == 0 {
			box = lot.Ground.Bound()
		}
		box = box.Union(lot.Ground.Bound())
	}
	return ReachOf(box)
}

// ReachOf is a box around that of lots as far as features may lie. A degree is 111 km or,
// along a parallel, less.
func ReachOf(lots orb.Bound) orb.Bound {
	return lots.Pad(FarM / 111_000 / math.Max(math.Cos(lots.Center()[1]*math.Pi/180), 0.01))
}

// With is the same ground with other features on it. Elevation is not read again, so
// that what lies beyond the cells that were read is left out. A feature that
// [site.Feature.Check] refuses is an error.
func (g *Ground) With(features []site.Feature) (*Ground, error) {
	if err := g.check(); err != nil {
		return nil, err
	}
	other := *g
	other.Features = features
	if err := other.lay(); err != nil {
		return nil, err
	}
	return &other, nil
}

// Fresh is the same ground of which nothing is known yet but what was read: maps of it
// find water, drainage and drops anew.
func (g *Ground) Fresh() *Ground {
	other := *g
	other.seen = &seen{}
	return &other
}

// rests reports whether the features are in part those of a map.
func (g *Ground) rests(on site.Source) bool {
	return slices.ContainsFunc(g.Features, func(f site.Feature) bool { return f.From == on })
}

// lay puts lots and features on the cells.
func (g *Ground) lay() error {
	grid := g.Elevation.Grid
	g.work = trafficability.Ground{Lots: g.work.Lots}
	if g.work.Lots == nil {
		g.layLots()
	}
	g.work.Drive = g.work.Lots
	s, err := site.Lay(g.Features, grid)
	if err != nil {
		return err
	}
	g.Site = s
	g.work.Setback, g.work.BearsKPa, g.work.Keep = s.Setback, s.BearsKPa, s.Selective
	g.work.GrowthM, g.work.StemsM, g.work.LineM = g.growthOver(s.TallM), s.CommonStemM, s.BeyondLineM
	if s.Travel != nil {
		g.work.Drive = slices.Clone(g.work.Lots)
		for i, may := range s.Travel {
			g.work.Drive[i] = g.work.Drive[i] || may
		}
	}
	for _, f := range g.Features {
		if f.Kind != site.Staging {
			continue
		}
		cells := []int{} // not nil: it is asked for, even where it lies off the cells
		if err := site.Near(grid, f.Geometry, trafficability.UnloadM, func(cell int, _ float64) { cells = append(cells, cell) }); err != nil {
			return err
		}
		slices.Sort(cells)
		g.work.Staging = append(g.work.Staging, cells)
	}
	return g.layPosts()
}

// layLots marks the cells of the lots.
func (g *Ground) layLots() {
	grid := g.Elevation.Grid
	window := &zoning.Cells{Window: coverage.Window{Cols: grid.Cols, Rows: grid.Rows, Col0: grid.Col0, Row0: grid.Row0, Frame: grid.Frame}}
	g.work.Lots = make([]bool, grid.Cols*grid.Rows)
	for _, lot := range g.Lots {
		window.EachInside(lot.Ground, func(row, from, to int) {
			for i := row*grid.Cols + from; i < row*grid.Cols+to; i++ {
				g.work.Lots[i] = true
			}
		})
	}
}
