package page

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"math"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/fleet"
)

// The made ground: 620 × 620 cells of 1 m in UTM zone 16, a ridge whose sides go from
// level at the edges to some 55% below its crest, with a bench and small hollows.
const (
	madeCols = 620
	madeWest = 747000.0
	madeTop  = 4025600.0
)

func madeHeight(x, y float64) float64 {
	d := math.Abs(x-310+25*math.Sin(y/70)) / 310
	ridge := 60 * math.Pow(max(0, 1-d), 1.7)
	return 300 + ridge + 1.5*math.Sin(x/23)*math.Cos(y/31) + 0.03*y
}

// madeGround writes the made ground once for all tests.
var madeGround = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "page-test-")
	if err != nil {
		return "", err
	}
	if err := godal.RegisterRaster(godal.GTiff); err != nil {
		return "", err
	}
	file := filepath.Join(dir, "ridge_1m.tif")
	ds, err := godal.Create(godal.GTiff, file, 1, godal.Float32, madeCols, madeCols, godal.CreationOption("TILED=YES"))
	if err != nil {
		return "", err
	}
	sr, err := godal.NewSpatialRefFromEPSG(32616)
	if err != nil {
		return "", err
	}
	defer sr.Close()
	z := make([]float32, madeCols*madeCols)
	for i := range z {
		z[i] = float32(madeHeight(float64(i%madeCols), float64(i/madeCols)))
	}
	for _, err := range []error{
		ds.SetSpatialRef(sr), ds.SetGeoTransform([6]float64{madeWest, 1, 0, madeTop, 0, -1}),
		ds.Bands()[0].Write(0, 0, z, madeCols, madeCols), ds.Close(),
	} {
		if err != nil {
			return "", err
		}
	}
	return file, nil
})

// asReader says that this program, started again, is to be a reader, and what it does
// before it answers: see misbehave.
const asReader = "ACREBAND_TEST_READER"

// reader makes the command of a reader.
func reader(does string) func() *exec.Cmd {
	return func() *exec.Cmd {
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(os.Environ(), asReader+"="+does)
		return cmd
	}
}

