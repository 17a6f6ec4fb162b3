package raster

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// folderOfTiles writes the hill as tiles of 12 × 10 cells into a folder, in two
// folders below it, and returns it.
func folderOfTiles(t testing.TB) string {
	t.Helper()
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	folder := t.TempDir()
	for i := range 16 {
		c, r := i%4*12, i/4*10
		below := filepath.Join(folder, fmt.Sprintf("row%d", i/8))
		require.NoError(t, os.MkdirAll(below, 0o777))
		file := tile(terrain.NewWindow(c, r, c+12, r+10)).write(t, "t.tif")
		require.NoError(t, os.Rename(file, filepath.Join(below, fmt.Sprintf("tile%02d.tif", i))))
	}
	return folder
}

func catalogued(t testing.TB, o Options, args ...string) *Catalogue {
	t.Helper()
	c, err := NewCatalogue(t.Context(), args, o)
	require.NoError(t, err)
	t.Cleanup(c.Close)
	return c
}

func pathsOf(rasters []*Raster) (names []string) {
	for _, r := range rasters {
		names = append(names, filepath.Base(r.Source.Path))
	}
	return names
}

// The tiles around a place and no others, and the ground that they hold.
func TestCatalogueOfAFolder(t *testing.T) {
	whole := opened(t, hillDEM().write(t, "hill.tif"), Options{})
	want, err := Read(t.Context(), []*Raster{whole}, within(t, whole))
	require.NoError(t, err)
	folder := folderOfTiles(t)
	for _, args := range [][]string{{folder}, {filepath.Join(folder, "*", "*.tif")}, {filepath.Join(folder, "row0"), filepath.Join(folder, "row1")}} {
		c := catalogued(t, Options{}, args...)
		assert.Empty(t, c.Warnings)
		require.Len(t, c.Entries(), 16)
		few, err := c.Around(t.Context(), patch(t, whole, 16.5, 14.5, 18.5, 16.5))
		require.NoError(t, err)
		// Boxes of tiles that are not quite square to the meridians overlap a little.
		assert.Contains(t, pathsOf(few), "tile05.tif", "%v", args)
		assert.LessOrEqual(t, len(few), 2)
		assert.Len(t, c.opened, len(few))
		near, err := c.Around(t.Context(), patch(t, whole, 20.5, 14.5, 22.5, 16.5))
		require.NoError(t, err)
		assert.Subset(t, pathsOf(near), []string{"tile05.tif", "tile06.tif"}, "within the halo of the next")
		assert.LessOrEqual(t, len(near), 5)
		all, err := c.Around(t.Context(), within(t, whole))
		require.NoError(t, err)
		got, err := Read(t.Context(), all, within(t, whole))
		require.NoError(t, err)
		mustMatch(t, want.Grid, got.Grid, 0, 1e-4)
		none, err := c.Around(t.Context(), box(10, 50, 10.1, 50.1))
		require.NoError(t, err)
		assert.Empty(t, none)
		path, middle, km := c.Nearest(orb.Point{-84.5, 36.3})
		assert.Contains(t, path, "tile")
		assert.InDelta(t, 36.3, middle[1], 0.1)
		assert.InDelta(t, 14, km, 5)
	}
	e := catalogued(t, Options{}, folder).Entries()[5]
	assert.Equal(t, [2]int{12, 10}, [2]int{e.Cols, e.Rows})
	assert.Equal(t, [6]float64{740_120, 10, 0, 4_019_900, 0, -10}, e.Grid)
	assert.Contains(t, e.CRS, "26916")
	assert.InDelta(t, 9.997, e.CellM[0], 1e-3)
	assert.Len(t, e.Rim, 4*rimPieces)
	at := toDegrees(t, "EPSG:26916")(740_120, 4_019_900)
	assert.InDelta(t, at[0], e.Rim[0][0], 1e-9)
	assert.InDelta(t, at[1], e.Rim[0][1], 1e-9)
}

