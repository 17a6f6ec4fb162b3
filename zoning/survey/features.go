package survey

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sync"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/flow"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/vector"
	"github.com/acreband/acreband/zoning/work"
)

// SiteFiles name files that say what is known of the ground beside lots and heights.
type SiteFiles struct {
	Site        []string // what is on it, see zoning/site
	Staging     []string // places where the trailer unloads
	Travel      []string // ground that machines may cross beside the lots
	SiteOptions vector.SiteOptions
}

// Read reads the features of all files.
func (q SiteFiles) Read() ([]site.Feature, error) {
	var all []site.Feature
	for _, files := range []struct {
		paths []string
		read  func(string, vector.SiteOptions) ([]site.Feature, error)
	}{{q.Site, vector.ReadSite}, {q.Staging, vector.ReadStaging}, {q.Travel, vector.ReadTravel}} {
		for _, path := range files.paths {
			features, err := files.read(path, q.SiteOptions)
			if err != nil {
				return nil, err
			}
			all = append(all, features...)
		}
	}
	return all, nil
}

// checkSite refuses site files of which nothing lies within two miles of the lots: with
// a wrong CRS every no-go and every line in them would be lost.
func (q SiteFiles) checkSite(features []site.Feature, near orb.Bound) error {
	if len(q.Site) == 0 {
		return nil
	}
	var first *site.Feature
	for i, f := range features {
		if f.Kind == site.Staging || f.Kind == site.Travel {
			continue
		}
		if near.Intersects(f.Geometry.Bound()) {
			return nil
		}
		if first == nil {
			first = &features[i]
		}
	}
	if first == nil {
		return nil
	}
	return fmt.Errorf("%s: nothing in it lies within 2 miles of the lots; its first shape is at %s: check its place and its CRS (--site-crs), or leave it out",
		q.Site[0], zoning.Degrees(first.Geometry.Bound().Center()))
}

// IsNear tells whether a spot lies within two miles of the lots, or nearly.
func (g *Ground) IsNear(at orb.Point) bool { return g.reach().Contains(at) }

// farM is how far from the lots features may lie for whose sake elevation is read:
// two miles.
const farM = 3218.688

// around is the ground that elevation is read for: the lots, the ground that machines
// may cross, and the places where the trailer unloads.
func (g *Ground) around() (orb.MultiPolygon, error) {
	var all orb.MultiPolygon
	for _, lot := range g.Lots {
		all = append(all, lot.Ground...)
	}
	near := g.reach()
	for _, f := range g.Features {
		if err := checkWay(f, near); err != nil {
			return nil, err
		}
		all = append(all, WaysOf(f)...)
	}
	return all, nil
}

// checkWay refuses a way that lies far from the lots.
func checkWay(f site.Feature, near orb.Bound) error {
	ways := WaysOf(f)
	if ways == nil || near.Intersects(ways.Bound()) {
		return nil
	}
	return fmt.Errorf("%s %s lies at %s, more than 2 miles from the lots: check its place and its CRS (--site-crs)", f.Kind, f.Title(), zoning.Degrees(f.Geometry.Bound().Center()))
}

// WaysOf is the ground that elevation is read for beside the lots for the sake of a
// feature; nil where it asks for none.
func WaysOf(f site.Feature) orb.MultiPolygon {
	if f.Kind != site.Staging && f.Kind != site.Travel {
		return nil
	}
	return orb.MultiPolygon{f.Geometry.Bound().Pad(1e-5).ToPolygon()}
}

// reach is a box around the lots as far as features may lie.
func (g *Ground) reach() orb.Bound {
	lots := g.Lots[0].Ground.Bound()
	for _, lot := range g.Lots {
		lots = lots.Union(lot.Ground.Bound())
	}
	return reachOf(lots)
}

// reachOf is a box around another as far as features may lie. A degree is 111 km or,
// along a parallel, less.
func reachOf(lots orb.Bound) orb.Bound {
	return lots.Pad(farM / 111_000 / math.Max(math.Cos(lots.Center()[1]*math.Pi/180), 0.01))
}

// With is the same ground with other features on it. Elevation is not read again, so
// that what lies beyond the cells that were read is left out.
func (g *Ground) With(features []site.Feature) *Ground {
	other := *g
	other.Features = features
	other.lay()
	return &other
}

// Fresh is the same ground of which nothing is known yet but what was read: maps of it
// find water, drainage and drops anew.
func (g *Ground) Fresh() *Ground {
	other := *g
	other.seen = &seen{}
	return &other
}

// lay puts lots and features on the cells.
func (g *Ground) lay() {
	grid := g.Elevation.Grid
	g.work = work.Ground{Lots: g.work.Lots}
	if g.work.Lots == nil {
		g.layLots()
	}
	g.work.Drive = g.work.Lots
	g.Site = site.Lay(g.Features, grid)
	s := g.Site
	g.work.Setback, g.work.BearsKPa, g.work.Keep = s.Setback, s.BearsKPa, s.Selective
	g.work.GrowthM, g.work.StemsM, g.work.LineM = g.growthOver(s.TallM), s.StemM, s.BeyondLineM
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
		site.Near(grid, f.Geometry, work.UnloadM, func(cell int, _ float64) { cells = append(cells, cell) })
		slices.Sort(cells)
		g.work.Staging = append(g.work.Staging, cells)
	}
}

// layLots marks the cells of the lots.
func (g *Ground) layLots() {
	grid := g.Elevation.Grid
	window := &zoning.Cells{Cols: grid.Cols, Rows: grid.Rows, Col0: grid.Col0, Row0: grid.Row0, Frame: grid.Frame}
	g.work.Lots = make([]bool, grid.Cols*grid.Rows)
	for _, lot := range g.Lots {
		window.EachInside(lot.Ground, func(row, from, to int) {
			for i := row*grid.Cols + from; i < row*grid.Cols+to; i++ {
				g.work.Lots[i] = true
			}
		})
	}
}

// seen is what a grid shows by itself, found once however often it is mapped.
type seen struct {
	sync.Mutex
	of       *terrain.Grid
	look     *terrain.Look
	water    []bool
	drainage *flow.Drainage
	drops    []work.Edge
}

// look finds water and what makes heights doubtful.
func (g *Ground) look(ctx context.Context) (*terrain.Look, error) {
	s := g.seen
	s.Lock()
	defer s.Unlock()
	if s.of != g.Elevation.Grid {
		look, err := terrain.NewLook(ctx, g.Elevation.Grid)
		if err != nil {
			return nil, err
		}
		s.of, s.look, s.drainage = g.Elevation.Grid, look, nil
		s.water = s.look.Water().Mask(false)
	}
	return s.look, nil
}

// drain finds where water runs, and drop-offs.
func (g *Ground) drain(ctx context.Context) (*flow.Drainage, error) {
	look, err := g.look(ctx)
	if err != nil {
		return nil, err
	}
	s := g.seen
	s.Lock()
	defer s.Unlock()
	if s.drainage != nil {
		return s.drainage, nil
	}
	if s.drops, err = work.DropOffs(ctx, g.Elevation.Grid); err != nil {
		return nil, err
	}
	if s.drainage, err = flow.Drain(ctx, g.Elevation.Grid, flow.Options{Water: look.Water()}); err != nil {
		return nil, err
	}
	return s.drainage, nil
}
