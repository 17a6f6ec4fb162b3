package lots

import (
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/resume"
)

// The made ground: UTM zone 17N, cells of 1 m.
const westM, northM = 355000.0, 3970000.0

// relief is rough ground from 0 to some 80 %.
func relief(x, y float64) float64 {
	return 300 + 12*math.Sin(x/31)*math.Cos(y/23) + 3*math.Sin(x/7+y/11) + 0.05*math.Sin(x*1.7)*math.Sin(y*2.3)
}

// canopy is made growth on it: a stand of 12 m in every square of growthCells, brush of
// 2 m south of it, nothing beside.
func canopy(x, y float64) float64 {
	switch c, r := int(x)%growthCells, int(y)%growthCells; {
	case c >= 8:
		return 0
	case r < 6:
		return 12
	}
	return 2
}

const growthCells = 20

// writeTile writes a stretch of it, its first cell col0, row0 of the whole.
func writeTile(t testing.TB, path string, col0, row0, cols, rows, block int) {
	t.Helper()
	writeHeights(t, path, col0, row0, cols, rows, block, relief)
}

// writeHeights writes a stretch of heights on the made ground's cells.
func writeHeights(t testing.TB, path string, col0, row0, cols, rows, block int, height func(x, y float64) float64) {
	t.Helper()
	require.NoError(t, errors.Join(godal.RegisterRaster(godal.GTiff)))
	ds, err := godal.Create(godal.GTiff, path, 1, godal.Float32, cols, rows, godal.CreationOption(
		"TILED=YES", fmt.Sprint("BLOCKXSIZE=", block), fmt.Sprint("BLOCKYSIZE=", block), "COMPRESS=LZW"))
	require.NoError(t, err)
	utm, err := godal.NewSpatialRefFromEPSG(32617)
	require.NoError(t, err)
	defer utm.Close()
	z := make([]float32, cols*rows)
	for i := range z {
		z[i] = float32(height(float64(col0+i%cols), float64(row0+i/cols)))
	}
	require.NoError(t, errors.Join(ds.SetSpatialRef(utm),
		ds.SetGeoTransform([6]float64{westM + float64(col0), 1, 0, northM - float64(row0), 0, -1}),
		ds.Bands()[0].Write(0, 0, z, cols, rows), ds.Close()))
}

// made is a lot of a made file: its name and corners, in cells of the made ground.
type made struct {
	name string
	ring [][2]float64
}

// square is a lot turned at random around a middle.
func square(name string, x, y, side float64, r *rand.Rand) made {
	sin, cos := math.Sincos(r.Float64() * math.Pi / 2)
	m := made{name: name}
	for _, c := range [][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}, {-1, -1}} {
		dx, dy := c[0]*side/2, c[1]*side/2
		m.ring = append(m.ring, [2]float64{x + dx*cos - dy*sin, y + dx*sin + dy*cos})
	}
	return m
}

// squares are n lots L000 ... on ground of size × size cells, always the same ones.
func squares(n int, size, side float64) []made {
	r := rand.New(rand.NewPCG(1, 2))
	var out []made
	for i := range n {
		out = append(out, square(fmt.Sprintf("L%03d", i), side+r.Float64()*(size-2*side), side+r.Float64()*(size-2*side), side, r))
	}
	return out
}

// writeLots writes lots as GeoJSON with the CRS of the made ground.
func writeLots(t testing.TB, path string, lots []made) {
	t.Helper()
	type feature struct {
		Type       string         `json:"type"`
		Properties map[string]any `json:"properties"`
		Geometry   any            `json:"geometry"`
	}
	var features []feature
	for i, l := range lots {
		ring := make(orb.Ring, len(l.ring))
		for k, c := range l.ring {
			ring[k] = orb.Point{math.Round((westM+c[0])*1e3) / 1e3, math.Round((northM-c[1])*1e3) / 1e3}
		}
		features = append(features, feature{"Feature", map[string]any{"lot": l.name, "n": i},
			map[string]any{"type": "Polygon", "coordinates": orb.Polygon{ring}}})
	}
	text, err := json.Marshal(map[string]any{
		"type": "FeatureCollection", "features": features,
		"crs": map[string]any{"type": "name", "properties": map[string]any{"name": "urn:ogc:def:crs:EPSG::32617"}},
	})
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, text, 0o666))
}

