package canopy

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/measure"
)

// sound is a report that nothing is wrong with, on 1000 cells of ground.
func sound(change func(r *GrowthReport)) GrowthReport {
	r := GrowthReport{Cells: 1000, CellM: [2]float64{1, 1}, OffsetM: 0, SpreadM: 0.05, OpenShare: 0.3, Ratio: 1, BelowM: 0.3,
		Registration: Registration{Known: true}}
	if change != nil {
		change(&r)
	}
	return r
}

// What a surface is refused for, on both sides of each limit: 99.9% of the cells alike; 3 m
// and a ratio within 1.5% of 3.2808 or its inverse; 5 m below; 5 m above where a fifth or
// more of the ground lies within half a metre of one height.
func TestGrowthIsRefusedFromItsLimits(t *testing.T) {
	for name, c := range map[string]struct {
		says   string
		change func(r *GrowthReport)
	}{
		"sound":                    {"", nil},
		"nothing there":            {"no height anywhere", func(r *GrowthReport) { r.Void = 1000 }},
		"one cell there":           {"", func(r *GrowthReport) { r.Void = 999 }},
		"no ground at all":         {"", func(r *GrowthReport) { r.Cells = 0 }},
		"999 of 1000 alike":        {"bare earth", func(r *GrowthReport) { r.Equal = 999 }},
		"998 alike":                {"", func(r *GrowthReport) { r.Equal = 998 }},
		"998 of 998 that have any": {"bare earth", func(r *GrowthReport) { r.Equal, r.Void = 998, 2 }},
		"feet for meters":          {"feet taken for meters, or the elevation's are meters", func(r *GrowthReport) { r.OffsetM, r.Ratio = 3, 3.2808*1.0149 }},
		"feet for meters, below":   {"feet taken for meters, or the elevation's are meters", func(r *GrowthReport) { r.OffsetM, r.Ratio = -3, 3.2808*0.9851 }},
		"less than 3 m off":        {"", func(r *GrowthReport) { r.OffsetM, r.Ratio = 2.99, 3.2808 }},
		"too much for feet":        {"", func(r *GrowthReport) { r.OffsetM, r.Ratio = 4, 3.2808*1.0151 }},
		"too little for feet":      {"", func(r *GrowthReport) { r.OffsetM, r.Ratio = 4, 3.2808*0.9849 }},
		"meters for feet":          {"meters taken for feet, or the elevation's are feet", func(r *GrowthReport) { r.OffsetM, r.Ratio = -3, 0.3048*1.0149 }},
		"meters for feet, or less": {"meters taken for feet, or the elevation's are feet", func(r *GrowthReport) { r.OffsetM, r.Ratio = 3, 0.3048*0.9851 }},
		"too much for meters":      {"", func(r *GrowthReport) { r.OffsetM, r.Ratio = -4, 0.3048*1.0151 }},
		"too little for meters":    {"", func(r *GrowthReport) { r.OffsetM, r.Ratio = -4, 0.3048*0.9849 }},
		"a fifth":                  {"", func(r *GrowthReport) { r.OffsetM, r.Ratio = -4, 0.2 }},
		"no ratio":                 {"", func(r *GrowthReport) { r.OffsetM, r.Ratio = -4, math.NaN() }},
		"5 m below":                {"5.00 m (16.4 ft) below", func(r *GrowthReport) { r.OffsetM = -5 }},
		"less than 5 m below":      {"", func(r *GrowthReport) { r.OffsetM = -4.99 }},
		"5 m above, a fifth of it": {"5.00 m (16.4 ft) above", func(r *GrowthReport) { r.OffsetM, r.SpreadM, r.OpenShare = 5, 0.5, 0.2 }},
		"less than 5 m above":      {"", func(r *GrowthReport) { r.OffsetM, r.SpreadM, r.OpenShare = 4.99, 0.5, 0.2 }},
		"too uneven for a datum":   {"", func(r *GrowthReport) { r.OffsetM, r.SpreadM, r.OpenShare = 5, 0.51, 0.2 }},
		"too little for a datum":   {"", func(r *GrowthReport) { r.OffsetM, r.SpreadM, r.OpenShare = 5, 0.5, 0.19 }},
	} {
		why := sound(c.change).Refusal()
		if c.says == "" {
			assert.Empty(t, why, name)
		} else {
			assert.Contains(t, why, c.says, name)
		}
	}
}

