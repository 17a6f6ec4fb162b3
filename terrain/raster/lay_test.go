package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// In one go from a block to a grid stored values become what they do one step after another.
func TestHeightsFromABlockAreThoseOfAllSteps(t *testing.T) {
	rnd := rand.New(rand.NewPCG(2, 4))
	inf := float32(math.Inf(1))
	for range 3000 {
		r := &Raster{Source: terrain.Source{Scale: 1, UnitM: 1}}
		if rnd.IntN(2) == 0 {
			r.Source.Scale, r.Source.Offset, r.Source.UnitM = 0.1, 50, 0.3048
		}
		r.nodata = [][]float64{nil, {-9999}, {0, 300}, {math.NaN()}}[rnd.IntN(4)]
		stored := make([]float32, rnd.IntN(70))
		values := make([]float64, len(stored))
		for i := range stored {
			stored[i] = []float32{0, 300, -9999, float32(math.NaN()), inf, -inf, -500, 9000, 9001, 600 * rnd.Float32()}[rnd.IntN(10)]
			values[i] = float64(stored[i])
		}
		z0 := float64(rnd.IntN(600) - 300)
		notGround := r.toMetres(values)
		got := make([]float32, len(stored))
		require.Equal(t, notGround, r.toHeights(got, stored, z0), "%v", stored)
		for i, h := range values {
			require.Equal(t, math.Float32bits(float32(h-z0)), math.Float32bits(got[i]), "%v in %+v, nodata %v", stored[i], r.Source, r.nodata)
		}
	}
}

// Windows that reach beyond rasters, over several of them and over voids, hold through a cache what
// they hold without, and count the same heights that no ground has.
func TestWindowsOfAMosaicThroughACache(t *testing.T) {
	const side = 50
	rnd := rand.New(rand.NewPCG(5, 5))
	var files []string
	for i, at := range [][2]float64{{500000, 4000000}, {500000 + 10*(side-6), 4000000 - 10*20}} {
		d := dem{cols: side, rows: side, crs: "EPSG:32616", grid: northUp(at[0], at[1], 10), nodata: number(-9999),
			options: []string{"TILED=YES", "BLOCKXSIZE=16", "BLOCKYSIZE=32"}, kind: godal.Float32,
			stored: func(c, r int) float64 {
				switch k := rnd.IntN(8); {
				case r < 3*i || k == 0: // the first rows of the second are void
					return -9999
				case k == 1 && c == 9:
					return 20000
				}
				return hill(c+i*(side-6), r+i*20)
			}}
		files = append(files, d.write(t, "ground.tif"))
	}
	full := catalogued(t, Options{}, files...)
	mosaics, err := full.Mosaics(t.Context())
	require.NoError(t, err)
	require.Len(t, mosaics, 1)
	m := mosaics[0]
	plain := CatalogueOf(m.Entries, Options{}, NewCache(0)) // which keeps none
	through := CatalogueOf(m.Entries, Options{}, NewCache(1<<20))
	defer plain.Close()
	defer through.Close()
	for range 200 {
		w := terrain.NewWindow(rnd.IntN(m.Cols)-10, rnd.IntN(m.Rows)-10, 0, 0)
		w.Col1, w.Row1 = w.Col0+1+rnd.IntN(60), w.Row0+1+rnd.IntN(60)
		if len(m.Touching(w)) == 0 {
			continue
		}
		want, err := plain.ReadCells(t.Context(), m, w)
		require.NoError(t, err)
		got, err := through.ReadCells(t.Context(), m, w)
		require.NoError(t, err)
		require.Equal(t, want.Warnings, got.Warnings)
		require.Equal(t, want.Grid.Z0, got.Grid.Z0)
		require.Equal(t, want.From, got.From)
		require.Equal(t, len(want.Grid.Z), len(got.Grid.Z))
		for i, z := range want.Grid.Z {
			require.Equal(t, math.Float32bits(z), math.Float32bits(got.Grid.Z[i]), "cell %d of %v", i, w)
		}
		memory := &got.Grid.Z[0]
		through.GiveBack(got)
		require.Nil(t, got.Grid.Z)
		if again := must(through.ReadCells(t.Context(), m, w)); rnd.IntN(2) == 0 {
			require.Same(t, memory, &again.Grid.Z[0])
			through.GiveBack(again)
		}
	}
	require.Positive(t, through.cache.Counts().Served)
	require.Zero(t, plain.cache.Counts().Served)
}
