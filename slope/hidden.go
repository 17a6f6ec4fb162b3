package slope

import (
	"math"
	"slices"

	"github.com/acreband/acreband/terrain"
)

// Hidden is how much of the slope that a machine feels is smaller than a grid's cells: the
// variance of slope that the grid does not show, told from the relief that it does show.
// Slope is said of the ground around a cell by its bend, the change of slope between
// neighbouring cells,
//
//	bend² = (Δ²x + Δ²y + 2·Δ²xy) / cell²    the mean over 5 × 5 cells, as a slope squared
//
// and ground at machine scale is, with [Certainty], no more than
//
//	0.45 · n^0.78 · 2^(θ·n) · bend    n = log2(ground slope is taken over / machine's length)
//
// steeper along the fall line than the cell's slope says. θ is how much each octave adds by
// being rougher than the one above, told by the raster itself: the ratio g of the bend
// between cells to that between cells twice as far apart,
//
//	θ = 1.1 · (g - 0.84), from 0 to 1
//
// The form is that of made fractal ground of Hurst exponents 0.6 to 1, of which every octave
// is known (g 1.02 to 0.84): slope measured over scales follows a power of the scale (Zhang
// et al. 1999, Earth Surf. Process. Landforms 24:763), from the relief that is seen (Gallant and Hutchinson
// 1997, Math. Comput. Simul. 43:313). The leading 0.45 was fitted to four rasters: a
// dissected ridge at 1 m, a scarp's hills at 2 m, a town on a plain at 2 m, and mountains at 9 m,
// each averaged to cells 2 to 30 times as large. Of ground that is then called below a limit
// of 15 to 60%, at most 2.4% was above it on any of them.
type Hidden struct {
	cols, rows int
	span       [2]int    // cells between the heights that are compared
	variance   []float32 // of slope, for each span[0] × span[1] cells
}

// Coefficients of [Hidden], and what keeps growth from hanging on a few cells: as many of
// no growth are counted.
const (
	hiddenBase, hiddenPower    = 0.45, 0.78
	growthFactor, growthBefore = 1.1, 0.84
	growthPrior                = 64
	// No relief gains more than this in an octave: white noise, which has no scale, doubles.
	mostGrowth = 1
)

// leastOctaves is what is left to the rounding of a footprint to whole cells.
const leastOctaves = 0.25

// bendHalf is half the window over which bends are averaged, less the middle.
const bendHalf = 2

// HiddenIn tells what the cells of a grid hide from a machine machineM long, where slope is
// taken over overM of ground. span is how many columns and rows lie between heights that
// say something of their own: 1 and 1, but more where the grid was drawn from a coarser one.
// It is nil where the cells hide nothing.
func HiddenIn(g *terrain.Grid, span [2]int, overM, machineM float64) *Hidden {
	octaves := math.Log2(overM / machineM)
	if !(octaves > leastOctaves) {
		return nil
	}
	span = [2]int{max(span[0], 1), max(span[1], 1)}
	h := &Hidden{cols: (g.Cols + span[0] - 1) / span[0], rows: (g.Rows + span[1] - 1) / span[1], span: span}
	w, v := g.MiddleCellM()
	b := bender{g, span, 1 / (w * float64(span[0])), 1 / (v * float64(span[1]))}
	h.variance = make([]float32, h.cols*h.rows)
	var near, far float64
	n := 0
	for r := range h.rows {
		for c := range h.cols {
			at := b.at(c*span[0], r*span[1], 1)
			h.variance[r*h.cols+c] = float32(at)
			if r%4 == 2 && at == at {
				if twice := b.at(c*span[0], r*span[1], 2); twice == twice {
					near, far, n = near+at, far+twice, n+1
				}
			}
		}
	}
	h.average()
	growth := 1.0
	if n > 0 && near+far > 0 {
		prior := growthPrior * (near + far) / 2 / float64(n)
		growth = math.Sqrt((near + prior) / (far + prior))
	}
	theta := min(max(growthFactor*(growth-growthBefore), 0), mostGrowth)
	z, _ := quantiles(0.9) // what the coefficients were fitted to
	sigmas := hiddenBase * math.Pow(octaves, hiddenPower) * math.Exp2(theta*octaves) / z
	for i, bend := range h.variance {
		h.variance[i] = float32(sigmas * sigmas * float64(bend))
	}
	return h
}

// bender takes bends between cells span apart, over their distances.
type bender struct {
	g              *terrain.Grid
	span           [2]int
	perCol, perRow float64
}

// at is the squared bend of a cell, between it and cells so many times span away; NaN
// where one of those has no elevation.
func (b *bender) at(col, row, times int) float64 {
	dc, dr := times*b.span[0], times*b.span[1]
	if col < dc || row < dr || col+dc >= b.g.Cols || row+dr >= b.g.Rows {
		return math.NaN()
	}
	up, mid, down := b.g.Line(row-dr), b.g.Line(row), b.g.Line(row+dr)
	z := 2 * float64(mid[col])
	x := (float64(mid[col-dc]) - z + float64(mid[col+dc])) * b.perCol
	y := (float64(up[col]) - z + float64(down[col])) * b.perRow
	xy := (float64(down[col+dc]) - float64(down[col-dc]) - float64(up[col+dc]) + float64(up[col-dc])) / 4
	return (x*x + y*y + 2*xy*xy*b.perCol*b.perRow) / float64(times*times)
}

// average replaces each bend by the mean of those around that are known, and by +Inf where
// none is.
func (h *Hidden) average() {
	sums, counts := make([]float32, len(h.variance)), make([]uint8, len(h.variance))
	for r := range h.rows {
		line := h.variance[r*h.cols:][:h.cols]
		for c := range line {
			for _, b := range line[max(c-bendHalf, 0):min(c+bendHalf+1, h.cols)] {
				if b == b {
					sums[r*h.cols+c] += b
					counts[r*h.cols+c]++
				}
			}
		}
	}
	for r := range h.rows {
		for c := range h.cols {
			sum, n := float32(0), 0
			for j := max(r-bendHalf, 0); j <= min(r+bendHalf, h.rows-1); j++ {
				sum, n = sum+sums[j*h.cols+c], n+int(counts[j*h.cols+c])
			}
			h.variance[r*h.cols+c] = float32(math.Inf(1))
			if n > 0 {
				h.variance[r*h.cols+c] = sum / float32(n)
			}
		}
	}
}

// MedianRise is the slope that the median cell hides at most, with some certainty.
func (h *Hidden) MedianRise(certainty float64) float64 {
	sorted := slices.Clone(h.variance)
	slices.Sort(sorted)
	z, _ := quantiles(certainty)
	return z * math.Sqrt(float64(sorted[len(sorted)/2]))
}

// row is the variances of a row of the grid, one for each span of its columns.
func (h *Hidden) row(r int) []float32 { return h.variance[r/h.span[1]*h.cols:][:h.cols] }