// What makes growth doubtful, on both sides of each limit: 99% within a foot; a foot of
// offset (0.3 m); 2% below the ground; a shift that is not known.
func TestGrowthIsDoubtedFromItsLimits(t *testing.T) {
	off := Registration{Known: true, Cols: 0.6, M: 1.2, Cells: 300, ErrorCells: 0.01, BeforeM: 1, AfterM: 0.5}
	for name, c := range map[string]struct {
		says   string
		change func(r *GrowthReport)
	}{
		"sound":                {"", nil},
		"99% level":            {"within a foot of the ground on 99.0% of the cells", func(r *GrowthReport) { r.Level = 990 }},
		"less":                 {"", func(r *GrowthReport) { r.Level = 989 }},
		"99% of what has any":  {"within a foot of the ground on 99.0%", func(r *GrowthReport) { r.Level, r.Void = 495, 500 }},
		"coarse":               {"far coarser", func(r *GrowthReport) { r.Coarse = true }},
		"no crowd":             {"they lie nowhere close together", func(r *GrowthReport) { r.OffsetM = math.NaN() }},
		"5 m":                  {"no open ground was found: it lies 5.00 m (16.4 ft) above", func(r *GrowthReport) { r.OffsetM = 5 }},
		"less than 5 m":        {"it lies 4.99 m (16.4 ft) above the ground where that looks open: growth reads too high", func(r *GrowthReport) { r.OffsetM = 4.99 }},
		"a foot":               {"growth reads too high", func(r *GrowthReport) { r.OffsetM = 0.3 }},
		"less than a foot":     {"", func(r *GrowthReport) { r.OffsetM = 0.299 }},
		"a foot below":         {"0.30 m (1.0 ft) below the ground where that looks open: growth reads too low", func(r *GrowthReport) { r.OffsetM = -0.3 }},
		"less than that below": {"", func(r *GrowthReport) { r.OffsetM = -0.299 }},
		"off":                  {"it lies 0.6 cells (1.2 m) off the ground, 0.6 along the rows and 0.0 down the columns", func(r *GrowthReport) { r.Registration = off }},
		"not known":            {"too little open ground", func(r *GrowthReport) { r.Registration = Registration{} }},
		"not known and coarse": {"far coarser", func(r *GrowthReport) { r.Registration, r.Coarse = Registration{}, true }},
		"2% below":             {"by more than 0.3 m on 2.0% of the cells", func(r *GrowthReport) { r.Below = 20 }},
		"less below":           {"", func(r *GrowthReport) { r.Below = 19 }},
		"2% of what has any":   {"on 2.0% of the cells", func(r *GrowthReport) { r.Below, r.Void = 10, 500 }},
	} {
		got := sound(c.change).Warnings(measure.US)
		if c.says == "" {
			assert.Empty(t, got, name)
			continue
		}
		require.Len(t, got, 1, name)
		assert.Contains(t, got[0], c.says, name)
	}
}

// Off by more than half a cell, by more than three standard errors, and a tenth of the
// spread gone once it is moved back; a shift counts by its length.
func TestOffFromHalfACell(t *testing.T) {
	base := Registration{Known: true, Cols: 0.51, ErrorCells: 0.16, BeforeM: 1, AfterM: 0.89}
	for name, c := range map[string]struct {
		off    bool
		change func(r *Registration)
	}{
		"off":               {true, func(r *Registration) {}},
		"half a cell":       {false, func(r *Registration) { r.Cols = 0.5 }},
		"both ways":         {true, func(r *Registration) { r.Cols, r.Rows = -0.4, 0.4 }},
		"three errors":      {false, func(r *Registration) { r.ErrorCells = 0.17 }},
		"a tenth of spread": {false, func(r *Registration) { r.AfterM = 0.9 }},
		"not known":         {false, func(r *Registration) { r.Known = false }},
		"down the columns":  {true, func(r *Registration) { r.Cols, r.Rows = 0, -0.51 }},
	} {
		r := base
		c.change(&r)
		assert.Equal(t, c.off, r.Off(), name)
	}
}