// What is in the index is not read again; what changed is.
func TestIndexOfAFolder(t *testing.T) {
	folder := folderOfTiles(t)
	index, err := indexPath(folder)
	require.NoError(t, err)
	catalogued(t, Options{}, folder)
	first, err := os.ReadFile(index)
	require.NoError(t, err)
	left, err := filepath.Glob(index + "*")
	require.NoError(t, err)
	assert.Len(t, left, 1, "nothing half-written is left")

	// A file whose bytes turn to rubbish, its size and time kept: the index serves.
	name := filepath.Join(folder, "row0", "tile05.tif")
	info, err := os.Stat(name)
	require.NoError(t, err)
	good, err := os.ReadFile(name)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(name, make([]byte, len(good)), 0o666))
	require.NoError(t, os.Chtimes(name, time.Time{}, info.ModTime()))
	c := catalogued(t, Options{}, folder)
	assert.Len(t, c.Entries(), 16)
	assert.Empty(t, c.Warnings)
	second, err := os.ReadFile(index)
	require.NoError(t, err)
	assert.Equal(t, first, second)

	// Its time changed: it is read again, and is no raster any more.
	require.NoError(t, os.Chtimes(name, time.Time{}, info.ModTime().Add(time.Second)))
	c = catalogued(t, Options{}, folder)
	assert.Len(t, c.Entries(), 15)
	require.Len(t, c.Warnings, 1)
	assert.Contains(t, c.Warnings[0], "1 of 16 rasters, such as "+name)

	// That a file did not open is not taken for the last word on it.
	require.NoError(t, os.WriteFile(name, good, 0o666))
	require.NoError(t, os.Chtimes(name, time.Time{}, info.ModTime().Add(time.Second)))
	assert.Len(t, catalogued(t, Options{}, folder).Entries(), 16)

	// One gone, and a new one in a zip.
	require.NoError(t, os.Remove(filepath.Join(folder, "row1", "tile15.tif")))
	z := zipped(t, "more.zip", [2]string{"a/new.tif", hillDEM().write(t, "new.tif")})
	require.NoError(t, os.Rename(z, filepath.Join(folder, "more.zip")))
	c = catalogued(t, Options{}, folder)
	assert.Empty(t, c.Warnings)
	require.Len(t, c.Entries(), 16)
	assert.Equal(t, filepath.Join(folder, "more.zip")+"/a/new.tif", c.Entries()[0].Path)
	rasters, err := c.Around(t.Context(), orb.MultiPolygon{{{orb.Point(c.Entries()[0].Rim[0])}}})
	require.NoError(t, err)
	assert.Contains(t, pathsOf(rasters), "new.tif")

	// What lies beside a raster may say where it is.
	require.NoError(t, os.WriteFile(filepath.Join(folder, "row0", "tile00.prj"), []byte(" "), 0o666))
	before, err := os.ReadFile(index)
	require.NoError(t, err)
	catalogued(t, Options{}, folder)
	after, err := os.ReadFile(index)
	require.NoError(t, err)
	assert.NotEqual(t, before, after)
}

// A damaged index is as none at all, whatever the damage.
func TestDamagedIndex(t *testing.T) {
	folder := folderOfTiles(t)
	index, err := indexPath(folder)
	require.NoError(t, err)
	catalogued(t, Options{}, folder)
	good, err := os.ReadFile(index)
	require.NoError(t, err)
	flipped := append([]byte(nil), good...)
	flipped[len(flipped)/2] ^= 4
	for _, bad := range [][]byte{nil, good[:len(good)/2], flipped, []byte("acreband elevation index 3\n"), append(good, 0)} {
		require.NoError(t, os.WriteFile(index, bad, 0o666))
		assert.Len(t, catalogued(t, Options{}, folder).Entries(), 16)
		mended, err := os.ReadFile(index)
		require.NoError(t, err)
		assert.Equal(t, good, mended)
	}
}

// The index lies in the user's cache, for a folder of data is not the program's to write in; where
// that takes none, it is said.
func TestIndexLiesInTheCache(t *testing.T) {
	folder := folderOfTiles(t)
	before := namesBelow(t, folder)
	c := catalogued(t, Options{}, folder)
	assert.Empty(t, c.Warnings)
	assert.Equal(t, before, namesBelow(t, folder), "nothing is written where the data lie")
	kept, err := filepath.Glob(filepath.Join(os.Getenv("XDG_CACHE_HOME"), "acreband", "elevation-*"))
	require.NoError(t, err)
	require.Len(t, kept, 1)
	records, err := os.ReadFile(kept[0])
	require.NoError(t, err)
	_, err = decodeIndex(records)
	require.NoError(t, err)

	none := filepath.Join(t.TempDir(), "none")
	require.NoError(t, os.WriteFile(none, nil, 0o666))
	t.Setenv("XDG_CACHE_HOME", none)
	c = catalogued(t, Options{}, folder)
	assert.Len(t, c.Entries(), 16)
	require.Len(t, c.Warnings, 1)
	assert.Contains(t, c.Warnings[0], "its index cannot be kept")
}

