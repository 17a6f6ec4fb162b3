package site

import (
	"math"

	"github.com/acreband/acreband/terrain"
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/clip"
)

// plot is a geometry laid on a window: in cell coordinates counted from the
// window's north-west corner, cut to what lies within reach.
type plot struct {
	grid  *terrain.Grid
	box   orb.Bound // longitudes and latitudes within reach
	edges []edge    // all of them
	areas [][]edge  // the sides of each polygon, without doubles
}

// bendM is how far, in meters, the straight edges of a plot may be from edges
// that are straight in longitude and latitude.
const bendM = 0.002

// lay plots what of a geometry lies within reach of a window, in meters. What
// lies elsewhere costs a look at its bound.
func newPlot(grid *terrain.Grid, geometry orb.Geometry, reachM float64) *plot {
	p := &plot{grid: grid, box: boxAround(grid, reachM)}
	p.add(geometry)
	return p
}

// boxAround is the longitudes and latitudes within reach of a window.
func boxAround(g *terrain.Grid, reachM float64) orb.Bound {
	const samples = 8 // along each side, which bend
	cols, rows := reachCells(g, reachM)
	var ring orb.MultiPoint
	for i := range samples + 1 {
		t := float64(i) / samples
		c, r := -cols+t*(float64(g.Cols)+2*cols), -rows+t*(float64(g.Rows)+2*rows)
		for _, p := range []orb.Point{{c, -rows}, {c, float64(g.Rows) + rows}, {-cols, r}, {float64(g.Cols) + cols, r}} {
			lon, lat := g.Frame.LonLat(p[0]+float64(g.Col0), p[1]+float64(g.Row0))
			ring = append(ring, orb.Point{lon, lat})
		}
	}
	b := ring.Bound()
	const pad = 0.02 // for the bends between samples
	dLon, dLat := pad*(b.Max[0]-b.Min[0]), pad*(b.Max[1]-b.Min[1])
	return orb.Bound{Min: orb.Point{b.Min[0] - dLon, b.Min[1] - dLat}, Max: orb.Point{b.Max[0] + dLon, b.Max[1] + dLat}}
}

func (p *plot) add(g orb.Geometry) {
	switch g := g.(type) {
	case orb.Point:
		p.onEachTurn(g.Bound(), func(turn float64) {
			at := p.cell(orb.Point{g[0] + turn, g[1]})
			p.edges = append(p.edges, edge{at, at})
		})
	case orb.MultiPoint:
		for _, q := range g {
			p.add(q)
		}
	case orb.LineString:
		p.onEachTurn(g.Bound(), func(turn float64) { p.line(shifted(g, turn)) })
	case orb.MultiLineString:
		for _, l := range g {
			p.add(l)
		}
	case orb.Polygon:
		p.onEachTurn(g.Bound(), func(turn float64) { p.polygon(g, turn) })
	case orb.MultiPolygon:
		for _, q := range g {
			p.add(q)
		}
	case orb.Collection:
		for _, q := range g {
			p.add(q)
		}
	}
}

// onEachTurn calls for each number of whole turns, in degrees, that brings a
// bound onto the box. The box lies about the frame's middle, and its longitudes
// may run past 180.
func (p *plot) onEachTurn(b orb.Bound, call func(turn float64)) {
	if b.IsEmpty() || b.Max[1] < p.box.Min[1] || b.Min[1] > p.box.Max[1] {
		return
	}
	last := 360 * math.Floor((p.box.Max[0]-b.Min[0])/360)
	for turn := 360 * math.Ceil((p.box.Min[0]-b.Max[0])/360); turn <= last; turn += 360 {
		call(turn)
	}
}

// shifted copies points, moved east by a number of degrees.
func shifted[P ~[]orb.Point](points P, deg float64) P {
	out := make(P, len(points))
	for i, q := range points {
		out[i] = orb.Point{q[0] + deg, q[1]}
	}
	return out
}

func (p *plot) line(l orb.LineString) {
	for _, part := range clip.LineString(p.box, l) {
		p.edges = p.path(p.edges, part)
	}
}

// polygon plots a polygon. Where it is clipped, the false edges run along the
// box, out of reach of the window.
func (p *plot) polygon(poly orb.Polygon, turn float64) {
	moved := make(orb.Polygon, len(poly))
	for i, ring := range poly {
		moved[i] = shifted(ring, turn)
	}
	if b := moved.Bound(); !p.box.Contains(b.Min) || !p.box.Contains(b.Max) {
		moved = clip.Polygon(p.box, moved)
	}
	var sides []edge
	for _, ring := range moved {
		sides = p.path(sides, ring)
	}
	if len(sides) > 0 {
		p.areas = append(p.areas, sides)
		p.edges = append(p.edges, sides...)
	}
}

// path appends the edges of a path in longitude and latitude.
func (p *plot) path(dst []edge, points []orb.Point) []edge {
	if len(points) == 0 {
		return dst
	}
	at := p.cell(points[0])
	if len(points) == 1 {
		return append(dst, edge{at, at})
	}
	for i := 1; i < len(points); i++ {
		next := p.cell(points[i])
		dst = p.bend(dst, points[i-1], points[i], edge{at, next})
		at = next
	}
	return dst
}

// bend appends the edge from a to b, in pieces where it is bent in cell
// coordinates.
func (p *plot) bend(dst []edge, a, b orb.Point, straight edge) []edge {
	mid := orb.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}
	at := p.cell(mid)
	chord := orb.Point{(straight.a[0] + straight.b[0]) / 2, (straight.a[1] + straight.b[1]) / 2}
	off := minus(at, chord)
	if mid == a || mid == b || !(metricAt(p.grid, at).LengthM(off[0], off[1]) > bendM) {
		return append(dst, straight)
	}
	dst = p.bend(dst, a, mid, edge{straight.a, at})
	return p.bend(dst, mid, b, edge{at, straight.b})
}

func (p *plot) cell(q orb.Point) orb.Point {
	c, r := p.grid.Frame.Cell(q[0], q[1])
	return orb.Point{c - float64(p.grid.Col0), r - float64(p.grid.Row0)}
}