// A surface is taken to lie below the ground from 3 standard deviations of open ground on,
// but from 0.3 m at the least and 2 m at the most; an offset comes on top. Within a foot is
// level.
func TestBelowTheGroundByTheSpreadOfOpenGround(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 5))
	noise := make([]float64, 60*60)
	for i := range noise {
		noise[i] = rnd.NormFloat64()
	}
	ground := gridOf(t, 60, 60, 1, func(c, r int) float64 { return 300 })
	for _, c := range []struct{ sigma, up float64 }{{0.05, 0}, {0.2, 0}, {2, 0}, {0.05, -1}, {0.05, 1}} {
		growth, r := measured(t, ground, gridOf(t, 60, 60, 1, func(c2, r2 int) float64 { return 300 + c.up + c.sigma*noise[r2*60+c2] }), nil)
		assert.InDelta(t, max(0, -r.OffsetM)+min(max(3*r.SpreadM, 0.3), 2), r.BelowM, 1e-9, "%+v", c)
		assert.InEpsilon(t, c.sigma, r.SpreadM, 0.35, "%+v", c)
		assert.InDelta(t, c.up, r.OffsetM, 0.6*c.sigma, "%+v", c)
		below, level := 0, 0
		for i, n := range noise {
			d := float64(float32(200+c.up+c.sigma*n)) - 200
			switch {
			case d < -r.BelowM:
				below++
				require.True(t, math.IsNaN(float64(growth[i])))
			case d < 0:
				require.Zero(t, growth[i])
			default:
				require.InDelta(t, d, growth[i], 1e-4)
			}
			if math.Abs(d) <= 0.3048 {
				level++
			}
		}
		assert.Equal(t, below, r.Below)
		assert.Equal(t, level, r.Level)
		assert.Equal(t, 3600, r.Cells)
	}
}

// Cells more than twice as long as the ground's are coarse.
func TestCoarseFromTwiceTheCell(t *testing.T) {
	ground := gridOf(t, 60, 60, 2, func(c, r int) float64 { return 300 })
	for cellM, coarse := range map[float64]bool{3.9: false, 4.1: true} {
		_, r := measured(t, ground, gridOf(t, 40, 40, cellM, func(c, r int) float64 { return 300 }), nil)
		assert.Equal(t, coarse, r.Coarse, "%g m", cellM)
		assert.Equal(t, coarse, strings.Contains(strings.Join(r.Warnings(measure.US), "\n"), "far coarser"))
	}
}

// Open ground lies together within 0.1 m, or twice the steps in which heights come.
func TestBandOfOpenGround(t *testing.T) {
	smooth := gentle(t, 60, 60, 1, nil)
	stairs := gentle(t, 60, 60, 1, func(h float64, _, _ int) float64 { return math.Round(h) })
	fine := gentle(t, 60, 60, 1, func(h float64, _, _ int) float64 { return math.Round(h*100) / 100 })
	assert.Equal(t, 0.1, crowdBand(smooth, smooth))
	assert.Equal(t, 2.0, crowdBand(smooth, stairs))
	assert.Equal(t, 2.0, crowdBand(stairs, smooth))
	assert.Equal(t, 0.1, crowdBand(fine, fine))
}

// The lowest crowd counts from an eighth of the fullest on, and of 400 values at least.
func TestTheLowestCrowdFromAnEighth(t *testing.T) {
	of := func(low, high int) []float64 {
		var v []float64
		for i := range low + high {
			v = append(v, 10*over(i >= low))
		}
		return v
	}
	c, ok := lowestCrowd(of(100, 800), 0.1)
	require.True(t, ok)
	assert.Equal(t, crowd{0, 0, 100.0 / 900}, c)
	c, ok = lowestCrowd(of(99, 800), 0.1)
	require.True(t, ok)
	assert.Equal(t, 10.0, c.mid)
	_, ok = lowestCrowd(of(0, 400), 0.1)
	assert.True(t, ok)
	_, ok = lowestCrowd(of(0, 399), 0.1)
	assert.False(t, ok)
	// The spread is that of the values below the middle: of 1 to 1001 in thousandths the
	// middle of those below the middle lies a quarter of a metre under it.
	even := make([]float64, 1001)
	for i := range even {
		even[i] = float64(i) / 1000
	}
	c, ok = lowestCrowd(even, 2)
	require.True(t, ok)
	assert.InDelta(t, 0.5, c.mid, 1e-9)
	assert.InDelta(t, 1.4826*0.25, c.spread, 1e-9)
	assert.Equal(t, 1.0, c.share)
}

// On ground too small to tell open from grown a surface lies below it from 0.3 m on.
func TestGrowthOnLittleGround(t *testing.T) {
	ground := gridOf(t, 4, 1, 1, func(c, r int) float64 { return 300 })
	growth, r := measured(t, ground, gridOf(t, 4, 1, 1, func(c, r int) float64 { return 300 + []float64{2, -0.25, -0.3125, 0.3125}[c] }), nil)
	assert.Equal(t, 0.3, r.BelowM)
	assert.True(t, math.IsNaN(r.OffsetM))
	assert.Equal(t, []float32{2, 0, 0.3125}, []float32{growth[0], growth[1], growth[3]})
	assert.True(t, math.IsNaN(float64(growth[2])))
	assert.Equal(t, []int{4, 0, 1, 1}, []int{r.Cells, r.Void, r.Below, r.Level})
}
