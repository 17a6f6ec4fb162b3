package page

import (
	"bytes"
	"encoding/json"
	"io"
	"mime/multipart"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// load sends files as they are dropped on the page, as name and content; a name that begins
// with = is a field.
func (s *visit) load(files ...string) (int, []byte) {
	s.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	for i := 0; i < len(files); i += 2 {
		if field, ok := strings.CutPrefix(files[i], "="); ok {
			require.NoError(s, form.WriteField(field, files[i+1]))
			continue
		}
		w, err := form.CreateFormFile(filePart, files[i])
		require.NoError(s, err)
		_, err = io.WriteString(w, files[i+1])
		require.NoError(s, err)
	}
	require.NoError(s, form.Close())
	return s.do("POST", "/v1/files", form.FormDataContentType(), body.Bytes())
}

func (s *visit) loaded(files ...string) (l loaded) {
	s.Helper()
	status, body := s.load(files...)
	require.Equal(s, 200, status, "%s", body)
	require.NoError(s, json.Unmarshal(body, &l))
	return l
}

// madeRaster writes heights of the made ground's cells; srs "" declares none.
func madeRaster(t *testing.T, name string, epsg int, height func(x, y float64) float64) string {
	t.Helper()
	require.NoError(t, godal.RegisterRaster(godal.GTiff))
	file := filepath.Join(t.TempDir(), name)
	ds, err := godal.Create(godal.GTiff, file, 1, godal.Float32, madeCols, madeCols, godal.CreationOption("COMPRESS=DEFLATE"))
	require.NoError(t, err)
	if epsg != 0 {
		sr, err := godal.NewSpatialRefFromEPSG(epsg)
		require.NoError(t, err)
		defer sr.Close()
		require.NoError(t, ds.SetSpatialRef(sr))
	}
	z := make([]float32, madeCols*madeCols)
	for i := range z {
		z[i] = float32(height(float64(i%madeCols), float64(i/madeCols)))
	}
	require.NoError(t, ds.SetGeoTransform([6]float64{madeWest, 1, 0, madeTop, 0, -1}))
	require.NoError(t, ds.Bands()[0].Write(0, 0, z, madeCols, madeCols))
	require.NoError(t, ds.Close())
	return file
}

func contentOf(t *testing.T, file string) string {
	t.Helper()
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	return string(text)
}

// gentle is the made ground pressed to a third of its height.
func gentle(x, y float64) float64 { return 200 + madeHeight(x, y)/3 }

// features are shapes in a GeoJSON file, as properties and geometry.
func features(t *testing.T, pairs ...any) string {
	t.Helper()
	var all []string
	for i := 0; i < len(pairs); i += 2 {
		shape := pairs[i+1].(orb.Geometry)
		at, err := json.Marshal(shape)
		require.NoError(t, err)
		all = append(all, `{"type":"Feature","properties":`+pairs[i].(string)+`,"geometry":{"type":"`+shape.GeoJSONType()+`","coordinates":`+string(at)+`}}`)
	}
	return `{"type":"FeatureCollection","features":[` + strings.Join(all, ",") + `]}`
}

func square(t *testing.T, x, y, side float64) orb.Polygon {
	t.Helper()
	return orb.Polygon{onGround(t, orb.Point{x, y}, orb.Point{x, y + side}, orb.Point{x + side, y + side}, orb.Point{x + side, y}, orb.Point{x, y})}
}

// A file is told by what it holds, whatever it is called, and asked about where that leaves it open.
func TestAFileIsToldByWhatItHolds(t *testing.T) {
	s := serve(t)
	ridge := contentOf(t, madeRaster(t, "x.tif", 32616, gentle))
	spot := onGround(t, orb.Point{40, 300})[0]
	line := orb.LineString(onGround(t, orb.Point{40, 300}, orb.Point{400, 300}))
	grid := "ncols 3\nnrows 2\nxllcorner 747000\nyllcorner 4025000\ncellsize 1\n300 301 302\n303 304 305\n"
	for _, c := range []struct {
		name, file, content string
		roles               []string
		sure                bool
	}{
		{"ground by its name", "county_dtm.tif", ridge, []string{asGround, asSurface}, true},
		{"a surface by its name", "county_DSM.tif", ridge, []string{asSurface, asGround}, true},
		{"a raster that says nothing", "USGS_1M_16.tif", ridge, []string{asGround, asSurface}, false},
		{"a raster called something else", "dem.geojson", ridge, []string{asGround, asSurface}, true},
		{"a boundary", "quarry.geojson", string(parcel(t)), []string{asBoundary, asStaging, asTravel}, true},
		{"a boundary called a raster", "quarry.tif", string(parcel(t)), []string{asBoundary, asStaging, asTravel}, true},
		{"travel by its name", "travel ways.geojson", string(parcel(t)), []string{asTravel, asBoundary, asStaging}, true},
		{"a site", "quarry.geojson", features(t, `{"kind":"no-go"}`, square(t, 300, 300, 20), `{"kind":"power line"}`, line), []string{asSite}, true},
		{"outlines of a kind nobody knows", "x.geojson", features(t, `{"kind":"meadow"}`, square(t, 300, 300, 20)), []string{asBoundary, asStaging, asTravel}, false},
		{"spots", "spots.geojson", features(t, `{}`, spot), []string{asStaging}, false},
		{"outlines called by a kind", "travel.geojson", string(parcel(t)), []string{asSite, asBoundary}, false},
		{"unload points by their name", "unload points.geojson", features(t, `{}`, spot), []string{asStaging}, true},
		{"a text grid", "hill.asc", grid, []string{asGround, asSurface}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			files := []string{c.file, c.content}
			if c.file == "hill.asc" {
				files = append([]string{"=crs", "32616"}, files...)
			}
			l := s.loaded(files...)
			assert.Equal(t, c.roles, slices.DeleteFunc(l.Roles, func(r string) bool { return strings.HasPrefix(r, asKind) }))
			assert.Equal(t, c.sure, l.Sure)
			assert.Len(t, l.SHA256, 64)
		})
	}
	// Shapes that say nothing may be said to be of a kind that they can be drawn as.
	of := func(content string) []string { return s.loaded("lines.geojson", content).Roles }
	assert.Equal(t, []string{"as:no-go", "as:overhead-line", "as:water", "as:road", "as:path", "as:railway", "as:pipeline", "as:building", "as:tower", "as:leave-tree", "as:people", "as:cliff"}, of(features(t, `{}`, line)))
	assert.Equal(t, []string{asStaging, "as:no-go", "as:water", "as:building", "as:tower", "as:leave-tree", "as:people"}, of(features(t, `{}`, spot)))
	status, body := s.load("site.geojson", features(t, `{"kind":"powerlne"}`, line))
	assert.Equal(t, 422, status)
	assert.Contains(t, s.trouble(body).Error, `its kind "powerlne" is not known`)
	status, body = s.load("a.tif", ridge, "quarry.geojson", string(parcel(t)))
	assert.Equal(t, 422, status)
	assert.Contains(t, s.trouble(body).Error, "quarry.geojson: it was dropped as part of a.tif, which it is not")
}

