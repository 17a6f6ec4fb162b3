package raster

import (
	"fmt"
	"math"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
)

// High ground keeps its fractions: 0.4 mm of float32 at 3 300 m would be 0.02
// points of slope.
func TestHighGroundLosesNoSlope(t *testing.T) {
	d := hillDEM()
	d.kind = godal.Float64
	plane := func(c, r int) float64 { return 3300 + 0.013*float64(c) + 0.0071*float64(r) }
	d.stored = plane
	d.grid = northUp(740_000, 4_020_000, 1)
	_, e := readWhole(t, d.write(t, "high.tif"), Options{})
	assert.Equal(t, 3300, e.Grid.Z0)
	f := must(slope.Of(e.Grid))
	k := 0.9996 * math.Cosh(240_000/(0.9996*6_371_000))
	for i := range f.Squared {
		assert.InDelta(t, 100*k*math.Hypot(0.013, 0.0071), f.Pct(i%hillCols, i/hillCols), 1e-4)
	}
}

// A height that is no ground, such as a void whose value the raster does not
// declare, must not cost the ground around it its precision, wherever it lies.
func TestUndeclaredVoidsLeaveTheRestExact(t *testing.T) {
	_, want := readWhole(t, hillDEM().write(t, "hill.tif"), Options{})
	slopes := must(slope.Of(want.Grid))
	for _, void := range []float64{-9999, -32768, -999999, 99999, 1e9, -1e12, 1e20, 9.96921e36} {
		for _, at := range []int{0, 5 * hillCols, hillCols*hillRows - 1} {
			d := hillDEM()
			d.stored = func(c, r int) float64 {
				if r*hillCols+c == at {
					return void
				}
				return hill(c, r)
			}
			_, got := readWhole(t, d.write(t, "b.tif"), Options{})
			f := must(slope.Of(got.Grid))
			for i := range f.Squared {
				c, r := i%hillCols, i/hillCols
				if max(abs(c-at%hillCols), abs(r-at/hillCols)) <= 1 {
					continue
				}
				require.Equal(t, hill(c, r), got.Grid.At(c, r), "%g in cell %d", void, at)
				require.Equal(t, slopes.Squared[i], f.Squared[i])
			}
		}
	}
}

func abs(i int) int { return max(i, -i) }

// Heights that no ground has are voids, with a warning: a plateau of undeclared
// -9999 would else be perfect ground.
func TestHeightsOfNoGroundAreVoids(t *testing.T) {
	for _, base := range []float64{-9999, 60_000, -1e12} {
		d := hillDEM()
		d.kind = godal.Float64
		d.stored = func(c, r int) float64 {
			if c < 20 {
				return base
			}
			return hill(c, r)
		}
		_, e := readWhole(t, d.write(t, "deep.tif"), Options{})
		assert.Equal(t, 20*hillRows, e.Grid.Voids())
		require.Len(t, e.Warnings, 1)
		assert.Contains(t, e.Warnings[0], fmt.Sprintf("%d cells hold heights below -500 m or above 9000 m", 20*hillRows))
	}
}

// Cells that every window holds alike: 64ths of a metre over 60 m of relief
// are exact whatever the window's first height.
func TestHeightsDoNotDependOnTheWindow(t *testing.T) {
	r := opened(t, hillDEM().write(t, "hill.tif"), Options{})
	a, err := Read(t.Context(), []*Raster{r}, patch(t, r, 6.5, 6.5, 30.5, 30.5))
	require.NoError(t, err)
	b, err := Read(t.Context(), []*Raster{r}, patch(t, r, 20.5, 14.5, 44.5, 35.5))
	require.NoError(t, err)
	require.NotEqual(t, a.Grid.Z0, b.Grid.Z0)
	both := 0
	fa, fb := must(slope.Of(a.Grid)), must(slope.Of(b.Grid))
	for row := b.Grid.Row0 + 1; row < a.Grid.Row0+a.Grid.Rows-1; row++ {
		for col := b.Grid.Col0 + 1; col < a.Grid.Col0+a.Grid.Cols-1; col++ {
			ca, ra, cb, rb := col-a.Grid.Col0, row-a.Grid.Row0, col-b.Grid.Col0, row-b.Grid.Row0
			require.Equal(t, a.Grid.At(ca, ra), b.Grid.At(cb, rb))
			u, v := float64(col)+0.5, float64(row)+0.5
			require.Equal(t, a.Grid.Frame.MetricAt(u, v), b.Grid.Frame.MetricAt(u, v))
			lonA, latA := a.Grid.Frame.LonLat(u, v)
			lonB, latB := b.Grid.Frame.LonLat(u, v)
			require.Equal(t, [2]float64{lonA, latA}, [2]float64{lonB, latB})
			require.Equal(t, fa.Pct(ca, ra), fb.Pct(cb, rb))
			both++
		}
	}
	assert.Greater(t, both, 200)
}