func TestMain(m *testing.M) {
	if does, ok := os.LookupEnv(asReader); ok {
		if err := ServeReader(os.Stdin, misbehave(does)); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	if _, ok := os.LookupEnv(asServer); ok {
		if err := serveAlone(); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	code := m.Run()
	if file, err := madeGround(); err == nil {
		os.RemoveAll(filepath.Dir(file))
	}
	os.Exit(code)
}

func elevation(t testing.TB) string {
	t.Helper()
	file, err := madeGround()
	require.NoError(t, err)
	return file
}

// onGround gives longitude and latitude of spots of the made ground, in metres from its
// north-west corner.
func onGround(t testing.TB, spots ...orb.Point) []orb.Point {
	t.Helper()
	from, err := godal.NewSpatialRefFromEPSG(32616)
	require.NoError(t, err)
	to, err := godal.NewSpatialRefFromEPSG(4326)
	require.NoError(t, err)
	tr, err := godal.NewTransform(from, to)
	require.NoError(t, err)
	out := make([]orb.Point, len(spots))
	for i, p := range spots {
		x, y := []float64{madeWest + p[0]}, []float64{madeTop - p[1]}
		require.NoError(t, tr.TransformEx(x, y, nil, nil))
		// EPSG:4326 puts latitude first; godal asks for longitude first.
		out[i] = orb.Point{math.Round(x[0]*1e7) / 1e7, math.Round(y[0]*1e7) / 1e7}
	}
	return out
}

// parcel is a boundary file of 45 acres: 427 m a side.
func parcel(t testing.TB) []byte {
	t.Helper()
	ring := onGround(t, orb.Point{96, 96}, orb.Point{96, 523}, orb.Point{523, 523}, orb.Point{523, 96}, orb.Point{96, 96})
	return collection(t, "Quarry Lot", orb.Polygon{ring})
}

func collection(t testing.TB, name string, shape orb.Geometry) []byte {
	t.Helper()
	coordinates, err := json.Marshal(shape)
	require.NoError(t, err)
	return []byte(`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"lot":` + quoted(t, name) +
		`},"geometry":{"type":"` + shape.GeoJSONType() + `","coordinates":` + string(coordinates) + `}}]}`)
}

func quoted(t testing.TB, s string) string {
	t.Helper()
	b, err := json.Marshal(s)
	require.NoError(t, err)
	return string(b)
}

// visit is a page under test.
type visit struct {
	*testing.T
	*Server
	http *httptest.Server
	log  *bytes.Buffer
}

// serve starts a page on the made ground.
func serve(t *testing.T, change ...func(*Config)) *visit {
	t.Helper()
	log := &bytes.Buffer{}
	c := Config{Elevation: []string{elevation(t)}, Fleet: fleet.Default(), Child: reader("reads"), Log: slog.New(slog.NewTextHandler(log, nil))}
	for _, f := range change {
		f(&c)
	}
	s, err := New(c)
	require.NoError(t, err)
	s.soon = time.Hour // statuses do not depend on how busy this machine is
	h := httptest.NewServer(s.Handler())
	t.Cleanup(func() { h.Close(); s.Close() })
	return &visit{t, s, h, log}
}

// kept is a map that the page keeps.
func (s *visit) kept(id string) *ground {
	s.Helper()
	g, done, err := s.shelf.use(id)
	require.NoError(s, err)
	done()
	return g
}

// do sends a request as the page would and gives the status and the body.
func (s *visit) do(method, path, media string, body []byte, change ...func(*http.Request)) (int, []byte) {
	s.Helper()
	r, err := http.NewRequest(method, s.http.URL+path, bytes.NewReader(body))
	require.NoError(s, err)
	r.Header.Set(tokenHeader, s.token)
	if media != "" {
		r.Header.Set("Content-Type", media)
	}
	for _, f := range change {
		f(r)
	}
	answer, err := http.DefaultClient.Do(r)
	require.NoError(s, err)
	defer answer.Body.Close()
	got, err := io.ReadAll(answer.Body)
	require.NoError(s, err)
	return answer.StatusCode, got
}

func (s *visit) get(path string) (int, []byte) { s.Helper(); return s.do("GET", path, "", nil) }

// drop uploads files, as name and content.
func (s *visit) drop(part string, files ...string) (int, []byte) {
	s.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	for i := 0; i < len(files); i += 2 {
		w, err := form.CreateFormFile(part, files[i])
		require.NoError(s, err)
		_, err = io.WriteString(w, files[i+1])
		require.NoError(s, err)
	}
	require.NoError(s, form.Close())
	return s.do("POST", "/v1/maps", form.FormDataContentType(), body.Bytes())
}

// mapped drops a boundary that must be mapped.
func (s *visit) mapped(name string, content []byte) answer {
	s.Helper()
	status, body := s.drop(boundaryPart, name, string(content))
	require.Equal(s, 200, status, "%s", body)
	return s.parse(body)
}

// parse reads the last line of an answer.
func (s *visit) parse(body []byte) (a answer) {
	s.Helper()
	all := bytes.Split(bytes.TrimSpace(body), []byte("\n"))
	require.NoError(s, json.Unmarshal(all[len(all)-1], &a))
	require.NotEmpty(s, a.ID)
	return a
}

// set changes a map.
func (s *visit) set(id, setting string) (int, []byte) {
	s.Helper()
	return s.do("POST", "/v1/maps/"+id, "application/json", []byte(setting))
}

// trouble reads an error.
func (s *visit) trouble(body []byte) (t trouble) {
	s.Helper()
	require.NoError(s, json.Unmarshal(body, &t), "%s", body)
	return t
}