// Rasters that do not say where they lie, and are told.
func TestCatalogueWithACRSGiven(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	d := hillDEM()
	d.crs = ""
	folder := filepath.Dir(d.write(t, "bare.tif"))
	_, err := NewCatalogue(t.Context(), []string{folder}, Options{})
	assert.ErrorContains(t, err, "none of its 1 rasters can be used")
	assert.ErrorContains(t, err, "elevation-crs")
	for range 2 {
		c := catalogued(t, Options{CRS: "EPSG:26916"}, folder)
		require.Len(t, c.Entries(), 1)
		at := toDegrees(t, "EPSG:26916")(740_240, 4_019_800)
		rasters, err := c.Around(t.Context(), box(at[0]-1e-4, at[1]-1e-4, at[0]+1e-4, at[1]+1e-4))
		require.NoError(t, err)
		assert.Len(t, rasters, 1)
	}
	_, err = NewCatalogue(t.Context(), []string{folder}, Options{})
	assert.Error(t, err, "the index keeps what is declared")
}

func TestArgumentsThatHoldNothing(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	empty := t.TempDir()
	text := filepath.Join(t.TempDir(), "lots.geojson")
	require.NoError(t, os.WriteFile(text, []byte(`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"lot":"a"},"geometry":{"type":"Point","coordinates":[1,2]}}]}`), 0o666))
	for _, c := range [][2]string{
		{empty, "the folder holds no raster"},
		{filepath.Join(empty, "*.tif"), "no raster matches it"},
		{"us-1/4-arc-second", "nor an elevation service known by name (those are us-1m, ca-1m, us-1/3-arc-second, us-1-arc-second)"},
		{text, `holds shapes, not heights: give a raster, a folder of rasters, or a tile index (no layer here has the field "location" of one)`},
	} {
		_, err := NewCatalogue(t.Context(), []string{c[0]}, Options{})
		assert.ErrorContains(t, err, c[1])
		_, err = Expand(t.Context(), []string{c[0]})
		assert.ErrorContains(t, err, c[1])
	}
}

// A raster across the antimeridian, one that holds a pole, and places whose
// longitudes are written the other way.
func TestCatalogueAcrossTheAntimeridian(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	d := hillDEM()
	d.crs, d.grid = "EPSG:32601", northUp(294_000, 5_769_900, 10)
	folder := filepath.Dir(d.write(t, "a.tif"))
	polar := hillDEM()
	polar.cols, polar.rows, polar.crs, polar.grid = 400, 400, "EPSG:3413", northUp(-2000, 2000, 10)
	pole := filepath.Dir(polar.write(t, "pole.tif"))
	c := catalogued(t, Options{}, folder, pole)
	for _, place := range []orb.MultiPolygon{
		box(179.998, 52.038, 179.999, 52.039), box(-180.002, 52.038, -180.001, 52.039), box(180.001, 52.038, 180.002, 52.039), box(-179.999, 52.038, -179.998, 52.039),
	} {
		rasters, err := c.Around(t.Context(), place)
		require.NoError(t, err)
		assert.Equal(t, []string{"a.tif"}, pathsOf(rasters), "%v", place)
	}
	for _, lon := range []float64{-170, -45, 0, 100} {
		rasters, err := c.Around(t.Context(), box(lon, 89.995, lon+1, 89.996))
		require.NoError(t, err)
		assert.Equal(t, []string{"pole.tif"}, pathsOf(rasters), "%v", lon)
	}
}

