package bank

import (
	"math"
	"slices"
)

// scale is what ordinary ground of the raster shows, tile by tile: a template fitted where
// no bank is still finds something.
type scale struct {
	side, cols, rows int // of a tile, in cells, and tiles
	typicalM         []float64
	gain             []float64
}

const (
	tileM      = 100 // of a tile, at least tileSample samples wide
	tileSample = 80
	everyNth   = 12 // sample of a tile that is looked at along rows and columns
)

// calibrate fits the template to some cells of each tile.
func (s *search) calibrate() {
	sc := &scale{side: max(int(tileM/s.sampleM), tileSample) * s.step}
	sc.cols, sc.rows = (s.g.Cols+sc.side-1)/sc.side, (s.g.Rows+sc.side-1)/sc.side
	n := sc.cols * sc.rows
	sc.typicalM, sc.gain = make([]float64, n), make([]float64, n)
	each := everyNth * s.step
	var heights, gains []float64
	s.inParts(n, func(f *fitter, from, to int) {
		var heights, gains []float64
		for k := from; k < to; k++ {
			heights, gains = heights[:0], gains[:0]
			for r := k / sc.cols * sc.side; r < min((k/sc.cols+1)*sc.side, s.g.Rows); r += each {
				for c := k % sc.cols * sc.side; c < min((k%sc.cols+1)*sc.side, s.g.Cols); c += each {
					if b, ok := f.fit(c, r, 0, true, false); ok {
						heights, gains = append(heights, abs32(b.heightM)), append(gains, float64(b.gain))
					}
				}
			}
			sc.typicalM[k], sc.gain[k] = median(heights), median(gains)
		}
	})
	for k, v := range sc.typicalM {
		if v == v {
			heights, gains = append(heights, v), append(gains, sc.gain[k])
		}
	}
	h, gn := median(heights), median(gains)
	if h != h { // nowhere a whole disc
		h, gn = 0, 0
	}
	for k, v := range sc.typicalM {
		if v != v {
			sc.typicalM[k], sc.gain[k] = h, gn
		}
	}
	s.scale = sc
}

// median is NaN of none.
func median(v []float64) float64 {
	if len(v) == 0 {
		return math.NaN()
	}
	slices.Sort(v)
	return v[len(v)/2]
}

// tile is that of a cell.
func (s *search) tile(c, r int) int { return r/s.scale.side*s.scale.cols + c/s.scale.side }

// leastOfTypical is how much higher than the typical fit of its tile a bank is at least: below
// that no cell is likely one.
const leastOfTypical = 1.5

// likelihood is how likely a fit is one of a bank. On ordinary ground what the best of the headings
// finds spreads as the length of a vector of five normal parts does about the tile's median, and
// twice the logarithm of how much better it fits, over the typical one, as their square (tried on
// made hummocks and on bare earth from lidar). A bank may have any height: each doubling is as
// likely as the next, over the factor e³.
func (s *search) likelihood(b *fit) float64 {
	k := s.tile(b.cell%s.g.Cols, b.cell/s.g.Cols)
	const medianOfFive = 2.0860
	typical, gain := max(s.scale.typicalM[k], leastTypicalM), s.scale.gain[k]
	x := medianOfFive * abs32(b.heightM) / typical
	ground := 4*math.Log(x) - x*x/2 - math.Log(3*math.Sqrt(math.Pi/2))
	bank := math.Log(1 / (3 * x))
	fits := medianOfFive * medianOfFive / 2 * (float64(b.gain) - gain) / max(gain, leastGain)
	return 1 / (1 + math.Exp(-(math.Log(rate) + bank - ground + fits)))
}

const (
	leastTypicalM, leastGain = 0.01, 0.1 // on ground smoother than any raster's
	rate                     = 1e-3      // of cells that are a bank's, before anything is known (planning value)
)
