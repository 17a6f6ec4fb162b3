package slope

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// Every published figure, on open ground and under cover (the 95th percentile over 1.96):
// Lidar Base Specification (from memory), Remote Sensing 14(4):940, mission specification.
func TestEveryPublishedFigure(t *testing.T) {
	assert.Equal(t, 0.90, Certainty)
	for kind, m := range map[string][2]float64{
		"lidar-ql0": {0.05, 0.15 / 1.96}, "lidar-ql1": {0.10, 0.30 / 1.96}, "lidar-ql2": {0.10, 0.30 / 1.96}, "lidar-ql3": {0.20, 0.60 / 1.96},
		"3dep-third-arc-second": {0.82, 0}, "ned-one-arc-second": {1.64, 0}, "srtm": {9.73, 0},
	} {
		n, ok := NoiseOfKind(kind)
		require.True(t, ok, kind)
		assert.Equal(t, m[0], n.SigmaM, kind)
		assert.Negative(t, n.RangeM, kind)
		cover, ok := NoiseUnderCover(kind)
		assert.Equal(t, m[1] > 0, ok, kind)
		assert.InDelta(t, m[1], cover.SigmaM, 1e-12, kind)
		if ok {
			assert.Negative(t, cover.RangeM, kind)
		}
	}
	_, ok := NoiseUnderCover("a balloon")
	assert.False(t, ok)
}

// What is assumed changes at cells of 2, 6 and 15 m, which still count as the finer kind.
func TestAssumedNoiseByCell(t *testing.T) {
	for cellM, want := range map[float64]float64{
		1: 0.30 / 1.96, 2: 0.30 / 1.96, 2.01: 0.60 / 1.96, 6: 0.60 / 1.96, 6.01: 0.82, 15: 0.82, 15.01: 9.73, 90: 9.73,
	} {
		n := AssumedNoise(cellM)
		assert.InDelta(t, want, n.SigmaM, 1e-12, "cells of %g m", cellM)
		assert.Negative(t, n.RangeM)
	}
}

// A footprint needs three finite, positive figures, and cells of less than half of it, the
// longer side counted. By hand: the fewest odd number of cells that make nine tenths.
func TestFootprintAtItsBounds(t *testing.T) {
	nan := math.NaN()
	for _, c := range [][3]float64{{0, 1, 1}, {3, 0, 1}, {3, 1, 0}, {-3, 1, 1}, {3, -1, 1}, {3, 1, -1}, {nan, 1, 1}, {3, nan, 1}, {3, 1, nan}, {3, 1.5, 1}, {3, 1, 1.5}} {
		_, ok := FootprintOf(c[0], [2]float64{c[1], c[2]})
		assert.False(t, ok, "%v", c)
	}
	for cellM, half := range map[float64]int{1.49: 1, 0.901: 1, 0.899: 2, 0.541: 2, 0.539: 3, 0.386: 3, 0.3855: 4} {
		f, ok := FootprintOf(3, [2]float64{cellM, 1})
		assert.True(t, ok)
		assert.Equal(t, Footprint{half, 1}, f, "cells of %g m", cellM)
	}
	f, ok := FootprintOf(3, [2]float64{0.05, 0.01})
	assert.True(t, ok)
	assert.Equal(t, Footprint{16, 16}, f, "33 cells across at most")
	// More cells than an integer counts were no footprint, but a number below 0.
	f, ok = FootprintOf(math.Inf(1), [2]float64{1, 1e-300})
	assert.True(t, ok)
	assert.Equal(t, Footprint{16, 16}, f)
}

// By hand: two heights d apart take d²/2 of the sum n·e², so that n heights allow a step of
// √(2n)·e, with 9 and with 15 of them.
func TestGreatestStepThatRoughnessAllows(t *testing.T) {
	b := newBelt(grid(t, make([]float32, 81), 9, 9, 1, 1), Footprint{1, 1})
	assert.InDelta(t, math.Sqrt(18)*0.1, b.bound(0.01), 1e-6)
	b = newBelt(grid(t, make([]float32, 81), 9, 9, 1, 1), Footprint{2, 1})
	assert.InDelta(t, math.Sqrt(30)*0.1, b.bound(0.01), 1e-6)
}

