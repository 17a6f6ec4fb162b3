package read

import (
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/fetch"
	"github.com/acreband/acreband/terrain/find"
	"github.com/acreband/acreband/terrain/find/findtest"
	"github.com/acreband/acreband/terrain/raster"
)

// madeTile is a tiled GeoTIFF of cells of 1 m in UTM 16N, of a plane that rises by a tenth to the east, void west of a column.
func madeTile(t testing.TB, east, north, cells, voidCols int, grow func(col, row int) float32) []byte {
	t.Helper()
	godal.RegisterAll()
	name := filepath.Join(t.TempDir(), "made.tif")
	ds, err := godal.Create(godal.GTiff, name, 1, godal.Float32, cells, cells, godal.CreationOption("TILED=YES", "BLOCKXSIZE=256", "BLOCKYSIZE=256", "COMPRESS=NONE"))
	require.NoError(t, err)
	utm, err := godal.NewSpatialRefFromEPSG(26916)
	require.NoError(t, err)
	require.NoError(t, ds.SetSpatialRef(utm))
	require.NoError(t, ds.SetGeoTransform([6]float64{float64(east), 1, 0, float64(north), 0, -1}))
	require.NoError(t, ds.Bands()[0].SetNoData(-999999))
	z := make([]float32, cells*cells)
	for i := range z {
		z[i] = float32(300 + 0.1*float64(i%cells+east-740_000))
		if grow != nil {
			z[i] += grow(i%cells, i/cells)
		}
		if i%cells < voidCols {
			z[i] = -999999
		}
	}
	require.NoError(t, ds.Bands()[0].Write(0, 0, z, cells, cells))
	require.NoError(t, ds.Close())
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	return data
}

// around is the box of longitude and latitude around some cells of such tiles.
func boxAround(t testing.TB, east, north, cells int) [4]float64 {
	t.Helper()
	utm, err := godal.NewSpatialRefFromEPSG(26916)
	require.NoError(t, err)
	wgs, err := godal.NewSpatialRefFromEPSG(4326)
	require.NoError(t, err)
	to, err := godal.NewTransform(utm, wgs)
	require.NoError(t, err)
	x := []float64{float64(east), float64(east + cells), float64(east), float64(east + cells)}
	y := []float64{float64(north), float64(north), float64(north - cells), float64(north - cells)}
	require.NoError(t, to.TransformEx(x, y, nil, nil))
	return [4]float64{min(x[0], x[2]), min(y[2], y[3]), max(x[1], x[3]), max(y[0], y[1])}
}

// services plays services with two projects of 1 m side by side and a seamless raster of coarser cells below them.
func services(t testing.TB) (*findtest.Server, raster.Options) {
	t.Helper()
	s := findtest.New()
	t.Cleanup(s.Close)
	s.Products = []findtest.Tile{
		{Name: "Projects/West_2019/TIFF/x1.tif", Box: boxAround(t, 740_000, 4_020_000, 1200), Published: "2020-05-06"},
		{Name: "Projects/East_2022/TIFF/x1.tif", Box: boxAround(t, 741_000, 4_020_000, 1200), Published: "2023-05-06"},
	}
	s.Files["Projects/West_2019/TIFF/x1.tif"] = madeTile(t, 740_000, 4_020_000, 1200, 0, nil)
	s.Files["Projects/East_2022/TIFF/x1.tif"] = madeTile(t, 741_000, 4_020_000, 1200, 600, nil)
	list, err := find.Parse("made.yaml", s.List())
	require.NoError(t, err)
	return s, raster.Options{Named: list, Fetch: client(list, t.TempDir(), false)}
}

func client(list []find.Source, dir string, offline bool) *fetch.Client {
	return fetch.New(find.Held(fetch.Options{Dir: dir, Offline: offline, Pause: time.Millisecond, Patience: 2 * time.Second}, list))
}

// lotAt is a lot of some cells of the made tiles, well inside.
func lotAt(t testing.TB, east, north, cells int) string {
	b := boxAround(t, east, north, cells)
	return boundary(t, named{"lot", rectangle(b[0], b[1], b[2], b[3])})
}

