package coverage

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// straightCells is how long an edge that is straight in longitude and latitude may
// be, in cells, to be taken for straight in the grid: over 64 m it bends by less
// than a millimetre.
const straightCells = 64

// EachInside calls span for every run of cells of the window, from ≤ col < to, whose
// middles lie inside ground (even-odd over its rings, so that holes are left out).
func (c *Window) EachInside(ground orb.MultiPolygon, span func(row, from, to int)) {
	crossings, two := make([][]float64, c.Rows), make([]float64, 2*c.Rows)
	for r := range crossings { // most rows are crossed once in and once out
		crossings[r] = two[2*r : 2*r : 2*r+2]
	}
	for _, poly := range ground {
		for _, ring := range poly {
			if len(ring) > 0 {
				c.alongRing(ring, crossings)
			}
		}
	}
	for row, xs := range crossings {
		slices.Sort(xs)
		for i := 0; i+1 < len(xs); i += 2 {
			from, to := max(int(math.Ceil(xs[i]-0.5)), 0), min(int(math.Ceil(xs[i+1]-0.5)), c.Cols)
			if from < to {
				span(row, from, to)
			}
		}
	}
}

// alongRing notes where the edges of a ring cross the middles of rows, in pieces that are
// straight in the grid.
func (c *Window) alongRing(ring orb.Ring, crossings [][]float64) {
	at := func(p orb.Point) (x, y float64) {
		x, y = c.Frame.Cell(p[0], p[1])
		return x - float64(c.Col0), y - float64(c.Row0)
	}
	last := ring[len(ring)-1]
	x0, y0 := at(last)
	for _, p := range ring {
		x1, y1 := at(p)
		n := math.Ceil(math.Hypot(x1-x0, y1-y0) / straightCells)
		for i := 1.0; i < n; i++ {
			x, y := at(orb.Point{last[0] + (p[0]-last[0])*i/n, last[1] + (p[1]-last[1])*i/n})
			crossRows(crossings, x0, y0, x, y)
			x0, y0 = x, y
		}
		crossRows(crossings, x0, y0, x1, y1)
		last, x0, y0 = p, x1, y1
	}
}

// crossRows notes where a piece crosses the middles of rows.
func crossRows(crossings [][]float64, x0, y0, x1, y1 float64) {
	if y0 > y1 {
		x0, y0, x1, y1 = x1, y1, x0, y0
	}
	from, to := max(int(math.Ceil(y0-0.5)), 0), min(int(math.Ceil(y1-0.5)), len(crossings))
	for r := from; r < to; r++ {
		crossings[r] = append(crossings[r], x0+(float64(r)+0.5-y0)/(y1-y0)*(x1-x0))
	}
}