// made ground and lots: 2 × 2 tiles of 150 cells, and some lots across them.
const groundCells, tileCells, madeLots = 300, 150, 40

// config is a run over the made lots, in a folder of its own.
func config(t testing.TB) Config {
	t.Helper()
	dir := t.TempDir()
	tiles := filepath.Join(dir, "tiles")
	require.NoError(t, os.Mkdir(tiles, 0o777))
	for i := range 4 {
		c, r := i%2*tileCells, i/2*tileCells
		writeTile(t, filepath.Join(tiles, fmt.Sprintf("tile%d.tif", i)), c, r, tileCells, tileCells, 32)
	}
	lots := filepath.Join(dir, "lots.geojson")
	writeLots(t, lots, squares(madeLots, groundCells, 20))
	return Config{
		Job:     Job{Parcels: lots, Elevation: []string{tiles}, Fleet: fleet.Default(), CacheBytes: 1 << 20},
		Version: "test", Settings: resume.Inputs{{Name: "--slope-scale", Value: ""}},
		Child: withFaults(), Dir: filepath.Join(dir, "out"), Workers: 2,
		Outputs: Outputs{Table: true, Zones: true, Failed: true, Sheet: true},
	}
}

// ran runs and returns the outputs by name.
func ran(t testing.TB, c Config) (Result, map[string]string) {
	t.Helper()
	r, err := Run(never(), c)
	require.NoError(t, err)
	return r, outputsIn(t, c.Dir)
}

// outputsIn reads the files of a folder but for journals.
func outputsIn(t testing.TB, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, e := range entries {
		if filepath.Ext(e.Name()) == ".journal" || e.IsDir() {
			continue
		}
		text, err := os.ReadFile(filepath.Join(dir, e.Name()))
		require.NoError(t, err)
		out[e.Name()] = string(text)
	}
	return out
}

// mustBeSame compares outputs byte for byte, and tells where they differ.
func mustBeSame(t testing.TB, want, got map[string]string, words ...any) {
	t.Helper()
	require.Equal(t, slices.Sorted(maps.Keys(want)), slices.Sorted(maps.Keys(got)), words...)
	for name, w := range want {
		g := got[name]
		if w == g {
			continue
		}
		at := 0
		for at < min(len(w), len(g)) && w[at] == g[at] {
			at++
		}
		from := max(0, at-60)
		require.Failf(t, "files differ", "%s, %d and %d bytes, at byte %d: %q and %q; %v", name, len(w), len(g), at,
			w[from:min(at+60, len(w))], g[from:min(at+60, len(g))], words)
	}
}

// writeFlat writes a raster in degrees of a given block size, of no relief.
func writeFlat(t testing.TB, path string, cells int, block [2]int) {
	t.Helper()
	require.NoError(t, godal.RegisterRaster(godal.GTiff))
	options := []string{"COMPRESS=LZW", fmt.Sprint("BLOCKYSIZE=", block[1])}
	if block[0] < cells {
		options = append(options, "TILED=YES", fmt.Sprint("BLOCKXSIZE=", block[0]))
	}
	ds, err := godal.Create(godal.GTiff, path, 1, godal.Float32, cells, cells, godal.CreationOption(options...))
	require.NoError(t, err)
	wgs84, err := godal.NewSpatialRefFromEPSG(4326)
	require.NoError(t, err)
	defer wgs84.Close()
	z := make([]float32, cells*cells)
	for i := range z {
		z[i] = float32(300 + i%7)
	}
	require.NoError(t, errors.Join(ds.SetSpatialRef(wgs84), ds.SetGeoTransform([6]float64{-81, flatDeg, 0, 36, 0, -flatDeg}),
		ds.Bands()[0].Write(0, 0, z, cells, cells), ds.Close()))
}

// flatDeg is its cell.
const flatDeg = 1e-5

// vectorOf is a square on it, by its middle and its side in cells.
func vectorOf(t testing.TB, x, y, side float64) orb.MultiPolygon {
	t.Helper()
	var ring orb.Ring
	for _, c := range [][2]float64{{-1, -1}, {-1, 1}, {1, 1}, {1, -1}, {-1, -1}} {
		ring = append(ring, orb.Point{-81 + flatDeg*(x+c[0]*side/2), 36 - flatDeg*(y+c[1]*side/2)})
	}
	return orb.MultiPolygon{{ring}}
}
