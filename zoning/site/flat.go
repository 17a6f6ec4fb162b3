package site

import (
	"math"

	"github.com/acreband/acreband/terrain"
	"github.com/paulmach/orb"
)

// metricAt is the metric of the ground at a point in cell coordinates of a grid's window.
func metricAt(grid *terrain.Grid, p orb.Point) terrain.Metric {
	return grid.Frame.MetricAt(p[0]+float64(grid.Col0), p[1]+float64(grid.Row0))
}

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

// flatOf returns the plane of a metric.
func flatOf(m terrain.Metric) flat {
	xc, xr, yr := m.Plane()
	return flat{xc, xr, yr}
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
		m := metricAt(g, p)
		// The ellipse of points at that distance spans as much.
		cols, rows = max(cols, metres*math.Sqrt(m.A)), max(rows, metres*math.Sqrt(m.C))
	}
	// Between those places the metric may be a little more.
	return 1.05*cols + 1, 1.05*rows + 1
}
