package site

import (
	"math"

	"github.com/acreband/acreband/terrain"
	"github.com/paulmach/orb"
)

// gauge measures on the ground what lies between two points in cell coordinates:
// meters² = e·dc² + 2f·dc·dr + g·dr². It is the inverse of a [terrain.Metric].
type gauge struct{ e, f, g float64 }

func gaugeAt(grid *terrain.Grid, p orb.Point) gauge {
	m := grid.Frame.MetricAt(p[0]+float64(grid.Col0), p[1]+float64(grid.Row0))
	det := m.A*m.C - m.B*m.B
	return gauge{m.C / det, -m.B / det, m.A / det}
}

func (m gauge) dot(a, b orb.Point) float64 {
	return m.e*a[0]*b[0] + m.f*(a[0]*b[1]+a[1]*b[0]) + m.g*a[1]*b[1]
}

func (m gauge) lengthM(d orb.Point) float64 { return math.Sqrt(m.dot(d, d)) }

// edge is a straight piece of a line or a polygon's side in cell coordinates; a
// point is an edge without length.
type edge struct{ a, b orb.Point }

// at is the point at a share of the way from a to b.
func (s edge) at(share float64) orb.Point {
	return orb.Point{s.a[0] + share*(s.b[0]-s.a[0]), s.a[1] + share*(s.b[1]-s.a[1])}
}

// flat takes cell coordinates to meters in a plane with square axes.
type flat struct{ xc, xr, yr float64 }

// flatEdge is an edge in such a plane: its start, its way, and one over the square
// of its length, 0 for a point.
type flatEdge struct{ x, y, dx, dy, perSquare float64 }

// flat returns a plane in which lengths are those of the gauge (the Cholesky
// factor of its matrix).
func (m gauge) flat() flat {
	xc := math.Sqrt(m.e)
	xr := m.f / xc
	return flat{xc, xr, math.Sqrt(m.g - xr*xr)}
}

func (t flat) point(p orb.Point) (x, y float64) { return t.xc*p[0] + t.xr*p[1], t.yr * p[1] }

func (t flat) edge(s edge) flatEdge {
	var e flatEdge
	e.x, e.y = t.point(s.a)
	e.dx, e.dy = t.point(minus(s.b, s.a))
	if l2 := e.dx*e.dx + e.dy*e.dy; l2 > 0 {
		e.perSquare = 1 / l2
	}
	return e
}

// share is how far along an edge its point nearest to (x, y) lies, from 0 to 1.
func (e *flatEdge) share(x, y float64) float64 {
	return min(max(((x-e.x)*e.dx+(y-e.y)*e.dy)*e.perSquare, 0), 1)
}

func square(x, y float64) float64 { return x*x + y*y }

func minus(a, b orb.Point) orb.Point { return orb.Point{a[0] - b[0], a[1] - b[1]} }

// reachCells is how many columns and rows at most lie within a distance in
// meters, anywhere on a window.
func reachCells(g *terrain.Grid, metres float64) (cols, rows float64) {
	w, h := float64(g.Cols), float64(g.Rows)
	for _, p := range []orb.Point{{0, 0}, {w, 0}, {0, h}, {w, h}, {w / 2, h / 2}} {
		m := g.Frame.MetricAt(p[0]+float64(g.Col0), p[1]+float64(g.Row0))
		// The ellipse of points at that distance spans as much.
		cols, rows = max(cols, metres*math.Sqrt(m.A)), max(rows, metres*math.Sqrt(m.C))
	}
	// Between those places the metric may be a little more.
	return 1.05*cols + 1, 1.05*rows + 1
}