// What a raster does not say is asked for, in words of the page, and what is no ground is refused.
func TestARasterThatCannotBeTaken(t *testing.T) {
	s := serve(t)
	bare := contentOf(t, madeRaster(t, "x.tif", 0, gentle))
	feet := contentOf(t, madeRaster(t, "x.tif", 2274, gentle))
	for _, c := range []struct {
		name, words, field string
		files              []string
	}{
		{"no CRS", "dem.tif: it declares no CRS; name it with", "file-crs", []string{"dem.tif", bare}},
		{"a CRS that is a path", `"passwd" is no coordinate system by its number`, "file-crs", []string{"=crs", "/etc/passwd", "dem.tif", bare}},
		{"a CRS there is not", "dem.tif: ", "", []string{"=crs", "EPSG:999999", "dem.tif", bare}},
		{"feet, perhaps", "dem.tif: the unit of heights is not declared, and the grid is not in meters", "file-unit", []string{"dem.tif", feet}},
		{"a unit there is not", `elevation unit "fathoms"`, "file-unit", []string{"=unit", "fathoms", "dem.tif", feet}},
		{"a slope", "dem_slope.tif: it holds no heights of ground: by its name it is a slope", "", []string{"dem_slope.tif", bare, "=crs", "32616"}},
		{"cut off", "dem.tif: ", "", []string{"dem.tif", contentOf(t, elevation(t))[:4000]}},
	} {
		t.Run(c.name, func(t *testing.T) {
			status, body := s.load(c.files...)
			assert.Equal(t, 422, status, "%s", body)
			said := s.trouble(body)
			assert.Contains(t, said.Error, c.words)
			assert.Equal(t, c.field, said.Field)
			assert.NotContains(t, said.Error, s.dir)
			assert.NotContains(t, said.Error, seenFolder)
		})
	}
	assert.Equal(t, []string{asGround, asSurface}, s.loaded("=crs", "32616", "dem.tif", bare).Roles)
	assert.Equal(t, []string{asGround, asSurface}, s.loaded("=unit", "us-ft", "dem.tif", feet).Roles)
}

