package slope

import (
	"math"
	"slices"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/rank"
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
// steeper along the fall line than the cell's slope says; and 0.0165·n beside that, their
// squares added, where ground shows no relief at all. θ is how much each octave adds by
// being rougher than the one above, told by the raster itself: the ratio g of the bend
// between cells to that between cells twice as far apart,
//
//	θ = 1.1 · (g - 0.84), from 0 to 1
//
// The form is that of made fractal ground of Hurst exponents 0.6 to 1, of which every octave
// is known (g 1.02 to 0.84): slope measured over scales follows a power of the scale (Zhang et
// al. 1999, Earth Surf. Process. Landforms 24:763), and what is finer is told from the relief
// that is seen (Gallant and Hutchinson 1997, Math. Comput. Simul. 43:313). The leading 0.45 is
// held against four rasters: a dissected ridge at 1 m, hills beside a fault at 2 m, a town on a
// plain at 2 m, and mountains at 9 m, each averaged to cells 2 to 30 times as large. Three of
// them at a time ask for 0.39, and without the town for 0.30, so that of ground called below a
// limit of 15 to 60% by less than a fifth at most a tenth is over it. Of the fourth, with the
// figure of the three, at most 2.4% of all ground called below a limit is over it; with 0.45 at
// most 1.9%, and of what is below by less than a fifth 8.5%. The 0.0165 is what the smoothest
// quarter of the town hides, at each of its cells.
//
// Relief that repeats at less than two cells all over the ground, such as spoil ridges or
// terraces, leaves no trace in the means of cells, and is not bounded.
type Hidden struct {
	cols, rows int
	span       [2]int    // cells between the heights that are compared
	variance   []float32 // of slope, for each span[0] × span[1] cells
}

// Coefficients of [Hidden], and what keeps growth from hanging on a few cells: as many of
// no growth are counted.
const (
	hiddenBase, hiddenPower    = 0.45, 0.78
	leastHidden                = 0.0165
	growthFactor, growthBefore = 1.1, 0.84
	growthPrior                = 64
	growthRows                 = 4 // one row in so many tells it
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
	twice := make([]float32, h.cols)
	for r := range h.rows {
		line := h.variance[r*h.cols:][:h.cols]
		b.row(line, r, 1)
		if r%growthRows != 2 {
			continue
		}
		b.row(twice, r, 2)
		for c, t := range twice {
			if at := line[c]; t == t && at == at {
				near, far, n = near+float64(at), far+float64(t), n+1
			}
		}
	}
	h.average()
	growth := 1.0
	if near+far > 0 {
		prior := growthPrior * (near + far) / 2 / float64(n)
		growth = math.Sqrt((near + prior) / (far + prior))
	}
	theta := min(max(growthFactor*(growth-growthBefore), 0), mostGrowth)
	z, _ := quantiles(0.9) // what the coefficients were fitted to
	sigmas := hiddenBase * math.Pow(octaves, hiddenPower) * math.Exp2(theta*octaves) / z
	least := leastHidden * octaves / z
	for i, bend := range h.variance {
		h.variance[i] = float32(sigmas*sigmas*float64(bend) + least*least)
	}
	return h
}

// bender takes bends between cells span apart, over their distances.
type bender struct {
	g              *terrain.Grid
	span           [2]int
	perCol, perRow float64
}

// row writes the squared bends of a row of spans, each between it and cells so many times span
// away; NaN where one of those has no elevation.
func (b *bender) row(dst []float32, r, times int) {
	dc, dr, at := times*b.span[0], times*b.span[1], r*b.span[1]
	for c := range dst {
		dst[c] = nan
	}
	if at < dr || at+dr >= b.g.Rows {
		return
	}
	up, mid, down := b.g.Line(at-dr), b.g.Line(at), b.g.Line(at+dr)
	perCol, perRow := b.perCol/float64(times), b.perRow/float64(times)
	perBoth := 2 * perCol * perRow / 16
	for c := times; c*b.span[0]+dc < len(mid); c++ {
		i := c * b.span[0]
		w, e := i-dc, i+dc
		z := 2 * float64(mid[i])
		x := (float64(mid[w]) - z + float64(mid[e])) * perCol
		y := (float64(up[i]) - z + float64(down[i])) * perRow
		xy := float64(down[e]) - float64(down[w]) - float64(up[e]) + float64(up[w])
		dst[c] = float32(x*x + y*y + xy*xy*perBoth)
	}
}

// average replaces each bend by the mean of those around that are known, and by +Inf where
// none is.
func (h *Hidden) average() {
	// Sums over columns, from the left end of a row: those of a window are a difference.
	sums, counts := make([]float64, h.cols+1), make([]int32, h.cols+1)
	across, known := make([]float32, len(h.variance)), make([]uint8, len(h.variance))
	for r := range h.rows {
		for c, b := range h.variance[r*h.cols:][:h.cols] {
			sums[c+1], counts[c+1] = sums[c], counts[c]
			if b == b {
				sums[c+1] += float64(b)
				counts[c+1]++
			}
		}
		for c := range h.cols {
			from, to := max(c-bendHalf, 0), min(c+bendHalf+1, h.cols)
			across[r*h.cols+c], known[r*h.cols+c] = float32(sums[to]-sums[from]), uint8(counts[to]-counts[from])
		}
	}
	total, n := make([]float32, h.cols), make([]int32, h.cols)
	for r := range h.rows {
		clear(total)
		clear(n)
		for j := max(r-bendHalf, 0); j <= min(r+bendHalf, h.rows-1); j++ {
			row, count := across[j*h.cols:][:h.cols], known[j*h.cols:][:h.cols]
			for c := range total {
				total[c] += row[c]
				n[c] += int32(count[c])
			}
		}
		for c := range total {
			h.variance[r*h.cols+c] = float32(math.Inf(1))
			if n[c] > 0 {
				h.variance[r*h.cols+c] = total[c] / float32(n[c])
			}
		}
	}
}

// MedianRise is the slope that the median cell hides at most, with some certainty.
func (h *Hidden) MedianRise(certainty float64) float64 {
	z, _ := quantiles(certainty)
	return z * math.Sqrt(float64(rank.Nth(slices.Clone(h.variance), len(h.variance)/2)))
}

// row is the variances of a row of the grid, one for each span of its columns.
func (h *Hidden) row(r int) []float32 { return h.variance[r/h.span[1]*h.cols:][:h.cols] }