// A footprint of 3 × 3 cells with one of them raised by 0.9 m, by hand. In the middle:
// the plane lies 0.1 m up and level; squares of distances, (8·0.01 + 0.64)/9 = 0.08; step
// 0.9. On a side: the plane rises by 0.15 m a cell; roughness (0.81 - 9·0.01 - 6·0.0225)/9
// = 0.065; steps 0.9 - 0.15 along it and 0.9 across.
func TestReliefOfOneStone(t *testing.T) {
	for _, c := range []struct {
		col, row            int
		slope, rough2, step float64
	}{
		{2, 2, 0, 0.08, 0.9}, {3, 2, 0.15, 0.065, 0.9}, {1, 2, 0.15, 0.065, 0.9}, {2, 1, 0.15, 0.065, 0.9}, {2, 3, 0.15, 0.065, 0.9},
		{3, 3, 0.15 * math.Sqrt2, 0.05, 0.75}, {1, 1, 0.15 * math.Sqrt2, 0.05, 0.75},
	} {
		z := make([]float32, 25)
		z[c.row*5+c.col] = 0.9
		g := grid(t, z, 5, 5, 1, 1)
		f := NewField(g)
		f.AddRelief()
		Planes(g, Footprint{1, 1}, 0.01, 0, 5, f)
		assert.InDelta(t, 100*c.slope, f.Pct(2, 2), 1e-4, "%d, %d", c.col, c.row)
		assert.InDelta(t, c.rough2, f.RoughSquared[12], 1e-6, "%d, %d", c.col, c.row)
		assert.InDelta(t, c.step, f.Step[12], 1e-6, "%d, %d", c.col, c.row)
		// Where no smaller step is cared for, its bound stands in its place.
		Planes(g, Footprint{1, 1}, 9, 0, 5, f)
		assert.InDelta(t, math.Sqrt(18*c.rough2), f.Step[12], 1e-5, "%d, %d", c.col, c.row)
		// A care that is the very step: found, and told.
		Planes(g, Footprint{1, 1}, c.step, 0, 5, f)
		assert.InDelta(t, c.step, f.Step[12], 1e-6, "%d, %d", c.col, c.row)
		// The same through the cells that remain, when one beyond the footprint is void.
		p := planeOfRemaining(g, Footprint{1, 1}, 2, 2)
		assert.InDelta(t, c.rough2, p.roughSquared, 1e-6)
		assert.InDelta(t, c.step, p.step, 1e-6)
	}
}

// Where heights are missing the plane is that of those that remain: a plane with holes is
// the same plane, with neither roughness nor step, to the grid's corners.
func TestPlaneOfWhatRemains(t *testing.T) {
	z := make([]float32, 49)
	for i := range z {
		z[i] = float32(0.25*float64(i%7) + 0.5*float64(i/7))
	}
	nan := float32(math.NaN())
	z[8], z[24], z[30] = nan, nan, nan
	g := grid(t, z, 7, 7, 1, 2)
	f := NewField(g)
	f.AddRelief()
	f.AddAspect()
	Planes(g, Footprint{1, 1}, 0.5, 0, 7, f)
	for i, h := range z {
		if h != h {
			assert.True(t, math.IsNaN(float64(f.Squared[i])) && math.IsNaN(float64(f.RoughSquared[i])) && math.IsNaN(float64(f.Step[i])), "cell %d", i)
			continue
		}
		assert.InDelta(t, 0.0625+0.0625, f.Squared[i], 1e-6, "cell %d", i)
		assert.InDelta(t, 0, f.RoughSquared[i], 1e-6)
		assert.InDelta(t, 0, f.Step[i], 3e-3)
		assert.Equal(t, uint8(160), f.Aspect[i], "falls to the north-west, cell %d", i)
	}
}

