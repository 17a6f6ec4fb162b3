package slope

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// rise is what ground of one bend hides at 90%, as [Hidden] says it.
func rise(octaves, theta, bend float64) float64 {
	return math.Hypot(0.45*math.Pow(octaves, 0.78)*math.Exp2(theta*octaves)*bend, 0.0165*octaves)
}

// By hand: columns that go up and down by 0.1 m on cells of 10 m bend by 4·0.1/10 = 0.04
// between neighbors, and not at all between every other. Of 12 columns 8 have both, in one
// row of four, the third first. 64 of no growth are counted, so that with n cells
//
//	g² = (n + 64/2) / (64/2)    θ = 1.1·(g - 0.84)
func TestGrowthOfRoughnessToldFromFewCells(t *testing.T) {
	upAndDown := func(x, _ float64) float64 { return 0.1 * math.Cos(math.Pi*x/10) }
	for _, c := range []struct {
		rows int
		n    float64
	}{
		{4, 0},                            // no row has cells twice as far apart: no growth is told, and θ is 1.1·0.16
		{5, 8}, {6, 8}, {9, 16}, {14, 24}, // rows 3, 7 and 11
	} {
		h := HiddenIn(surfaceOf(t, 12, c.rows, 10, upAndDown), [2]int{1, 1}, 30, 3.75)
		want := rise(3, 1.1*(math.Sqrt((c.n+32)/32)-0.84), 0.04)
		assert.InEpsilon(t, want, h.MedianRise(0.9), 1e-4, "%d rows", c.rows)
	}
	// Up and down each row too, and a bowl along it: bends of 0.04 and 0.1 near, of 0.2 far.
	g := surfaceOf(t, 12, 5, 10, func(x, y float64) float64 { return 0.005*x*x + upAndDown(y, 0) })
	near, far := 0.04*0.04+0.1*0.1, 0.2*0.2
	both := 32 * (near + far)
	growth := math.Sqrt((8*near + both) / (8*far + both))
	assert.InEpsilon(t, rise(3, 1.1*(growth-0.84), math.Sqrt(near)), HiddenIn(g, [2]int{1, 1}, 30, 3.75).MedianRise(0.9), 1e-4)
	// A void leaves three cells that have all their neighbors.
	void := surfaceOf(t, 12, 5, 10, upAndDown)
	void.Z[2*12+5] = nan
	assert.InEpsilon(t, rise(3, 1.1*(math.Sqrt(35./32)-0.84), 0.04), HiddenIn(void, [2]int{1, 1}, 30, 3.75).MedianRise(0.9), 1e-4)
}

// What a footprint's rounding to whole cells leaves, a quarter of an octave, is no relief.
func TestOctavesFromWhichCellsHide(t *testing.T) {
	g := surfaceOf(t, 12, 12, 10, func(x, _ float64) float64 { return x * x / 40 })
	for octaves, hides := range map[float64]bool{0.24: false, 0.25: false, 0.26: true, 0.27: true} {
		assert.Equal(t, hides, HiddenIn(g, [2]int{1, 1}, math.Exp2(octaves), 1) != nil, "%g", octaves)
	}
}

// By hand, on cells of 4 × 10 m, and of 3 × 2 of them: k·x² bends by 2k·(width), k·y² by
// 2k·(height), and k·x·y by √2·k·√(width·height), since it turns along both. Between cells
// twice as far apart each is twice that, so nothing grows.
func TestBendsOfOblongCells(t *testing.T) {
	const k = 1.0 / 64
	for _, span := range [][2]int{{1, 1}, {3, 2}, {0, -1}} {
		w, h := 4*float64(max(span[0], 1)), 10*float64(max(span[1], 1))
		for name, c := range map[string]struct {
			height func(x, y float64) float64
			bend   float64
		}{
			"along":   {func(x, _ float64) float64 { return k * x * x }, 2 * k * w},
			"down":    {func(_, y float64) float64 { return k * y * y }, 2 * k * h},
			"twisted": {func(x, y float64) float64 { return k * x * y }, k * math.Sqrt(2*w*h)},
			"bowl":    {func(x, y float64) float64 { return k * (x*x + y*y) }, 2 * k * math.Hypot(w, h)},
		} {
			z := make([]float32, 91*61)
			for i := range z {
				z[i] = float32(c.height(4*float64(i%91), 10*float64(i/91)))
			}
			hidden := HiddenIn(grid(t, z, 91, 61, 4, 10), span, 40, 10)
			assert.InEpsilon(t, rise(2, 0, c.bend), hidden.MedianRise(0.9), 2e-3, "%s, %v", name, span)
			assert.Equal(t, [2]int{int(math.Ceil(91 * 4 / w)), int(math.Ceil(61 * 10 / h))}, [2]int{hidden.cols, hidden.rows})
			assert.Len(t, hidden.variance, hidden.cols*hidden.rows)
		}
	}
}

