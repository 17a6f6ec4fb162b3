package site

import (
	"math"

	"github.com/acreband/acreband/terrain"
	"github.com/paulmach/orb"
)

// Near visits each cell of a grid whose middle lies within a horizontal distance
// of a geometry in WGS84 longitude and latitude, once, with that distance: 0 in
// a polygon. cell is row·Cols + column. The order is the same on every run, but
// not row by row. A grid that cannot be used, a geometry that is none, and a distance
// below 0 or above [MaxReachM] are errors.
func Near(g *terrain.Grid, geometry orb.Geometry, metres float64, visit func(cell int, distM float64)) error {
	if err := checkNear(g, geometry, metres); err != nil {
		return err
	}
	newPlot(g, geometry, metres).near(metres, func(cell int, distM float64, _ orb.Point) { visit(cell, distM) })
	return nil
}

// Touched visits each cell of a grid that a geometry in WGS84 longitude and latitude
// touches, be it at a corner; some twice. It refuses what [Near] does.
func Touched(g *terrain.Grid, geometry orb.Geometry, visit func(cell int)) error {
	if err := checkNear(g, geometry, 0); err != nil {
		return err
	}
	newPlot(g, geometry, 0).touched(func(row, c0, c1 int) {
		for c := c0; c < c1; c++ {
			visit(row*g.Cols + c)
		}
	})
	return nil
}

// near visits cells with their distance and the nearest point of the plot.
func (p *plot) near(reachM float64, visit func(cell int, distM float64, at orb.Point)) {
	if len(p.edges) == 0 || !(reachM >= 0) {
		return
	}
	s := &search{grid: p.grid, edges: p.edges, reachM: reachM, visit: visit}
	b := orb.Bound{Min: p.edges[0].a, Max: p.edges[0].a}
	for _, e := range p.edges {
		b = b.Extend(e.a).Extend(e.b)
	}
	cols, rows := reachCells(p.grid, reachM)
	all := block{}
	all.c0, all.c1 = meets(b.Min[0]-cols, b.Max[0]+cols, p.grid.Cols)
	all.r0, all.r1 = meets(b.Min[1]-rows, b.Max[1]+rows, p.grid.Rows)
	if all.c0 >= all.c1 || all.r0 >= all.r1 {
		return
	}
	s.all = all
	if p.areas != nil {
		s.in = make([]bool, (all.c1-all.c0)*(all.r1-all.r0))
		p.inside(func(row, c0, c1 int) {
			for c := max(c0, all.c0); c < min(c1, all.c1); c++ {
				s.in[(row-all.r0)*(all.c1-all.c0)+c-all.c0] = true
			}
		})
	}
	s.plane = flatOf(metricAt(p.grid, all.middle()))
	for i, e := range p.edges {
		s.stack = append(s.stack, int32(i))
		s.laid = append(s.laid, s.plane.edge(e))
	}
	s.block(all, 0, len(s.stack))
}

// search finds the nearest edge of each cell by halving the window. Any cell of
// a block is at most half its diagonal from its middle, so an edge whose
// distance from the middle is more than a diagonal beyond that of the nearest
// one is the nearest of no cell in it. So the edges to look at become few
// before the cells become many, and the distance stays exact.
type search struct {
	grid   *terrain.Grid
	edges  []edge
	reachM float64
	visit  func(cell int, distM float64, at orb.Point)
	all    block
	in     []bool     // of the cells of all; nil without polygons
	stack  []int32    // edges to look at, block within block
	dist   []float64  // of each from the middle of its block
	plane  flat       // all of the ground as it is in the middle, good enough to leave edges out by
	laid   []flatEdge // the edges in it
	near   []flatEdge // those of a small block, in its own metric
}

type block struct{ c0, r0, c1, r1 int }

func (b block) middle() orb.Point { return orb.Point{float64(b.c0+b.c1) / 2, float64(b.r0+b.r1) / 2} }

