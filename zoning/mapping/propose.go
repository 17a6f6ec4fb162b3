package mapping

import (
	"cmp"
	"context"
	"math"
	"slices"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/trafficability"
)

// What a place to unload at is like (planning values, no source): a trailer stands on a circle
// of that radius that is no steeper anywhere, so near the boundary; a road that lies farther off is
// no way to it. Less ground than leastOpened is not worth a place.
const (
	trailerM      = 6
	gentlePct     = 8
	boundaryM     = 25
	roadNearM     = 200
	leastOpened   = 0.05 // acres
	mostProposals = 3
)

// Propose looks for places on the boundary where a trailer may unload that open the most ground
// for a crew, machines by their index in the map's fleet: up to three without staging, and
// with staging the next best one where ground is cut off; none for maps that did not ask for
// ways in. Of places that open the same ground it is the one nearest to a drawn road, or without
// any the one nearest to the middle of that ground. Acres are those of whole cells that the
// crew may work. It returns the context's error once that is done.
func (g *Ground) Propose(ctx context.Context, m *zoning.ZoneMap, crew []int) (_ []zoning.UnloadPoint, err error) {
	if err := g.checkMap(m); err != nil {
		return nil, err
	}
	defer beside.Ended(&err)
	p := &proposer{Ground: g, m: m, watch: beside.NewWatch(ctx), plane: PlaneOf(m.Cells)}
	for _, k := range crew {
		if k >= 0 && k < len(m.Cells.Pieces) && len(m.Cells.Pieces[k]) > 0 {
			p.crew = append(p.crew, k)
		}
	}
	if len(p.crew) == 0 {
		return nil, nil
	}
	most := mostProposals
	if m.Access.Checked {
		most = 1
	}
	return p.best(ctx, most)
}

type proposer struct {
	*Ground
	m     *zoning.ZoneMap
	crew  []int // those with pieces
	watch *beside.Watch
	plane Plane

	roadM []float32 // to the nearest road; +Inf beyond
}

// best picks places one after the other, each that which opens most beside those before.
func (p *proposer) best(ctx context.Context, most int) ([]zoning.UnloadPoint, error) {
	places, err := p.places()
	if err != nil || len(places) == 0 {
		return nil, err
	}
	if err := p.measureRoads(); err != nil {
		return nil, err
	}
	worked, err := p.worked(ctx)
	if err != nil {
		return nil, err
	}
	grounds := groundsOf(worked, p.m.Cells.Cols, p.watch)
	groups := p.group(places)
	var out []zoning.UnloadPoint
	for len(out) < most {
		var best *group
		for i := range groups {
			groups[i].measure(p, grounds)
			if g := &groups[i]; best == nil || g.acres > best.acres {
				best = g
			}
		}
		if best == nil || best.acres < leastOpened {
			break
		}
		out = append(out, p.point(best))
		for i := range grounds {
			grounds[i].opened = grounds[i].opened || grounds[i].fromAny(best.pieces)
		}
	}
	return out, nil
}

// places are the cells near the boundary, inside it, where a trailer may stand.
func (p *proposer) places() ([]int, error) {
	grid := p.Elevation.Grid
	gentle := gentlePct / 100.0 * (gentlePct / 100.0)
	uneven, beyond := make([]bool, len(p.work.Lots)), make([]bool, len(p.work.Lots))
	for i, in := range p.work.Lots {
		p.watch.Did(1)
		s := float64(p.m.Field.Squared[i])
		uneven[i] = !(s <= gentle) || !p.passable(i) || p.m.Cells.Masks[i]&zoning.NoGo != 0
		beyond[i] = !in
	}
	uneven, err := trafficability.Near(grid, uneven, trailerM)
	if err != nil {
		return nil, err
	}
	if beyond, err = trafficability.Near(grid, beyond, boundaryM); err != nil {
		return nil, err
	}
	var out []int
	for i, in := range p.work.Lots {
		if in && beyond[i] && !uneven[i] {
			out = append(out, i)
		}
	}
	return out, nil
}

// measureRoads finds how far roads lie.
func (p *proposer) measureRoads() error {
	for _, f := range p.Features {
		if f.Kind != site.Road {
			continue
		}
		if p.roadM == nil {
			p.roadM = make([]float32, len(p.work.Lots))
			for i := range p.roadM {
				p.roadM[i] = float32(math.Inf(1))
			}
		}
		if err := site.Near(p.Elevation.Grid, f.Geometry, roadNearM, func(cell int, distM float64) {
			p.roadM[cell] = min(p.roadM[cell], float32(distM))
		}); err != nil {
			return err
		}
	}
	return nil
}

// group is the places from which the crew gets to the same pieces.
type group struct {
	pieces []uint16 // by machine of the crew
	places []int

	acres, col, row float64 // of what they open: acres, and its middle
}

// group sorts places by the pieces that they lie on.
func (p *proposer) group(places []int) []group {
	var out []group
	at := map[string]int{}
	for _, i := range places {
		pieces := make([]uint16, len(p.crew))
		key := make([]byte, 0, 2*len(p.crew))
		any := false
		for n, k := range p.crew {
			pieces[n] = p.m.Cells.Pieces[k].At(i)
			key = append(key, byte(pieces[n]), byte(pieces[n]>>8))
			any = any || pieces[n] != 0
		}
		if !any {
			continue
		}
		g, known := at[string(key)]
		if !known {
			g = len(out)
			at[string(key)] = g
			out = append(out, group{pieces: pieces})
		}
		out[g].places = append(out[g].places, i)
	}
	return out
}

// measure sums what a group opens beside what is opened already.
func (g *group) measure(p *proposer, grounds []ground) {
	cells := 0.0
	g.col, g.row = 0, 0
	for i := range grounds {
		p.watch.Did(1)
		if of := &grounds[i]; !of.opened && of.fromAny(g.pieces) {
			cells, g.col, g.row = cells+of.cells, g.col+of.col, g.row+of.row
		}
	}
	g.col, g.row = g.col/cells, g.row/cells
	x0, y0 := p.plane.At(0, 0)
	x1, y1 := p.plane.At(1, 0)
	x2, y2 := p.plane.At(0, 1)
	g.acres = cells * math.Abs((x1-x0)*(y2-y0)-(x2-x0)*(y1-y0)) / terrain.SquareMetresPerAcre
}

// point is the best place of a group: nearest to a road, then to the middle of its ground.
func (p *proposer) point(g *group) zoning.UnloadPoint {
	x, y := p.plane.At(g.col, g.row)
	way := func(i int) float64 {
		px, py := p.plane.At(float64(i%p.m.Cells.Cols)+0.5, float64(i/p.m.Cells.Cols)+0.5)
		return math.Hypot(px-x, py-y)
	}
	road := func(i int) float64 {
		if p.roadM == nil {
			return math.Inf(1)
		}
		return float64(p.roadM[i])
	}
	sum := 0.0
	for _, i := range g.places {
		sum += way(i)
	}
	best := slices.MinFunc(g.places, func(a, b int) int { return cmp.Or(cmp.Compare(road(a), road(b)), cmp.Compare(way(a), way(b))) })
	out := zoning.UnloadPoint{At: p.at(best), Acres: g.acres, WayM: way(best)}
	out.SavedM = max(0, sum/float64(len(g.places))-out.WayM)
	if m := road(best); !math.IsInf(m, 0) {
		out.RoadM = &m
	}
	return out
}
