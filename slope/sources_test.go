package slope

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

func TestPublishedNoise(t *testing.T) {
	for kind, m := range map[string]float64{
		"3dep-third-arc-second": 0.82, // Remote Sensing 14(4):940, 2022
		"ned-one-arc-second":    1.64,
		"lidar-ql0":             0.05, // Lidar Base Specification, from memory, to ql3
		"lidar-ql1":             0.10,
		"lidar-ql2":             0.10,
		"lidar-ql3":             0.20,
		"srtm":                  16 / distuv.UnitNormal.Quantile(0.95), // 16 m holds 90%
	} {
		n, ok := NoiseOfKind(kind)
		require.True(t, ok, kind)
		assert.InDelta(t, m, n.SigmaM, 0.005, kind)
		assert.NotEmpty(t, n.From)
	}
	assert.Len(t, Kinds(), 7)
	_, ok := NoiseOfKind("a balloon")
	assert.False(t, ok)
}

// Under cover a figure is larger than on open ground, or it is not known.
func TestNoiseUnderCover(t *testing.T) {
	for _, kind := range Kinds() {
		open, ok := NoiseOfKind(kind)
		require.True(t, ok)
		if cover, known := NoiseUnderCover(kind); known {
			assert.Greater(t, cover.SigmaM, open.SigmaM, kind)
			assert.Contains(t, cover.From, "under cover")
		}
	}
	// Vegetated vertical accuracy of quality level 2, 30 cm at 95% (from memory).
	n, ok := NoiseUnderCover("lidar-ql2")
	require.True(t, ok)
	assert.InDelta(t, 0.30/distuv.UnitNormal.Quantile(0.975), n.SigmaM, 1e-4)
	_, ok = NoiseUnderCover("srtm")
	assert.False(t, ok, "trees are not noise")
}

func TestAssumedNoiseSaysSo(t *testing.T) {
	last := 0.0
	for _, cell := range []float64{0.5, 1, 3.4, 5, 10.3, 30.9, 90} {
		n := AssumedNoise(cell)
		assert.GreaterOrEqual(t, n.SigmaM, last, "coarser is never better, at %g m", cell)
		assert.Contains(t, n.From, "assumed from the cell size")
		last = n.SigmaM
	}
	assert.Equal(t, "assumed from the cell size of 10.3 m: 3DEP 1/3 arc-second, RMSE 0.82 m (2022)", AssumedNoise(10.3).From)
	for _, cell := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		assert.True(t, math.IsNaN(AssumedNoise(cell).SigmaM), "%g", cell)
	}
}