// smallBlock is how many cells are searched one by one.
const smallBlock = 32

// metricShare bounds how much a length changes by the ground metric, from the
// middle of what is searched to its ends: it takes 100 km at 50 degrees of
// latitude for as much.
const metricShare = 0.02

// block searches a block for the edges on the stack from a place on, in n.
func (s *search) block(b block, from, n int) {
	mid := b.middle()
	x, y := s.plane.point(mid)
	x0, y0 := s.plane.point(orb.Point{float64(b.c0), float64(b.r0)})
	x1, y1 := s.plane.point(orb.Point{float64(b.c1), float64(b.r0)})
	half := math.Sqrt(max(square(x-x0, y-y0), square(x-x1, y-y1))) * (1 + metricShare)

	s.dist = s.dist[:0]
	least := math.Inf(1)
	for _, i := range s.stack[from : from+n] {
		e := &s.laid[i]
		t := e.share(x, y)
		d := math.Sqrt(square(x-e.x-t*e.dx, y-e.y-t*e.dy))
		s.dist = append(s.dist, d)
		least = min(least, d)
	}
	if least*(1-metricShare) > s.reachM+half {
		// No edge runs through the block: it is inside as a whole, or not at all.
		if s.isIn(b.c0, b.r0) {
			s.visitIn(b)
		}
		return
	}
	top := len(s.stack)
	for k, d := range s.dist {
		if d*(1-metricShare) <= least*(1+metricShare)+2*half {
			s.stack = append(s.stack, s.stack[from+k])
		}
	}
	kept := len(s.stack) - top
	switch wide, tall := b.c1-b.c0, b.r1-b.r0; {
	case wide*tall <= smallBlock:
		s.cells(b, s.stack[top:])
	case wide >= tall:
		c := b.c0 + wide/2
		s.block(block{b.c0, b.r0, c, b.r1}, top, kept)
		s.block(block{c, b.r0, b.c1, b.r1}, top, kept)
	default:
		r := b.r0 + tall/2
		s.block(block{b.c0, b.r0, b.c1, r}, top, kept)
		s.block(block{b.c0, r, b.c1, b.r1}, top, kept)
	}
	s.stack = s.stack[:top]
}

// cells visits the cells of a small block that are within reach. It lays the
// block flat in meters first, which leaves little to do for each cell and edge.
func (s *search) cells(b block, near []int32) {
	ground := flatOf(metricAt(s.grid, b.middle()))
	s.near = s.near[:0]
	for _, i := range near {
		s.near = append(s.near, ground.edge(s.edges[i]))
	}
	limit := s.reachM * s.reachM
	for r := b.r0; r < b.r1; r++ {
		for c := b.c0; c < b.c1; c++ {
			p := orb.Point{float64(c) + 0.5, float64(r) + 0.5}
			if s.isIn(c, r) {
				s.visit(r*s.grid.Cols+c, 0, p)
				continue
			}
			x, y := ground.point(p)
			least, nearest, share := math.Inf(1), 0, 0.0
			for k := range s.near {
				e := &s.near[k]
				t := e.share(x, y)
				if d2 := square(x-e.x-t*e.dx, y-e.y-t*e.dy); d2 < least {
					least, nearest, share = d2, k, t
				}
			}
			if least <= limit {
				s.visit(r*s.grid.Cols+c, math.Sqrt(least), s.edges[near[nearest]].at(share))
			}
		}
	}
}

func (s *search) isIn(col, row int) bool {
	return s.in != nil && s.in[(row-s.all.r0)*(s.all.c1-s.all.c0)+col-s.all.c0]
}

func (s *search) visitIn(b block) {
	for r := b.r0; r < b.r1; r++ {
		for c := b.c0; c < b.c1; c++ {
			s.visit(r*s.grid.Cols+c, 0, orb.Point{float64(c) + 0.5, float64(r) + 0.5})
		}
	}
}
