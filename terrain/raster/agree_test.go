package raster

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// believed is a raster that says it holds heights, so that only comparing tells.
func believed(t *testing.T, name string, values func(x, y float64) float64, cell float64) *Raster {
	t.Helper()
	d := rough(func(x, y float64) float64 { return values(x*cell, y*cell) })
	d.cols, d.rows, d.grid = int(roughSide/cell), int(roughSide/cell), northUp(740_000, 4_020_000, cell)
	r, err := open(t.Context(), d.write(t, name), Options{})
	require.NoError(t, err)
	t.Cleanup(r.Close)
	return r
}

// Cause: where two rasters cover the same ground one won in silence, whatever the other
// held: slope, ruggedness or growth beside heights, on the same cells or finer ones.
func TestRastersThatDisagreeAreRefused(t *testing.T) {
	low := func(x, y float64) float64 { return 12 + 0.05*(roughGround(x, y)-300) } // flat, by the sea
	for name, c := range map[string]struct {
		ground, other func(x, y float64) float64
		says          string
	}{
		"slope":                {roughGround, slopeOf(roughGround), "one of them is no bare earth"},
		"growth":               {roughGround, growth, "one of them is no bare earth"},
		"slope of flat ground": {low, slopeOf(roughGround), "one of them is no bare earth"},
		"feet":                 {roughGround, func(x, y float64) float64 { return roughGround(x, y) / 0.3048 }, "one is in feet"},
		"another place":        {roughGround, func(x, y float64) float64 { return 300 + 3*(roughGround(y+999, x)-300) }, "do not show the same heights"},
	} {
		for _, cell := range []float64{0.5, 1, 2} {
			a, b := believed(t, "a.tif", c.ground, 1), believed(t, "b.tif", c.other, cell)
			for _, order := range [][]*Raster{{a, b}, {b, a}} {
				_, err := Read(t.Context(), order, patch(t, a, 5, 5, 190, 190))
				require.ErrorIs(t, err, ErrDisagree, "%s, cells of %g m", name, cell)
				assert.ErrorContains(t, err, "a.tif")
				assert.ErrorContains(t, err, "b.tif")
				assert.ErrorContains(t, err, c.says)
			}
		}
	}
}

// Two surveys of one ground, or its first surface, are let pass, and which of them won
// is told.
func TestRastersThatAgreeSayWhichWon(t *testing.T) {
	for name, other := range map[string]func(x, y float64) float64{
		"another survey": func(x, y float64) float64 { return roughGround(x, y) + 0.3 },
		"another datum":  func(x, y float64) float64 { return roughGround(x, y) - 31 },
		"first surface":  func(x, y float64) float64 { return roughGround(x, y) + growth(x, y)/2 },
		"smoothed":       func(x, y float64) float64 { return (roughGround(x-9, y) + roughGround(x+9, y)) / 2 },
	} {
		for cell, why := range map[float64]string{1: "first by name", 2: "finer cells"} {
			a, b := believed(t, "a.tif", roughGround, 1), believed(t, "b.tif", other, cell)
			e, err := Read(t.Context(), []*Raster{a, b}, patch(t, a, 5, 5, 190, 190))
			require.NoError(t, err, name)
			apart := map[string]string{"another survey": `0\.(29|30|31) m \(1\.0 ft\) above`, "another datum": `3(0\.9\d|1\.0\d) m \(10\d\.\d ft\) below`, "first surface": ` above`}[name]
			if apart != "" { // a small offset was told only where the two meet side by side
				require.Len(t, e.Warnings, 2, name)
				assert.Regexp(t, `a\.tif and .*b\.tif cover the same ground, and the second lies .*`+apart+` the first in the middle of \d+ cells compared`, e.Warnings[0])
				e.Warnings = e.Warnings[1:]
			}
			require.Len(t, e.Warnings, 1, name)
			assert.Equal(t, "several rasters cover the same ground, and the heights are those of one of them: "+a.Source.Path+" before "+b.Source.Path+" ("+why+")", e.Warnings[0])
		}
	}
	twice := believed(t, "b.tif", roughGround, 1)
	a := believed(t, "a.tif", roughGround, 1)
	e, err := Read(t.Context(), []*Raster{a, twice}, patch(t, a, 5, 5, 190, 190))
	require.NoError(t, err)
	assert.Empty(t, e.Warnings, "the same heights twice are no matter")
}
