package mapping

import (
	"errors"
	"math"
	"testing"

	"context"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/quality"
	"github.com/acreband/acreband/zoning"
)

// groundOf is ground whose heights are given cell by cell, 60 × 60 of 2 m, with one lot in
// the middle of it, and an elevation on the same cells for a surface.
func groundOf(t *testing.T, height func(c, r int) float64) (g *Ground, surface func(height func(c, r int) float64) *terrain.Elevation) {
	t.Helper()
	const n = 60
	made := func(height func(c, r int) float64) *terrain.Elevation {
		z := make([]float32, n*n)
		for i := range z {
			z[i] = float32(height(i%n, i/n))
		}
		grid, err := terrain.NewGrid(z, n, n, 2, 2)
		require.NoError(t, err)
		return &terrain.Elevation{Grid: grid, Sources: []terrain.Source{{Path: "made.tif", CellM: [2]float64{2, 2}}}}
	}
	e := made(height)
	at := func(col, row float64) orb.Point {
		lon, lat := e.Grid.Frame.LonLat(col, row)
		return orb.Point{lon, lat}
	}
	ring := orb.Ring{at(10, 50), at(50, 50), at(50, 10), at(10, 10), at(10, 50)}
	g, err := NewGround(e, []zoning.Lot{{Parcel: zoning.Parcel{Lot: "7", Ground: orb.MultiPolygon{{ring}}}}}, nil)
	require.NoError(t, err)
	return g, made
}

func sloping(c, r int) float64 { return 300 + 0.1*float64(c) + 0.04*float64(r) }

// What was told of a surface while it was read is told with it: of the whole first, of each
// of its files by name, and then what its growth makes doubtful.
func TestWhatWasReadOfASurfaceIsTold(t *testing.T) {
	g, surface := groundOf(t, sloping)
	s := surface(func(c, r int) float64 { return sloping(c, r) + 1 + 4*float64(c/10%2) })
	s.Warnings = []string{"two files overlap"}
	s.Sources = append(s.Sources, s.Sources[0])
	s.Sources[1].Path, s.Sources[1].Warnings = "other.tif", []string{"no unit", "no date"}
	require.NoError(t, g.AddSurface(s))
	told := g.SurfaceWarnings()
	require.Greater(t, len(told), 3)
	assert.Equal(t, []string{"two files overlap", "other.tif: no unit", "other.tif: no date"}, told[:3])
	assert.Contains(t, told[3], "made.tif: it lies 1.00 m (3.3 ft) above the ground where that looks open")
	assert.Equal(t, []string{"two files overlap"}, s.Warnings, "the elevation is left as it was")
	assert.InDelta(t, 5, g.work.GrowthM[30*60+15], 1e-3)
	assert.InDelta(t, 1, g.work.GrowthM[30*60+25], 1e-3)
}

// A ground or a surface that cannot be used takes none, with the reason.
func TestASurfaceIsRefusedByName(t *testing.T) {
	g, surface := groundOf(t, sloping)
	grown := surface(func(c, r int) float64 { return sloping(c, r) + 4*float64(c/10%2) })
	assert.EqualError(t, (&Ground{}).AddSurface(grown), "the ground has no elevation: NewGround makes one")
	err := g.AddSurface(nil)
	assert.ErrorIs(t, err, ErrSurface)
	assert.EqualError(t, err, "no height of growth: there is no elevation")
	err = g.AddSurface(surface(sloping))
	assert.ErrorIs(t, err, ErrSurface)
	assert.ErrorContains(t, err, "no height of growth from made.tif: its heights are those of the ground")
	assert.Nil(t, g.surface)
	wrong := *grown.Grid
	wrong.Z = wrong.Z[:10]
	assert.Error(t, g.AddSurface(&terrain.Elevation{Grid: &wrong, Sources: grown.Sources}))
}

// Acres of a lot by its cells: those of water, those whose growth is not known, and those of
// each class; what lies beyond the ground that was read is not known either.
func TestGrowthAcresCellByCell(t *testing.T) {
	l := tellerOn(t, 10, 10)
	l.work.GrowthM = make([]float32, 100)
	water := make([]bool, 100)
	for i := range 100 {
		switch i % 10 {
		case 3:
			water[i] = true
		case 4:
			l.work.GrowthM[i] = float32(math.NaN())
		case 5, 6:
			l.work.GrowthM[i] = 2
		}
	}
	lot := l.mapped(t, 2, 2, 8, 6)
	got := l.growthAcres(lot, water, nil)
	assert.InDelta(t, 4*squareM, got.Water, 1e-6)
	assert.InDelta(t, 4*squareM, got.Unknown, 1e-6)
	assert.InDelta(t, 8*squareM, got.ByClass[zoning.GrowthClassOf(0)], 1e-6)
	assert.InDelta(t, 8*squareM, got.ByClass[zoning.GrowthClassOf(2)], 1e-6)
	lot.Acres *= 2
	got = l.growthAcres(lot, nil, nil)
	assert.Zero(t, got.Water)
	assert.InDelta(t, 8*squareM, got.Unknown, 1e-6, "twice as many acres a cell")
	assert.InDelta(t, 24*squareM, got.ByClass[zoning.GrowthClassOf(0)], 1e-6)
}

// A detector that fails fails the judgment of elevation too.
func TestWorthOfTellsWhatADetectorFailedAt(t *testing.T) {
	g, _ := groundOf(t, sloping)
	broken := errors.New("broken")
	find := func(context.Context, *quality.Look) ([]quality.Doubt, error) { return nil, broken }
	worth, err := WorthOf(g.Elevation, []zoning.Machine{{Key: "a", Name: "A", LimitPct: 30}}, Options{Detectors: []quality.Detector{{Find: find}}})
	assert.ErrorIs(t, err, broken)
	assert.Zero(t, worth)
}