// A part of a field is its rows, and writes through to it.
func TestPartOfAField(t *testing.T) {
	g := surface(t, 5, 6, 1, func(x, y float64) float64 { return 0.1 * x * y })
	f := NewField(g)
	f.AddAspect()
	f.AddRelief()
	Planes(g, Footprint{1, 1}, 0.5, 0, 6, f)
	part := f.Part(2, 5)
	assert.Equal(t, []int{5, 3, 2}, []int{part.Cols, part.Rows, part.Row0})
	assert.Equal(t, f.Squared[10:25], part.Squared)
	assert.Equal(t, f.Aspect[10:25], part.Aspect)
	assert.Equal(t, f.Step[10:25], part.Step)
	assert.Equal(t, f.RoughSquared[10:25], part.RoughSquared)
	again := part.Part(3, 4)
	assert.Equal(t, f.Squared[15:20], again.Squared)
	assert.Equal(t, f.Step[15:20], again.Step)
	again.Squared[0] = 7
	assert.EqualValues(t, 7, f.Squared[15])
	plain := NewField(g).Part(1, 2)
	assert.Nil(t, plain.Aspect)
	assert.Nil(t, plain.Step)
	assert.InDelta(t, 100*math.Sqrt(float64(f.Squared[2*5+3])), f.Pct(3, 2), 1e-9)
}

// Horn's, and a plane's, weights by hand.
func TestWeightsOfKernels(t *testing.T) {
	h := HornKernel()
	assert.Equal(t, Kernel{[]float64{-0.5, 0, 0.5}, []float64{0.25, 0.5, 0.25}, []float64{-0.5, 0, 0.5}, []float64{0.25, 0.5, 0.25}}, h)
	p := PlaneKernel(1, 2)
	assert.Equal(t, []float64{-0.5, 0, 0.5}, p.colFall)
	assert.InDeltaSlice(t, []float64{1. / 3, 1. / 3, 1. / 3}, p.colMean, 1e-15)
	assert.InDeltaSlice(t, []float64{-0.2, -0.1, 0, 0.1, 0.2}, p.rowFall, 1e-15)
	assert.InDeltaSlice(t, []float64{0.2, 0.2, 0.2, 0.2, 0.2}, p.rowMean, 1e-15)
	assert.Equal(t, []float64{3, 12, 19, 12, 3}, lagged([]float64{1, 3, 3}, []float64{1, 3, 3}))
	assert.Equal(t, []float64{5, 2}, lagged([]float64{1, 2}, []float64{1, 2})[1:])
}

// Aspect by hand, in 256ths of a turn from east by south: ground that rises by p eastwards
// and q southwards falls the other way.
func TestAspectByHand(t *testing.T) {
	m := terrain.Metric{A: 1, C: 1}
	for _, c := range []struct {
		p, q float64
		want uint8
	}{{-1, 0, 0}, {0, -1, 64}, {1, 0, 128}, {0, 1, 192}, {-1, -1, 32}, {1, 1, 160}, {-1, 1, 224}, {-2, -1, 19}} {
		assert.Equal(t, c.want, aspectOf(c.p, c.q, m), "%g, %g", c.p, c.q)
	}
	// Rounded to the nearest: at half a step the next begins.
	for turn, want := range map[float64]uint8{0.499: 0, 0.501: 1, 1.499: 1, 1.501: 2, 255.501: 0, 255.499: 255} {
		s, cos := math.Sincos(turn * 2 * math.Pi / 256)
		assert.Equal(t, want, aspectOf(-cos, -s, m), "%g", turn)
	}
	// Oblong cells, 2 m east by 1 m south: a fall of a metre a cell both ways is 26.57°
	// from south.
	assert.Equal(t, uint8(45), aspectOf(-1, -1, terrain.Metric{A: 0.25, C: 1}))
}

// A metric serves as many cells as keep slope within 2e-6 of itself, by halves of 32.
func TestCellsThatShareAMetric(t *testing.T) {
	at := func(perCol float64) int {
		p := terrain.RowMetric{Start: terrain.Metric{A: 2, C: 4}}
		p.PerCol.A = 2 * perCol
		other := terrain.RowMetric{Start: terrain.Metric{A: 2, C: 4}}
		other.PerCol.C = -4 * perCol
		assert.Equal(t, blockCols(p), blockCols(other))
		return blockCols(p)
	}
	assert.Equal(t, 32, at(0))
	assert.Equal(t, 32, at(2.49e-7)) // 32/4 · 2.5e-7 = 2e-6
	assert.Equal(t, 16, at(2.51e-7))
	assert.Equal(t, 16, at(4.99e-7))
	assert.Equal(t, 8, at(5.01e-7))
	assert.Equal(t, 1, at(1))
}
