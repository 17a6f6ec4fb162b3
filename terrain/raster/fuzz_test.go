package raster

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
)

// FuzzOpen opens damaged GeoTIFFs: a refusal, or a raster whose middle reads to
// heights and slopes that are numbers or unknown.
func FuzzOpen(f *testing.F) {
	small := func(change func(*dem)) {
		d := hillDEM()
		d.cols, d.rows = 7, 5
		change(&d)
		data, err := os.ReadFile(d.write(f, "seed.tif"))
		require.NoError(f, err)
		f.Add(data)
	}
	small(func(d *dem) {})
	small(func(d *dem) { d.crs, d.grid = "EPSG:4326", northUp(-84.3, 36.3, 1.0/10800) })
	small(func(d *dem) { d.crs = "EPSG:2227+6360" })
	small(func(d *dem) { d.crs, d.grid = "EPSG:3413", northUp(-30, 20, 10) })
	small(func(d *dem) { d.nodata, d.stored = number(-9999), pitted(-9999) })
	small(func(d *dem) { d.grid[2], d.grid[4] = 1, 2 })
	small(func(d *dem) { *d = inSixtyFourths(*d); d.kind = godal.Int16 })
	small(func(d *dem) {
		d.options = []string{"COMPRESS=LZW", "PREDICTOR=3", "TILED=YES", "BLOCKXSIZE=16", "BLOCKYSIZE=16"}
	})
	small(func(d *dem) { d.options = []string{"COMPRESS=DEFLATE", "BIGTIFF=YES"} })
	small(func(d *dem) {
		d.finish = func(ds *godal.Dataset) {
			_, err := ds.CreateMaskBand(0x02, godal.ConfigOption("GDAL_TIFF_INTERNAL_MASK=YES"))
			require.NoError(f, err)
		}
	})
	f.Fuzz(func(t *testing.T, data []byte) {
		file := filepath.Join(t.TempDir(), "a.tif")
		if err := os.WriteFile(file, data, 0o600); err != nil {
			t.Fatal(err)
		}
		for _, o := range []Options{{}, {Unit: Foot, CRS: "EPSG:26916"}} {
			mustBeSound(t, file, o)
		}
	})
}

func mustBeSound(t *testing.T, file string, o Options) {
	r, err := Open(t.Context(), file, o)
	if err != nil {
		return
	}
	defer r.Close()
	s := r.Source
	if s.UnitM == 0 || s.CRS == "" || !(s.CellM[0] > 0) || !(s.CellM[1] > 0) {
		t.Fatalf("opened as %+v", s)
	}
	// GDAL makes room for whole blocks, and a header may promise one of gigabytes.
	if b := r.band.Structure(); b.BlockSizeX*b.BlockSizeY > 1<<22 {
		return
	}
	c, w := float64(s.Cols)/2, float64(s.Rows)/2
	at, err := r.Locate([][2]float64{{c - 2, w - 2}, {c + 2, w - 2}, {c + 2, w + 2}, {c - 2, w + 2}})
	if err != nil {
		t.Fatal(err)
	}
	ring := orb.Ring{}
	for _, p := range at {
		ring = append(ring, orb.Point(p))
	}
	place := orb.MultiPolygon{{append(ring, ring[0])}}
	window, err := r.around(along(place), halo)
	if err != nil {
		t.Fatal(err)
	}
	// On a grid bent out of shape a few cells may span the earth.
	if !window.Empty() && float64(window.Cols())*float64(window.Rows()) > 1<<12 {
		return
	}
	e, err := Read(t.Context(), []*Raster{r}, place)
	if err != nil {
		return
	}
	g := e.Grid
	if g.Cols < 1 || g.Rows < 1 || len(g.Z) != g.Cols*g.Rows {
		t.Fatalf("a grid of %d × %d in %d heights", g.Cols, g.Rows, len(g.Z))
	}
	for i, z := range g.Z {
		if math.IsInf(float64(z), 0) {
			t.Fatalf("height %d is infinite", i)
		}
	}
	for i, q := range must(slope.Of(g)).Squared {
		if q < 0 {
			t.Fatalf("slope² %d is %v", i, q)
		}
	}
}
