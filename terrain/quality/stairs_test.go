package quality

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

func TestStairsAreFoundWithTheirQuantum(t *testing.T) {
	for _, c := range []struct {
		quantum float64
		unit    string
		cell    float64
		shift   float64 // of a datum
	}{
		{1, "1 m", 30, 0}, {1, "1 m", 2, 0.43}, {0.3048, "1 foot", 3, 0}, {1200.0 / 3937, "1 foot", 3, -0.71},
		{0.1, "1 dm", 1, 0}, {0.5, "half a meter", 5, 0}, {10, "10 m", 90, 0}, {0.01, "1 cm", 1, 0}, {0.03048, "a tenth of a foot", 1, 0},
	} {
		g := gentle(t, 300, 200, c.cell, func(h float64, _, _ int) float64 { return math.Round(h/c.quantum)*c.quantum + c.shift })
		s, ok := findStairs(g)
		require.True(t, ok, "%g m", c.quantum)
		assert.InDelta(t, c.quantum, s.QuantumM, 1e-5)
		assert.Equal(t, c.unit, s.Unit)
		assert.InDelta(t, 50*c.quantum/c.cell, s.MeaninglessPct, 1e-3*s.MeaninglessPct)
	}
}

func TestWhatIsNotQuantisedIsNoStairs(t *testing.T) {
	for name, g := range map[string]*terrain.Grid{
		"lidar":       gentle(t, 300, 200, 1, nil),
		"steep":       steep(t, 300, 200, 1, 1),
		"one step":    gridOf(t, 300, 200, 1, func(c, r int) float64 { return 100 + 10*float64(c/150) }),
		"level":       gridOf(t, 300, 200, 1, func(c, r int) float64 { return 100 }),
		"a plane":     gridOf(t, 300, 200, 1, func(c, r int) float64 { return 100 + 0.1*float64(c) }),
		"a fold":      gridOf(t, 300, 200, 1, func(c, r int) float64 { return 100 + math.Abs(0.35*float64(c-150)) }),
		"part of it":  gentle(t, 300, 200, 1, func(h float64, c, _ int) float64 { return cut(h, c > 150) }),
		"millimetres": gentle(t, 300, 200, 1, func(h float64, _, _ int) float64 { return math.Round(h*1000) / 1000 }),
	} {
		_, ok := findStairs(g)
		assert.False(t, ok, name)
	}
}

func cut(h float64, whole bool) float64 {
	if whole {
		return math.Round(h)
	}
	return h
}

// Whole feet that are taken for metres, and means of nine whole metres.
func TestStairsOfAQuantumThatIsNotListed(t *testing.T) {
	for _, q := range []float64{1 / 0.3048, 1.0 / 9} {
		g := steep(t, 300, 200, 10, 1)
		for i, z := range g.Z {
			g.Z[i] = float32(math.Round(float64(z)/q) * q)
		}
		s, ok := findStairs(g)
		require.True(t, ok, "%g m", q)
		assert.InEpsilon(t, q, s.QuantumM, 1e-4)
	}
}

// Horn's slope of an even slope in stairs reads 0 or quantum/(2·cell), and
// nothing between, once treads are wider than two cells: the reason of
// MeaninglessPct.
func TestBelowTheMeaninglessSlopeHornReadsTwoValues(t *testing.T) {
	const quantum, cell = 1.0, 10.0
	for _, slope := range []float64{0.01, 0.02, 0.033, 0.049} {
		tread := func(c int) float64 { return math.Floor(slope*cell*float64(c)/quantum) * quantum }
		read := map[float64]bool{}
		for c := 1; c < 1000; c++ {
			read[(tread(c+1)-tread(c-1))*4/(8*cell)] = true // rows are alike
		}
		assert.Equal(t, map[float64]bool{0: true, quantum / (2 * cell): true}, read, "%g", slope)
	}
}

func TestFineStairsAreNotToldOf(t *testing.T) {
	g := gentle(t, 300, 200, 1, func(h float64, _, _ int) float64 { return math.Round(h*100) / 100 })
	assert.NotContains(t, kinds(must(Doubts(g, true))), DoubtStairs, "1 cm on 1 m hides 0.5%")
	g = gentle(t, 300, 200, 1, func(h float64, _, _ int) float64 { return math.Round(h*10) / 10 })
	assert.Contains(t, kinds(must(Doubts(g, true))), DoubtStairs, "1 dm on 1 m hides 5%")
}