// A boundary and nothing else: the newest project that covers the ground is found, little of it is fetched, and the same again needs no
// network and gives the same heights.
func TestPrepareFindsElevation(t *testing.T) {
	s, o := services(t)
	dir := t.TempDir()
	o.Fetch = client(o.Named, dir, false)
	lot := lotAt(t, 741_900, 4_019_500, 150)
	g, err := Prepare(t.Context(), Request{Parcel: lot, ElevationOptions: o})
	require.NoError(t, err)
	require.Len(t, g.Elevation.Sources, 1)
	source := g.Elevation.Sources[0]
	assert.Equal(t, s.URL+"/files/Projects/East_2022/TIFF/x1.tif", source.Path)
	assert.Equal(t, "made-1m", source.Found.Service)
	assert.Equal(t, "East_2022", source.Found.Project)
	assert.Equal(t, "2023-05-06", source.Found.Published)
	assert.Equal(t, time.Now().UTC().Format("2006-01-02"), source.Found.Fetched)
	assert.Zero(t, s.Asked("/files/seamless.tif"), "coarser ground is asked for where finer leaves some without heights")

	given, size := s.Given("/files/Projects/East"), len(s.Files["Projects/East_2022/TIFF/x1.tif"])
	t.Logf("%d of %d bytes for a lot of %d acres", given, size, 150*150/4047)
	// Of a tile of 300 MB the same blocks and a larger header (16 bytes for each of some 400 blocks of 512 × 512) would be fetched.
	assert.Less(t, given, int64(300e6/20))
	assert.Less(t, given, int64(size)/3)

	s.Close()
	offline := o
	offline.Fetch = client(o.Named, dir, true)
	again, err := Prepare(t.Context(), Request{Parcel: lot, ElevationOptions: offline})
	require.NoError(t, err)
	assert.Equal(t, g.Elevation.Grid.Z, again.Elevation.Grid.Z)
	assert.Equal(t, g.Elevation.Sources, again.Elevation.Sources)
	_, err = Prepare(t.Context(), Request{Parcel: lotAt(t, 740_200, 4_019_500, 150), ElevationOptions: offline})
	require.ErrorIs(t, err, fetch.ErrOffline, "ground that was never fetched is not there")
}

// A box says that a tile covers the ground, and its cells may not: then the older project does.
func TestPrepareBelievesCellsNotBoxes(t *testing.T) {
	s, o := services(t)
	g, err := Prepare(t.Context(), Request{Parcel: lotAt(t, 741_030, 4_019_500, 120), ElevationOptions: o})
	require.NoError(t, err)
	assert.Equal(t, 0, g.Elevation.Grid.Voids())
	var paths []string
	for _, source := range g.Elevation.Sources {
		paths = append(paths, strings.TrimPrefix(source.Path, s.URL+"/files/"))
	}
	assert.Contains(t, paths, "Projects/West_2019/TIFF/x1.tif")
	assert.Zero(t, s.Asked("/files/seamless.tif"))
}

// Ground that the finest leaves without heights is filled from the next, and that is said.
func TestPrepareFallsBackWhereTheFinestIsVoid(t *testing.T) {
	s, o := services(t)
	s.Products = s.Products[1:]
	s.Files["seamless.tif"] = madeTile(t, 739_000, 4_021_000, 4000, 0, nil)
	g, err := Prepare(t.Context(), Request{Parcel: lotAt(t, 741_550, 4_019_500, 100), ElevationOptions: o})
	require.NoError(t, err)
	require.Len(t, g.Elevation.Sources, 2)
	assert.Equal(t, "made-10m", g.Elevation.Sources[1].Found.Service)
	assert.Equal(t, 0, g.Elevation.Grid.Voids())
}

