package slope

import (
	"math"

	"github.com/acreband/acreband/terrain"
)

// Gaussian is a smoothing of heights, weighed by the distance along rows and down columns.
type Gaussian struct {
	cols, rows []float64 // weights of 2·half+1 cells
}

// GaussianOf returns the smoothing of a standard deviation in metres on the cells of the middle
// of a grid, cut off at three of it.
func GaussianOf(g *terrain.Grid, sigmaM float64) Gaussian {
	w, h := g.MiddleCellM()
	return Gaussian{bell(sigmaM / w), bell(sigmaM / h)}
}

// bell is the weights of a Gaussian of a deviation in cells, which sum to 1.
func bell(sigma float64) []float64 {
	half := int(math.Ceil(3 * sigma))
	weights, sum := make([]float64, 2*half+1), 0.0
	for i := range weights {
		at := float64(i-half) / sigma
		weights[i] = math.Exp(-at * at / 2)
		sum += weights[i]
	}
	for i := range weights {
		weights[i] /= sum
	}
	return weights
}

// Smooth returns a grid of smoothed heights, with the voids of the given one. A plane stays
// as it is, at its rim and beside voids too: of two cells at one distance on either side
// both count, or neither.
func (s Gaussian) Smooth(g *terrain.Grid) *terrain.Grid {
	out := s.Room(g)
	s.Rows(g, 0, g.Rows, out)
	return out
}

// Room is a grid for the smoothed heights of another.
func (s Gaussian) Room(g *terrain.Grid) *terrain.Grid {
	out := *g
	out.Stride, out.Z = g.Cols, make([]float32, g.Cols*g.Rows)
	return &out
}

// Rows writes the smoothed rows r0 ≤ r < r1 of a grid into dst, of [Gaussian.Room]. It reads the
// rows that its weights reach on either side and writes no other, so strips may be
// smoothed in any order, or at once, to the same bits.
func (s Gaussian) Rows(g *terrain.Grid, r0, r1 int, dst *terrain.Grid) {
	half := len(s.rows) / 2
	first, end := max(r0-half, 0), min(r1+half, g.Rows)
	across := make([]float32, (end-first)*g.Cols)
	row := func(r int) []float32 { return across[(r-first)*g.Cols:][:g.Cols] }
	for r := first; r < end; r++ {
		smoothLine(g.Line(r), row(r), s.cols)
	}
	sum := make([]float64, g.Cols)
	for r := r0; r < r1; r++ {
		mid := row(r)
		for c, z := range mid {
			sum[c] = float64(z) * s.rows[half]
		}
		for d := 1; d <= half; d++ {
			up, down := mid, mid
			if r-d >= 0 && r+d < g.Rows {
				up, down = row(r-d), row(r+d)
			}
			for c, z := range mid {
				pair := float64(up[c]) + float64(down[c])
				if pair != pair {
					pair = 2 * float64(z)
				}
				sum[c] += s.rows[half+d] * pair
			}
		}
		for c, z := range sum {
			dst.Z[r*dst.Stride+c] = float32(z)
		}
	}
}

// smoothLine smooths a line of heights into another.
func smoothLine(line, to []float32, weights []float64) {
	half := len(weights) / 2
	for i, z := range line {
		sum := float64(z) * weights[half]
		for d := 1; d <= half; d++ {
			pair := 2 * float64(z)
			if i-d >= 0 && i+d < len(line) {
				if both := float64(line[i-d]) + float64(line[i+d]); both == both {
					pair = both
				}
			}
			sum += weights[half+d] * pair
		}
		to[i] = float32(sum)
	}
}

// After returns the kernel of slope that is taken on smoothed heights, as one of the heights
// themselves.
func (k Kernel) After(s Gaussian) Kernel {
	return Kernel{convolved(k.colFall, s.cols), convolved(k.colMean, s.cols), convolved(k.rowFall, s.rows), convolved(k.rowMean, s.rows)}
}

func convolved(a, b []float64) []float64 {
	out := make([]float64, len(a)+len(b)-1)
	for i, x := range a {
		for j, y := range b {
			out[i+j] += x * y
		}
	}
	return out
}
