package mapping

import (
	"math"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning"
)

// Plane lays the cells of a window out in meters, by the metric of its middle: the root
// of its first fundamental form. Across one job lengths are good to a hundredth.
type Plane struct {
	cells    *zoning.Cells
	e, f, h  float64
	col, row float64 // of the origin, the middle
}

// planeScale is what a length on the plane is at least of that on the ground.
const planeScale = 0.99

// PlaneOf is the plane of a window of cells.
func PlaneOf(c *zoning.Cells) Plane {
	p := Plane{cells: c, col: float64(c.Cols) / 2, row: float64(c.Rows) / 2}
	p.e, p.f, p.h = c.Frame.MetricAt(float64(c.Col0)+p.col, float64(c.Row0)+p.row).Plane()
	return p
}

// At is where a place of the window, in cells, lies on the plane, in meters from its middle.
func (p Plane) At(col, row float64) (x, y float64) {
	col, row = col-p.col, row-p.row
	return p.e*col + p.f*row, -p.h * row
}

// Place is where a longitude and latitude lie on the plane, in meters from its middle.
func (p Plane) Place(at orb.Point) (x, y float64) {
	c, r := p.cells.Frame.Cell(at[0], at[1])
	return p.At(c-float64(p.cells.Col0), r-float64(p.cells.Row0))
}

// PlaneBox bounds ground on a plane.
type PlaneBox struct{ x0, y0, x1, y1 float64 }

// Box bounds cells from one corner of the window to another.
func (p Plane) Box(c0, r0, c1, r1 int) PlaneBox {
	b := PlaneBox{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, c := range []int{c0, c1} {
		for _, r := range []int{r0, r1} {
			x, y := p.At(float64(c), float64(r))
			b = b.With(PlaneBox{x, y, x, y})
		}
	}
	return b
}

// With bounds both boxes.
func (b PlaneBox) With(o PlaneBox) PlaneBox {
	return PlaneBox{min(b.x0, o.x0), min(b.y0, o.y0), max(b.x1, o.x1), max(b.y1, o.y1)}
}

// GapM is how far apart, in meters, ground in two boxes is at least.
func (b PlaneBox) GapM(o PlaneBox) float64 {
	return planeScale * math.Hypot(max(0, b.x0-o.x1, o.x0-b.x1), max(0, b.y0-o.y1, o.y0-b.y1))
}
