package bank_test

import (
	"context"
	"math"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/bank"
)

// Heights in whole meters make a step of a meter of every gentle slope.
func TestStairsAreNoBanks(t *testing.T) {
	g := made(t, 120, 3, func(x, y float64) float64 { return 0.03*x + 0.02*y })
	for i, z := range g.Z {
		g.Z[i] = float32(math.Round(float64(z)))
	}
	assert.NotEmpty(t, find(t, g, bank.Options{}), "else nothing is asked")
	assert.Empty(t, find(t, g, bank.Options{QuantumM: 1}))
}

// Each cell of a coarser raster, drawn finer, is a terrace with a bank around it.
func TestBlocksAreNoBanks(t *testing.T) {
	g := made(t, 240, 1, func(x, y float64) float64 {
		x, y = 10*math.Floor(x/10), 10*math.Floor(y/10)
		return 0.15*x + 0.02*y
	})
	assert.NotEmpty(t, find(t, g, bank.Options{}), "else nothing is asked")
	assert.Empty(t, find(t, g, bank.Options{CoarseM: 10}))
}

// Cells that are not square, and axes askew, are laid out on the ground.
func TestBanksOnOtherCells(t *testing.T) {
	const cols, rows = 110, 70
	z := make([]float32, cols*rows)
	for i := range z {
		if x, y := float64(i%cols)*0.8, float64(i/cols)*1.2; x*0.6+y*0.8 > 60 {
			z[i] = 1
		}
	}
	g, err := terrain.NewGrid(z, cols, rows, 0.8, 1.2)
	require.NoError(t, err)
	banks := find(t, g, bank.Options{})
	require.Greater(t, len(banks), 60)
	for _, b := range banks {
		x, y := (float64(b.Cell%cols))*0.8, float64(b.Cell/cols)*1.2
		assert.InDelta(t, 60, x*0.6+y*0.8, 2)
		assert.InDelta(t, 1, b.HeightM, 0.2)
	}

	long, err := terrain.NewGrid(z, cols, rows, 0.5, 1.5)
	require.NoError(t, err)
	assert.Empty(t, find(t, long, bank.Options{}), "three times as long as wide: the package says so")
}

// Cells finer than half a meter are read as coarsely as that.
func TestBanksOnFineCells(t *testing.T) {
	banks := find(t, made(t, 400, 0.1, func(x, _ float64) float64 { return 3 * foot * min(1, max(0, math.Ceil(x-20))) }), bank.Options{})
	require.NotEmpty(t, banks)
	for _, b := range banks {
		assert.InDelta(t, 200, b.Cell%400, 8)
		assert.InDelta(t, 3*foot, b.HeightM, 0.3*foot)
	}
}

// Ground that is not known has no bank at its edge, and hides none far from it.
func TestBanksBesideVoids(t *testing.T) {
	g := made(t, 80, 1, func(x, y float64) float64 {
		if y < 40 {
			return 3 * foot
		}
		return 0
	})
	whole := find(t, g, bank.Options{})
	for i := range g.Z {
		if i%80 < 20 {
			g.Z[i] = float32(math.NaN())
		}
	}
	part := find(t, g, bank.Options{})
	require.Greater(t, len(whole), len(part))
	for _, b := range part {
		assert.GreaterOrEqual(t, b.Cell%80, 24, "no whole disc lies nearer")
	}
	assert.Greater(t, len(part), 45)
}

func TestTheSameBanksOnAnyNumberOfProcessors(t *testing.T) {
	g := made(t, 150, 1, func(x, y float64) float64 { return rolling(x, y) + math.Floor(y/25)*3*foot })
	want := find(t, g, bank.Options{})
	require.NotEmpty(t, want)
	for _, n := range []int{1, 3, 8} {
		before := runtime.GOMAXPROCS(n)
		assert.Equal(t, want, find(t, g, bank.Options{}), "%d processors", n)
		runtime.GOMAXPROCS(before)
	}
}

func TestWhatBanksAreNotLookedForIn(t *testing.T) {
	g := made(t, 20, 1, rolling)
	_, err := bank.Find(t.Context(), nil, bank.Options{})
	assert.ErrorContains(t, err, "there is no grid of heights")
	for _, o := range []bank.Options{{QuantumM: -1}, {CoarseM: math.NaN()}, {CoarseM: math.Inf(1)}} {
		_, err := bank.Find(t.Context(), g, o)
		assert.ErrorContains(t, err, "write 0 m or more")
	}
	ended, end := context.WithCancel(t.Context())
	end()
	_, err = bank.Find(ended, g, bank.Options{})
	assert.ErrorIs(t, err, context.Canceled)
	assert.Empty(t, find(t, made(t, 8, 1, func(x, _ float64) float64 { return math.Floor(x / 4) }), bank.Options{}), "smaller than the disc")
}
