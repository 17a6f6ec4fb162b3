package mapping

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/trafficability"
)

// ErrSite is why a map refuses what is drawn on and around its lots: a gate or a bridge on no
// way, or staging that no machine drives off.
var ErrSite = errors.New("the site cannot be used")

// Load is a machine on its truck: weight with truck and trailer in kilograms, width and height
// in meters; 0 is not known.
type Load struct{ WeightKg, WidthM, HeightM float64 }

func (l Load) asMachine() zoning.Machine {
	return zoning.Machine{WeightKg: l.WeightKg, HeightM: l.HeightM, WidthM: cmp.Or(l.WidthM, math.Inf(1))}
}

// bars reports whether a load may not pass what is posted: one whose figure nobody knows, too.
func (l Load) bars(p trafficability.Post) bool {
	return p.Bars(l.asMachine())
}

// post is a gate or a bridge as it is laid.
type post struct {
	feature site.Feature
	trafficability.Post
}

// postOf is what is posted at a feature.
func postOf(f site.Feature) trafficability.Post {
	return trafficability.Post{WeightKg: f.WeightKg, WidthM: f.WidthM, HeightM: f.HeightM}
}

// How far a gate or bridge reaches to the sides of the way that it closes, at most: along
// travel ground, and in a lot, which has a fence or a ditch there that nobody drew (planning
// values, no source).
const (
	plugTravelM = 30
	plugLotM    = 12
)

// layPosts lays gates and bridges across the ways that they close.
func (g *Ground) layPosts() error {
	g.posts, g.astray = nil, nil
	for _, f := range g.Features {
		if f.Kind != site.Gate && f.Kind != site.Bridge || !postOf(f).Posted() {
			continue
		}
		p := post{f, postOf(f)}
		var err error
		if p.Cells, err = g.across(f); err != nil {
			return err
		}
		if len(p.Cells) == 0 {
			if !f.Lent() { // a map shows the roads around too
				g.astray = append(g.astray, f)
			}
			continue
		}
		g.posts = append(g.posts, p)
		g.work.Posts = append(g.work.Posts, p.Post)
	}
	return nil
}

// across are the cells of a gate or bridge: those that it touches, and those beside it as far
// as the way reaches that it closes. Machines would else drive past a point in the middle of a lane.
// Nil where no machine drives within [trafficability.UnloadM] of it.
func (g *Ground) across(f site.Feature) ([]int, error) {
	grid := g.Elevation.Grid
	ringM := 1.5 * max(g.Elevation.Sources[0].CellM[0], g.Elevation.Sources[0].CellM[1])
	type near struct {
		cell  int
		distM float64
	}
	var cells []near
	var on []int
	if err := site.Near(grid, f.Geometry, plugTravelM+ringM, func(cell int, distM float64) {
		if g.passable(cell) {
			cells = append(cells, near{cell, distM})
		}
	}); err != nil {
		return nil, err
	}
	if err := site.Touched(grid, f.Geometry, func(cell int) {
		if g.work.Drive[cell] {
			on = append(on, cell)
		}
	}); err != nil {
		return nil, err
	}
	slices.SortFunc(cells, func(a, b near) int { return cmp.Or(cmp.Compare(a.distM, b.distM), cmp.Compare(a.cell, b.cell)) })
	if len(on) == 0 {
		for _, c := range cells {
			if c.distM <= trafficability.UnloadM {
				on = append(on, c.cell)
			}
		}
	}
	if len(on) == 0 {
		return nil, nil
	}
	for radius := ringM; radius <= plugTravelM; radius += ringM / 2 {
		ring := map[int]bool{}
		var travel, lots []int
		for _, c := range cells {
			switch {
			case c.distM > radius+ringM:
			case c.distM > radius:
				ring[c.cell] = true
			case g.work.Lots[c.cell]:
				lots = append(lots, c.cell)
			default:
				travel = append(travel, c.cell)
			}
		}
		if !inParts8(ring, grid.Cols) {
			continue
		}
		if len(travel) == 0 && radius <= plugLotM {
			travel = lots
		}
		on = append(on, travel...)
		break
	}
	slices.Sort(on)
	return slices.Compact(on), nil
}

// passable reports whether machines may be on a cell, by what is drawn.
func (g *Ground) passable(i int) bool {
	return g.work.Drive[i] && !(g.Site.Closed != nil && g.Site.Closed[i]) && !(g.Site.Setback != nil && g.Site.Setback[i])
}

// inParts8 reports whether cells do not hang together, be it at corners.
func inParts8(cells map[int]bool, cols int) bool {
	var queue []int
	for i := range cells { // whichever is first
		queue = append(queue, i)
		break
	}
	seen := map[int]bool{}
	for _, i := range queue {
		seen[i] = true
	}
	for n := 0; n < len(queue); n++ {
		for dr := -1; dr <= 1; dr++ {
			for dc := -1; dc <= 1; dc++ {
				if j := queue[n] + dr*cols + dc; cells[j] && !seen[j] {
					seen[j] = true
					queue = append(queue, j)
				}
			}
		}
	}
	return len(queue) < len(cells)
}

// checkPosts refuses gates and bridges that no machine comes to.
func (g *Ground) checkPosts() error {
	if g.ManyLots || len(g.astray) == 0 {
		return nil
	}
	f := g.astray[0]
	return fmt.Errorf("%w: %s, a %s, lies neither on the parcel nor on travel ground, so that no machine drives over it: draw the way there as %s, or, if the truck passes it on the road, take it out and write what is posted there (weight, width, height) at the staging that it leads to",
		ErrSite, f.Title(), f.Kind, setting.Name("travel"))
}

// unloads are the machines whose load gets to each place of staging; nil where nothing is
// posted at any.
func (g *Ground) unloads(fleet zoning.Fleet, loads []Load) []zoning.Mask {
	var out []zoning.Mask
	posted := false
	for _, f := range g.Features {
		if f.Kind != site.Staging {
			continue
		}
		all := zoning.Mask(0)
		for k := range fleet {
			var l Load
			if loads != nil {
				l = loads[k]
			}
			if !l.bars(postOf(f)) {
				all |= 1 << k
			}
		}
		posted = posted || postOf(f).Posted()
		out = append(out, all)
	}
	if !posted {
		return nil
	}
	return out
}
