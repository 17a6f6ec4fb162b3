package raster

import (
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// dated writes a raster of one grid that is so much higher, with the day of its survey.
func dated(t *testing.T, path string, raised float64, surveyed string) {
	t.Helper()
	d := hillDEM()
	bare := d.stored
	d.stored = func(col, row int) float64 { return bare(col, row) + raised }
	if surveyed != "" {
		d.finish = func(ds *godal.Dataset) { require.NoError(t, ds.SetMetadata("ACQUISITION_DATE", surveyed)) }
	}
	require.NoError(t, os.Rename(d.write(t, filepath.Base(path)), path))
}

// onHill is a place on them.
func onHill(t *testing.T, r *Raster) orb.MultiPolygon {
	t.Helper()
	c, w := float64(r.Source.Cols), float64(r.Source.Rows)
	at, err := r.Locate([][2]float64{{c / 4, w / 4}, {3 * c / 4, w / 4}, {3 * c / 4, 3 * w / 4}, {c / 4, 3 * w / 4}})
	require.NoError(t, err)
	var ring orb.Ring
	for _, p := range at {
		ring = append(ring, orb.Point(p))
	}
	return orb.MultiPolygon{{append(ring, ring[0])}}
}

func readFrom(t *testing.T, args ...string) *terrain.Elevation {
	t.Helper()
	c, err := NewCatalogue(t.Context(), args, Options{})
	require.NoError(t, err)
	defer c.Close()
	all, err := c.open(t.Context(), []int{0})
	require.NoError(t, err)
	ground := onHill(t, all[0])
	rasters, err := c.Around(t.Context(), ground)
	require.NoError(t, err)
	e, err := Read(t.Context(), rasters, ground)
	require.NoError(t, err)
	return e
}

// A list took the raster named first where a folder took the first by name: now the newest
// survey serves, then the first by name, however they are named, and which is said.
func TestWhichOfSeveralRastersServes(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	for _, c := range []struct {
		name   string
		dates  [3]string // of a, b and c, which are 1, 2 and 3 m too high
		raised float64
		why    string
	}{
		{"by name", [3]string{}, 1, "first by name"},
		{"the newest", [3]string{"2015", "2021-06", "2019-05-30"}, 2, "surveyed 2021-06, the other 2019-05-30"},
		{"the only one that says", [3]string{"", "", "2010"}, 3, "surveyed 2010; the other does not say when"},
	} {
		folder := t.TempDir()
		var list []string
		for i, name := range []string{"a.tif", "b.tif", "c.tif"} {
			path := filepath.Join(folder, name)
			dated(t, path, float64(i+1), c.dates[i])
			list = append(list, path)
		}
		want := readFrom(t, list...)
		assert.InDelta(t, hillDEM().stored(want.Grid.Col0, want.Grid.Row0)+c.raised, want.Grid.At(0, 0), 1e-3, c.name)
		assert.Contains(t, want.Warnings[len(want.Warnings)-1], c.why, c.name)
		backwards := slices.Clone(list)
		slices.Reverse(backwards)
		for _, args := range [][]string{backwards, {folder}, {filepath.Join(folder, "*.tif")}} {
			got := readFrom(t, args...)
			assert.Equal(t, want.Grid.Z, got.Grid.Z, "%s: %v", c.name, args)
			assert.Equal(t, want.Sources, got.Sources, "%s: %v", c.name, args)
			assert.Equal(t, want.Warnings, got.Warnings, "%s: %v", c.name, args)
		}
	}
}

// Whole rasters are laid out in the same order.
func TestMosaicsServeInTheSameOrder(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	folder := t.TempDir()
	var list []string
	for i, date := range []string{"2015", "2021", ""} {
		list = append(list, filepath.Join(folder, string(rune('a'+i))+".tif"))
		dated(t, list[i], float64(i), date)
	}
	for _, args := range [][]string{list, {list[2], list[0], list[1]}, {folder}} {
		c, err := NewCatalogue(t.Context(), args, Options{})
		require.NoError(t, err)
		m, err := c.Mosaics(t.Context())
		require.NoError(t, err)
		require.Len(t, m, 1)
		var names []string
		for _, e := range m[0].Entries {
			names = append(names, filepath.Base(e.Path))
		}
		assert.Equal(t, []string{"b.tif", "a.tif", "c.tif"}, names)
		c.Close()
	}
	left, err := os.ReadDir(folder)
	require.NoError(t, err)
	assert.Len(t, left, 3)
}