// The rows of a raster are those of the spans they lie in, three rows to a span here, and so
// are its columns, five to a span.
func TestRowsOfSpans(t *testing.T) {
	h := &Hidden{cols: 2, rows: 4, span: [2]int{5, 3}, variance: []float32{1, 2, 3, 4, 5, 6, 7, 8}}
	for r, want := range [][]float32{{1, 2}, {1, 2}, {1, 2}, {3, 4}, {3, 4}, {3, 4}, {5, 6}, {5, 6}, {5, 6}, {7, 8}} {
		assert.Equal(t, want, h.row(r), "row %d", r)
	}
	z, _ := quantiles(0.9)
	assert.InDelta(t, z*math.Sqrt(5), h.MedianRise(0.9), 1e-12, "the fifth of eight")
	f := &Field{Cols: 7, Rows: 2, Row0: 5, Squared: make([]float32, 14)}
	f.AddUpper()
	Spread{Cov: Cov{Metric: terrain.Metric{A: 1, C: 1}}, Hidden: h}.Fill(f, nil)
	for i, variance := range []float64{3, 3, 3, 3, 3, 4, 4, 5, 5, 5, 5, 5, 6, 6} {
		assert.InEpsilon(t, -2*math.Log(0.1)*variance, f.UpperSquared[i], 1e-6, "the quantile of a Rayleigh distribution, cell %d", i)
	}
}

// A bend is told where all neighbors are known: all but the rim, of one cell or of two.
func TestBendsAreToldWithinTheRim(t *testing.T) {
	g := surfaceOf(t, 7, 6, 1, func(x, _ float64) float64 { return x * x })
	b := bender{g, [2]int{1, 1}, 1, 1}
	for times, known := range map[int][]string{1: {".......", ".kkkkk.", ".kkkkk.", ".kkkkk.", ".kkkkk.", "......."}, 2: {".......", ".......", "..kkk..", "..kkk..", ".......", "......."}} {
		for r, want := range known {
			line, got := make([]float32, 7), ""
			b.row(line, r, times)
			for _, v := range line {
				if v != v {
					got += "."
				} else {
					require.EqualValues(t, 4*times*times, v)
					got += "k"
				}
			}
			assert.Equal(t, want, got, "row %d, %d apart", r, times)
		}
	}
	// Of y³ the fourth row of two, y = 6, bends by 8³ - 2·6³ + 4³ = 144.
	cubic := surfaceOf(t, 5, 14, 1, func(_, y float64) float64 { return y * y * y })
	line := make([]float32, 5)
	(&bender{cubic, [2]int{1, 2}, 1, 1}).row(line, 3, 1)
	assert.EqualValues(t, 144*144, line[2])
}

// By hand: one bend among cells of none, in the middle and in a corner, is the mean over the
// 5 × 5 around that lie on the grid and are known. Where none is known nothing bounds it.
func TestMeanOfBendsAround(t *testing.T) {
	averaged := func(at, void int) []float32 {
		h := &Hidden{cols: 8, rows: 7, span: [2]int{1, 1}, variance: make([]float32, 56)}
		h.variance[at] = 300
		if void >= 0 {
			h.variance[void] = nan
		}
		h.average()
		return h.variance
	}
	// Columns and rows of a window by how many it holds at its place in 8 and in 7.
	cols, rows := []float32{3, 4, 5, 5, 5, 5, 4, 3}, []float32{3, 4, 5, 5, 5, 4, 3}
	for _, at := range [][2]int{{3, 3}, {0, 0}, {7, 6}, {6, 1}, {2, 4}} {
		got := averaged(at[1]*8+at[0], -1)
		for i, v := range got {
			want := float32(0)
			if c, r := i%8, i/8; max(c-at[0], at[0]-c, r-at[1], at[1]-r) <= 2 {
				want = 300 / (cols[c] * rows[r])
			}
			assert.InDelta(t, want, v, 1e-4, "%v, cell %d", at, i)
		}
	}
	assert.InDelta(t, 300./24, averaged(3*8+3, 2*8+2)[3*8+3], 1e-4, "what is void counts for nothing")
	h := &Hidden{cols: 9, rows: 1, span: [2]int{1, 1}, variance: []float32{7, nan, nan, nan, nan, nan, nan, nan, nan}}
	h.average()
	inf := float32(math.Inf(1))
	assert.Equal(t, []float32{7, 7, 7, inf, inf, inf, inf, inf, inf}, h.variance)
}