// Files are gone with the session: removed, left, unused for long, or when the server ends.
func TestDroppedFilesAreGoneAfterTheSession(t *testing.T) {
	temp := t.TempDir()
	tif := contentOf(t, elevation(t)) // made before the folder of temporary files is watched
	t.Setenv("TMPDIR", temp)
	s := serve(t)
	now := time.Now()
	s.tray.now = func() time.Time { return now }
	a := s.mapped("quarry.geojson", parcel(t))
	forget := func(id, how string) {
		status, _ := s.do("DELETE", "/v1/files/"+id+how, "", nil)
		assert.Equal(t, 204, status)
	}
	removed := s.loaded("dem.tif", tif)
	assert.Len(t, foldersIn(t, s.dir), 1)
	forget(removed.ID, "")
	assert.Empty(t, foldersIn(t, s.dir))

	left := s.loaded("dem.tif", tif)
	forget(left.ID, "?left=1")
	s.with(a.ID, Use{left.ID, asGround}) // the page was only loaded anew
	now = now.Add(2 * afterLeaving)
	s.tray.sweep()
	assert.Len(t, foldersIn(t, s.dir), 1)
	forget(left.ID, "?left=1")
	now = now.Add(2 * afterLeaving)
	s.tray.sweep()
	assert.Empty(t, foldersIn(t, s.dir))

	s.loaded("dem.tif", tif)
	now = now.Add(s.config.Limits.Idle + time.Second)
	s.tray.sweep()
	assert.Empty(t, foldersIn(t, s.dir))
	assert.Equal(t, s.tray.most, s.tray.left)

	s.loaded("dem.tif", tif)
	assert.NotEmpty(t, foldersIn(t, s.dir))
	s.Close()
	assert.Empty(t, foldersIn(t, temp))
}

// Files that are loaded are bounded: each, their number, and all together.
func TestDroppedFilesAreBounded(t *testing.T) {
	tif := contentOf(t, elevation(t))
	s := serve(t, func(c *Config) {
		c.Limits = Limits{FileBytes: 4 << 20, UploadBytes: 1 << 20, Dropped: 2, DroppedBytes: 16 << 20, DroppedCells: madeCols * madeCols}
	})
	status, body := s.load("big.tif", "II*\x00"+strings.Repeat("x", 5<<20))
	assert.Equal(t, 413, status, "%s", body)
	status, body = s.load("big.geojson", strings.Repeat(" ", 2<<20))
	assert.Equal(t, 413, status)
	assert.Contains(t, s.trouble(body).Error, "larger than 1 MB, the most that is taken of shapes")
	first := s.loaded("dem.tif", tif)
	s.loaded("quarry.geojson", string(parcel(t)))
	status, body = s.load("quarry.geojson", string(parcel(t)))
	assert.Equal(t, 503, status)
	assert.Contains(t, s.trouble(body).Error, "2 files are loaded, the most that are kept here: remove one first")
	s.tray.remove(first.ID, false)
	s.tray.left = 1 << 20
	status, body = s.load("dem.tif", tif)
	assert.Equal(t, 503, status)
	assert.Contains(t, s.trouble(body).Error, "there is no room for this one")

	s = serve(t, func(c *Config) { c.Limits = Limits{DroppedCells: madeCols*madeCols - 1} })
	status, body = s.load("dem.tif", tif)
	assert.Equal(t, 422, status)
	assert.Contains(t, s.trouble(body).Error, "dem.tif: it covers too many cells to read at once: it has 620 × 620 cells")
	for _, path := range []string{"/v1/files"} {
		status, _ = s.do("POST", path, "text/plain", []byte("x"))
		assert.Equal(t, 415, status)
	}
	status, body = s.load("=other", "x")
	assert.Equal(t, 400, status)
	assert.Contains(t, s.trouble(body).Error, `no field "other"`)
	status, _ = s.load()
	assert.Equal(t, 400, status)
}

