package progress

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geo"

	"github.com/acreband/acreband/zoning"
)

// window is the cells of a map as ground to mark.
type window struct{ *zoning.Cells }

// at is a place in cells of the window.
func (w window) at(p orb.Point) orb.Point {
	c, r := w.Frame.Cell(p[0], p[1])
	return orb.Point{c - float64(w.Col0), r - float64(w.Row0)}
}

// inPolygon visits the cells whose middle lies in a polygon: after an odd number of
// its edges, going along the row. A middle on an edge is in the polygon to its east.
func (w window) inPolygon(poly orb.Polygon, visit func(i int)) {
	crossings := make([][]float64, w.Rows)
	for _, ring := range poly {
		for k := range ring {
			a, b := w.at(ring[k]), w.at(ring[(k+1)%len(ring)])
			if a[1] > b[1] {
				a, b = b, a
			}
			first, last := w.middles(a[1], b[1], w.Rows)
			for r := first; r < last; r++ {
				t := (float64(r) + 0.5 - a[1]) / (b[1] - a[1])
				crossings[r] = append(crossings[r], a[0]+t*(b[0]-a[0]))
			}
		}
	}
	for r, xs := range crossings {
		slices.Sort(xs)
		for k := 0; k+1 < len(xs); k += 2 {
			first, last := w.middles(xs[k], xs[k+1], w.Cols)
			for c := first; c < last; c++ {
				visit(r*w.Cols + c)
			}
		}
	}
}

// middles is the range of the cells 0 to n-1 whose middle is at or after from, and
// before to.
func (w window) middles(from, to float64, n int) (first, last int) {
	clamp := func(v float64) int { return int(min(max(math.Ceil(v-0.5), 0), float64(n))) }
	if math.IsNaN(from) || math.IsNaN(to) {
		return 0, 0
	}
	return clamp(from), clamp(to)
}

// alongTrack visits the cells whose middle lies within half a cutting width of a
// track, and tells how long the gaps are that were left out, and how many.
func (w window) alongTrack(track orb.LineString, widthM float64, visit func(i int)) (gaps int, gapM float64) {
	if len(track) == 1 {
		p := w.at(track[0])
		w.nearLine(p, p, widthM/2, visit)
	}
	for k := 1; k < len(track); k++ {
		a, b := w.at(track[k-1]), w.at(track[k])
		long := geo.Distance(track[k-1], track[k]) // on a sphere, good to 0.7%
		if !(long <= MaxGapM) {
			gaps++
			gapM += long
			continue
		}
		// In pieces, so that the box around a slanting line stays small.
		n := int(long/(4*widthM)) + 1
		for i := range n {
			w.nearLine(between(a, b, float64(i)/float64(n)), between(a, b, float64(i+1)/float64(n)), widthM/2, visit)
		}
	}
	return gaps, gapM
}

func between(a, b orb.Point, t float64) orb.Point {
	return orb.Point{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])}
}

// lengths is the first fundamental form at a place, the inverse of its metric.
type lengths struct{ e, f, g float64 }

func (w window) lengths(at orb.Point) lengths {
	m := w.Frame.MetricAt(at[0]+float64(w.Col0), at[1]+float64(w.Row0))
	e, f, g := m.Inverse()
	return lengths{e, f, g}
}

func (l lengths) dot(u, v orb.Point) float64 {
	return l.e*u[0]*v[0] + l.f*(u[0]*v[1]+u[1]*v[0]) + l.g*u[1]*v[1]
}

// nearLine visits the cells whose middle lies within some meters of a line.
func (w window) nearLine(a, b orb.Point, withinM float64, visit func(i int)) {
	mid := between(a, b, 0.5)
	in := w.lengths(mid)
	m := w.Frame.MetricAt(mid[0]+float64(w.Col0), mid[1]+float64(w.Row0))
	cols, rows := withinM*math.Sqrt(m.A), withinM*math.Sqrt(m.C)
	c0, c1 := w.middles(min(a[0], b[0])-cols, math.Nextafter(max(a[0], b[0])+cols, math.Inf(1)), w.Cols)
	r0, r1 := w.middles(min(a[1], b[1])-rows, math.Nextafter(max(a[1], b[1])+rows, math.Inf(1)), w.Rows)
	way := orb.Point{b[0] - a[0], b[1] - a[1]}
	long2 := in.dot(way, way)
	for r := r0; r < r1; r++ {
		for c := c0; c < c1; c++ {
			to := orb.Point{float64(c) + 0.5 - a[0], float64(r) + 0.5 - a[1]}
			if long2 > 0 {
				t := min(max(in.dot(to, way)/long2, 0), 1)
				to = orb.Point{to[0] - t*way[0], to[1] - t*way[1]}
			}
			if in.dot(to, to) <= withinM*withinM {
				visit(r*w.Cols + c)
			}
		}
	}
}
