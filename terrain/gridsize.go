package terrain

import (
	"math"
)

// SquareMetresPerAcre is the international acre, 43 560 ft² of 0.3048 m: exact.
const SquareMetresPerAcre = 4046.8564224

// Acres is how much ground a number of cells is, by the cell in the middle.
func (g *Grid) Acres(cells int) float64 {
	w, h := g.MiddleCellM()
	return float64(cells) * w * h / SquareMetresPerAcre
}

// MiddleCellM is the ground size of the cell in the middle, in metres.
func (g *Grid) MiddleCellM() (w, h float64) {
	return g.Frame.MetricAt(float64(g.Col0)+float64(g.Cols)/2, float64(g.Row0)+float64(g.Rows)/2).CellM()
}

// Line is a row of heights above Z0, metres.
func (g *Grid) Line(row int) []float32 { return g.Z[row*g.Stride:][:g.Cols] }

// Between is a grid's height above its Z0 at cell coordinates of its window,
// bilinear between the middles of cells; NaN beyond them and beside a void.
func (g *Grid) Between(x, y float64) float64 {
	x, y = x-0.5, y-0.5
	c, r := math.Floor(x), math.Floor(y)
	u, v := x-c, y-r
	if !(c >= 0 && r >= 0 && c+math.Ceil(u) < float64(g.Cols) && r+math.Ceil(v) < float64(g.Rows)) {
		return math.NaN()
	}
	at := int(r)*g.Stride + int(c)
	right, down := int(math.Ceil(u)), int(math.Ceil(v))*g.Stride
	return (float64(g.Z[at])*(1-u)+float64(g.Z[at+right])*u)*(1-v) +
		(float64(g.Z[at+down])*(1-u)+float64(g.Z[at+down+right])*u)*v
}