// A boundary can be drawn on elevation that was dropped.
func TestDroppedElevationIsShown(t *testing.T) {
	s := serve(t)
	tif := s.loaded("ridge.tif", contentOf(t, madeRaster(t, "x.tif", 32616, gentle)))
	assert.True(t, tif.Raster)
	assert.True(t, tif.Assumed)
	status, body := s.get("/v1/files/" + tif.ID + "/start")
	require.Equal(t, 200, status, "%s", body)
	var at struct{ Plane plane }
	require.NoError(t, json.Unmarshal(body, &at))
	middle := onGround(t, orb.Point{310, 310})[0]
	assert.InDelta(t, middle[0], at.Plane.Lon, 1e-3)
	assert.InDelta(t, middle[1], at.Plane.Lat, 1e-3)
	const view = "/relief.png?x=0&y=0&m=2&w=300&h=200"
	status, body = s.get("/v1/files/" + tif.ID + view)
	require.Equal(t, 200, status)
	assert.Equal(t, "\x89PNG", string(body[:4]))
	status, _ = s.get("/v1/files/" + tif.ID + "/relief.png?x=0&y=0&m=2&w=300000&h=200")
	assert.Equal(t, 400, status)
	shapes := s.loaded("quarry.geojson", string(parcel(t)))
	status, _ = s.get("/v1/files/" + shapes.ID + view)
	assert.Equal(t, 404, status)
	status, _ = s.get("/v1/files/" + shapes.ID + "/start")
	assert.Equal(t, 404, status)
	status, _ = s.do("DELETE", "/v1/files/"+tif.ID, "", nil)
	assert.Equal(t, 204, status)
	status, _ = s.get("/v1/files/" + tif.ID + view)
	assert.Equal(t, 422, status)
	assert.Len(t, foldersIn(t, s.dir), 1)
}

// Which of two rasters is the surface is told by their heights; neighbors are neither.
func TestTheHigherOfTwoRasters(t *testing.T) {
	s := serve(t)
	load := func(name string, epsg int, height func(x, y float64) float64) string {
		return s.loaded(name, contentOf(t, madeRaster(t, "x.tif", epsg, height))).ID
	}
	ground := load("a.tif", 32616, gentle)
	trees := load("b.tif", 32616, func(x, y float64) float64 {
		if int(x/40)%5 == 0 {
			return gentle(x, y) + 9
		}
		return gentle(x, y)
	})
	same := load("c.tif", 32616, func(x, y float64) float64 { return gentle(x, y) + 0.4 })
	far := load("d.tif", 32617, gentle)
	for _, c := range []struct{ a, b, above string }{{ground, trees, "second"}, {trees, ground, "first"}, {ground, same, ""}, {ground, far, ""}} {
		status, body := s.get("/v1/files/" + c.a + "/above/" + c.b)
		require.Equal(t, 200, status, "%s", body)
		assert.JSONEq(t, `{"above":"`+c.above+`"}`, string(body))
	}
	status, _ := s.get("/v1/files/" + ground + "/above/none")
	assert.Equal(t, 422, status)
	shapes := s.loaded("quarry.geojson", string(parcel(t)))
	status, _ = s.get("/v1/files/" + ground + "/above/" + shapes.ID)
	assert.Equal(t, 404, status)
}
