package raster

import (
	"math"
	"path/filepath"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
)

// dem is an elevation raster to be written through GDAL.
type dem struct {
	cols, rows int
	grid       [6]float64 // as GDAL writes it; all zero writes none
	crs        string     // "" writes none
	kind       godal.DataType
	stored     func(col, row int) float64 // row 0 is the file's first
	nodata     *float64
	options    []string // of creation, such as TILED=YES
	finish     func(*godal.Dataset)
}

// write makes a GeoTIFF of it and returns its path.
func (d dem) write(t testing.TB, name string) string {
	t.Helper()
	require.NoError(t, registerFew())
	file := filepath.Join(t.TempDir(), name)
	kind := d.kind
	if kind == godal.Unknown {
		kind = godal.Float32
	}
	ds, err := godal.Create(godal.GTiff, file, 1, kind, d.cols, d.rows, godal.CreationOption(d.options...))
	require.NoError(t, err)
	if d.crs != "" {
		sr, err := godal.NewSpatialRef(d.crs)
		require.NoError(t, err, d.crs)
		require.NoError(t, ds.SetSpatialRef(sr))
		sr.Close()
	}
	if d.grid != [6]float64{} {
		require.NoError(t, ds.SetGeoTransform(d.grid))
	}
	if d.nodata != nil {
		require.NoError(t, ds.SetNoData(*d.nodata))
	}
	if d.stored != nil {
		v := make([]float64, 0, d.cols*d.rows)
		for r := range d.rows {
			for c := range d.cols {
				v = append(v, d.stored(c, r))
			}
		}
		require.NoError(t, ds.Bands()[0].Write(0, 0, v, d.cols, d.rows))
	}
	if d.finish != nil {
		d.finish(ds)
	}
	require.NoError(t, ds.Close())
	return file
}

// northUp is a geotransform of square cells, its north-west corner at (x, y).
func northUp(x, y, cell float64) [6]float64 { return [6]float64{x, cell, 0, y, 0, -cell} }

// southUp turns a geotransform of some rows over.
func southUp(g [6]float64, rows int) [6]float64 {
	return [6]float64{g[0] + float64(rows)*g[2], g[1], -g[2], g[3] + float64(rows)*g[5], g[4], -g[5]}
}

// hill is a smooth ground in whole 64ths of a metre, which float32 holds
// exactly at any height on earth.
func hill(c, r int) float64 {
	x, y := float64(c), float64(r)
	return math.Round(64*(300+20*math.Sin(x/7)+15*math.Cos(y/5)+0.3*x)) / 64
}

func opened(t testing.TB, file string, o Options) *Raster {
	t.Helper()
	r, err := Open(t.Context(), file, o)
	require.NoError(t, err)
	t.Cleanup(r.Close)
	return r
}

// patch is the ground between two corners given in cells of a raster, its
// longitudes running on across the antimeridian.
func patch(t testing.TB, r *Raster, c0, r0, c1, r1 float64) orb.MultiPolygon {
	t.Helper()
	at, err := r.Locate([][2]float64{{c0, r0}, {c0, r1}, {c1, r1}, {c1, r0}})
	require.NoError(t, err)
	ring := orb.Ring{}
	for _, p := range at {
		ring = append(ring, orb.Point{p[0] - 360*math.Round((p[0]-at[0][0])/360), p[1]})
	}
	return orb.MultiPolygon{{append(ring, ring[0])}}
}

// within is a patch that misses the raster's rim by half a cell.
func within(t testing.TB, r *Raster) orb.MultiPolygon {
	t.Helper()
	return patch(t, r, 0.5, 0.5, float64(r.Source.Cols)-0.5, float64(r.Source.Rows)-0.5)
}

// readWhole opens a raster and reads all of it.
func readWhole(t testing.TB, file string, o Options) (*Raster, *terrain.Elevation) {
	t.Helper()
	r := opened(t, file, o)
	e, err := Read(t.Context(), []*Raster{r}, within(t, r))
	require.NoError(t, err)
	require.Equal(t, [2]int{r.Source.Cols, r.Source.Rows}, [2]int{e.Grid.Cols, e.Grid.Rows})
	return r, e
}

// mustMatch compares two readings of the same cells: heights in metres, slopes
// in percentage points; unknown has to be unknown in both.
func mustMatch(t testing.TB, want, got *terrain.Grid, heightTol, slopeTol float64) {
	t.Helper()
	require.Equal(t, [2]int{want.Cols, want.Rows}, [2]int{got.Cols, got.Rows})
	a, b := must(slope.Of(want)), must(slope.Of(got))
	differ := func(x, y, tol float64) bool {
		return math.IsNaN(x) != math.IsNaN(y) || math.Abs(x-y) > tol
	}
	for r := range want.Rows {
		for c := range want.Cols {
			if differ(want.At(c, r), got.At(c, r), heightTol) {
				t.Fatalf("height at column %d, row %d: %v m, want %v", c, r, got.At(c, r), want.At(c, r))
			}
			if differ(a.Pct(c, r), b.Pct(c, r), slopeTol) {
				t.Fatalf("slope at column %d, row %d: %v%%, want %v%%", c, r, b.Pct(c, r), a.Pct(c, r))
			}
		}
	}
}