func TestPrepareFindsNothing(t *testing.T) {
	s, o := services(t)
	lot := boundary(t, named{"lot", rectangle(10, 50, 10.001, 50.001)})
	_, err := Prepare(t.Context(), Request{Parcel: lot, ElevationOptions: o})
	require.ErrorIs(t, err, ErrNothingFound)
	assert.ErrorContains(t, err, "made-1m (Made product search): has none there; made-stac (Made STAC API): has none there; made-10m (Made seamless): not asked, its area is elsewhere. Download a raster of bare earth")

	// Boxes that lie there, and cells that do not.
	s.Products = []findtest.Tile{{Name: "Projects/West_2019/TIFF/x1.tif", Box: [4]float64{9, 49, 11, 51}}}
	o.Fetch = client(o.Named, "", false)
	_, err = Prepare(t.Context(), Request{Parcel: lot, ElevationOptions: o})
	require.ErrorIs(t, err, ErrNothingFound)
	assert.ErrorContains(t, err, "made-1m (Made product search): one raster near, without heights there")

	// Cells there, and all of them void.
	s.Products = []findtest.Tile{{Name: "void.tif", Box: boxAround(t, 740_000, 4_020_000, 500)}}
	s.Files["void.tif"] = madeTile(t, 740_000, 4_020_000, 500, 500, nil)
	s.Files["seamless.tif"] = s.Files["void.tif"]
	o.Fetch = client(o.Named, "", false)
	_, err = Prepare(t.Context(), Request{Parcel: lotAt(t, 740_200, 4_019_800, 100), ElevationOptions: o})
	require.ErrorIs(t, err, ErrNothingFound)
}

// A service that does not answer ends the job: what happened to answer is not mapped on.
func TestPrepareOnServicesThatFail(t *testing.T) {
	s, o := services(t)
	lot := lotAt(t, 741_900, 4_019_500, 100)
	s.Before = func(w http.ResponseWriter, r *http.Request, n int) bool {
		if r.URL.Path == "/stac" {
			w.WriteHeader(http.StatusServiceUnavailable)
			return true
		}
		return false
	}
	_, err := Prepare(t.Context(), Request{Parcel: lot, ElevationOptions: o})
	require.Error(t, err)
	assert.ErrorContains(t, err, "made-stac (Made STAC API): ")
	assert.ErrorContains(t, err, "(503), after 3 tries")
	assert.ErrorContains(t, err, "nothing is mapped on what happened to answer")

	g, err := Prepare(t.Context(), Request{Elevation: []string{"made-1m"}, Parcel: lot, ElevationOptions: o})
	require.NoError(t, err, "one service by name asks that alone")
	assert.Equal(t, "made-1m", g.Elevation.Sources[0].Found.Service)

	s.Before = func(w http.ResponseWriter, r *http.Request, n int) bool {
		if strings.HasPrefix(r.URL.Path, "/files/") {
			w.WriteHeader(http.StatusNotFound)
			return true
		}
		return false
	}
	o.Fetch = client(o.Named, "", false)
	_, err = Prepare(t.Context(), Request{Parcel: lot, ElevationOptions: o})
	assert.ErrorContains(t, err, "the server has no such file (404)", "nor is a tile that is gone passed over")
}

// An answer that names an address which must not be asked.
func TestPrepareOnAnAnswerThatLeadsInside(t *testing.T) {
	s, o := services(t)
	s.Before = func(w http.ResponseWriter, r *http.Request, n int) bool {
		if r.URL.Path != "/products" {
			return false
		}
		_, _ = w.Write([]byte(`{"total": 1, "items": [{"downloadURL": "https://10.0.0.7/x.tif", "boundingBox": {"minX": -180, "maxX": 180, "minY": -90, "maxY": 90}}]}`))
		return true
	}
	_, err := Prepare(t.Context(), Request{Parcel: lotAt(t, 741_900, 4_019_500, 100), ElevationOptions: o})
	require.ErrorIs(t, err, fetch.ErrForbidden)
	assert.ErrorContains(t, err, "https://10.0.0.7/x.tif")
	assert.ErrorContains(t, err, "private address")
}

// Nobody's network is asked unless a client says so.
func TestPrepareWithoutElevationAndClient(t *testing.T) {
	_, err := Prepare(t.Context(), Request{Parcel: lotAt(t, 741_900, 4_019_500, 100)})
	require.ErrorIs(t, err, ErrNoElevation)
}

func TestSearchBoxes(t *testing.T) {
	near := orb.MultiPolygon{rectangle(1, 1, 1.1, 1.1)[0], rectangle(2, 2, 2.1, 2.1)[0]}
	assert.Len(t, searchBoxes(near), 1)
	apart := orb.MultiPolygon{rectangle(179.9, 1, 180, 1.1)[0], rectangle(-180, 1, -179.9, 1.1)[0], rectangle(179.5, 1.2, 179.6, 1.3)[0]}
	boxes := searchBoxes(apart)
	require.Len(t, boxes, 2, "on either side of the antimeridian")
	assert.LessOrEqual(t, boxes[0].Max[0], 180.0)
}