// Tile indexes as GDAL makes them, in several formats and CRSs, their paths seen
// from the index.
func TestTileIndex(t *testing.T) {
	folder := folderOfTiles(t)
	whole := opened(t, hillDEM().write(t, "hill.tif"), Options{})
	place := patch(t, whole, 16.5, 14.5, 18.5, 16.5)
	registerAll()
	made := filepath.Join(folder, "made.gpkg")
	ds, err := godal.CreateVector(godal.GeoPackage, made)
	require.NoError(t, err)
	sr, err := godal.NewSpatialRefFromEPSG(26916)
	require.NoError(t, err)
	defer sr.Close()
	layer, err := ds.CreateLayer("tiles", sr, godal.GTPolygon, godal.NewFieldDefinition("LOCATION", godal.FTString))
	require.NoError(t, err)
	for i := range 16 {
		x, y := 740_000+120*float64(i%4), 4_020_000-100*float64(i/4)
		g, err := godal.NewGeometryFromWKT(fmt.Sprintf("POLYGON((%[1]v %[2]v,%[3]v %[2]v,%[3]v %[4]v,%[1]v %[4]v,%[1]v %[2]v))", x, y-100, x+120, y), nil)
		require.NoError(t, err)
		f, err := layer.NewFeature(g)
		require.NoError(t, err)
		require.NoError(t, f.SetFieldValue(f.Fields()["LOCATION"], fmt.Sprintf("row%d/tile%02d.tif", i/8, i)))
		require.NoError(t, layer.UpdateFeature(f))
		f.Close()
		g.Close()
	}
	require.NoError(t, ds.Close())
	for _, c := range []struct{ format, name, crs string }{
		{"GeoJSON", "tiles.geojson", "EPSG:4326"},
		{"ESRI Shapefile", "tiles.shp", "EPSG:26916"},
		{"GPKG", "tiles.gpkg", "EPSG:5070"},
		{"FlatGeobuf", "tiles.fgb", "EPSG:4326"},
	} {
		t.Run(c.name, func(t *testing.T) {
			index := filepath.Join(folder, c.name)
			ds, err := godal.Open(made, godal.VectorOnly())
			require.NoError(t, err)
			defer ds.Close()
			copied, err := ds.VectorTranslate(index, []string{"-f", c.format, "-t_srs", c.crs})
			require.NoError(t, err)
			require.NoError(t, copied.Close())

			names, err := Expand(t.Context(), []string{index})
			require.NoError(t, err)
			require.Len(t, names, 16)
			assert.Contains(t, names, filepath.Join(folder, "row1", "tile15.tif"))
			cat := catalogued(t, Options{}, index)
			assert.Empty(t, cat.opened, "none is opened before it is needed")
			rasters, err := cat.Around(t.Context(), place)
			require.NoError(t, err)
			assert.Contains(t, pathsOf(rasters), "tile05.tif")
			assert.LessOrEqual(t, len(rasters), 5)
			e, err := Read(t.Context(), rasters, place)
			require.NoError(t, err)
			assert.Equal(t, hill(17, 15), e.Grid.At(halo+1, halo+1))
		})
	}
}

func FuzzIndex(f *testing.F) {
	names := []string{"a.tif", "b/c.zip"}
	records := map[string]record{
		"a.tif":   {size: 5, modTime: 7, entries: []Entry{{Cols: 3, Rows: 4, CRS: "x", Rim: [][2]float64{{1, 2}}}}},
		"b/c.zip": {entries: []Entry{{Path: "/d.tif", Refused: "no"}, {CRS: "x"}}},
	}
	good := encodeIndex(names, records)
	f.Add(good[len(indexMagic) : len(good)-4])
	f.Add([]byte{})
	f.Add([]byte{2, 1, 'x', 2})
	f.Fuzz(func(t *testing.T, body []byte) {
		got, err := decodeIndex(sealed(append([]byte(indexMagic), body...)))
		if err != nil {
			return
		}
		var names []string
		for name := range got {
			names = append(names, name)
		}
		again, err := decodeIndex(encodeIndex(names, got))
		require.NoError(t, err)
		require.Len(t, again, len(got))
	})
}

// namesBelow lists all that lies in a folder and below it.
func namesBelow(t *testing.T, folder string) (names []string) {
	t.Helper()
	require.NoError(t, filepath.WalkDir(folder, func(path string, _ fs.DirEntry, err error) error {
		names = append(names, path)
		return err
	}))
	return names
}
