package page

import (
	"bytes"
	"context"
	"encoding/json"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/measure"
)

// Files were opened in the server's own process: a fault in C code, a loop without end or
// gigabytes of memory ended every request there was, and the server.
func TestAFileEndsItsOwnRequestOnly(t *testing.T) {
	temp := t.TempDir()
	elevation(t) // made before the folder of temporary files is watched
	t.Setenv("TMPDIR", temp)
	child := reader("reads")
	s := serve(t, func(c *Config) {
		c.Limits = Limits{ReadTime: 20 * time.Second, ReaderBytes: 256 << 20}
		c.Child = func() *exec.Cmd { return child() }
	})
	a := s.mapped("quarry.geojson", parcel(t))
	place, err := json.Marshal(onGround(t, orb.Point{300, 300})[0])
	require.NoError(t, err)
	noGo := `{"site": {"type":"FeatureCollection","features":[{"type":"Feature","properties":{"kind":"no-go"},"geometry":{"type":"Point","coordinates":` + string(place) + `}}]}}`
	for does, words := range map[string]string{
		"faults":    "reading it ended the process that did: it is damaged, or not what it says; save the outline alone",
		"hangs":     "reading it took longer than 300ms and was stopped: save the outline alone",
		"eats":      "reading it takes more memory than the 256 MB allowed and was stopped: save the outline alone",
		"is killed": "reading it ended the process that did",
		"babbles":   "reading it ended the process that did",
		"lies":      "",
	} {
		if does == "eats" && runtime.GOOS != "linux" {
			continue // the system bounds no memory
		}
		t.Run(does, func(t *testing.T) {
			child = reader(does)
			defer func() { child = reader("reads") }()
			s.config.Limits.ReadTime = 20 * time.Second
			if does == "hangs" {
				s.config.Limits.ReadTime = 300 * time.Millisecond
			}
			loaded, told := s.load("quarry.geojson", string(parcel(t)))
			assert.NotEqual(t, 200, loaded, "%s", told)
			tif, err := os.ReadFile(elevation(t))
			require.NoError(t, err)
			if does != "hangs" { // a raster may take the time of a request
				loaded, told = s.load("ridge.tif", string(tif))
				assert.NotEqual(t, 200, loaded, "%s", told)
				assert.NotContains(t, string(told), "save the outline")
			}
			status, body := s.drop(boundaryPart, "lots.gpkg", string(parcel(t)))
			said := s.trouble(body).Error
			if does == "lies" {
				assert.Equal(t, 500, status)
				assert.Equal(t, errBroken.Error(), said)
				return
			}
			assert.Equal(t, 422, status)
			assert.True(t, strings.HasPrefix(said, "lots.gpkg: "+words), said)
			status, body = s.set(a.ID, noGo)
			assert.Equal(t, 422, status)
			assert.True(t, strings.HasPrefix(s.trouble(body).Error, "site.geojson: "+words), "%s", body)
		})
	}
	s.config.Limits.ReadTime = 20 * time.Second
	status, body := s.set(a.ID, noGo)
	assert.Equal(t, 200, status, "the map is as it was, and the page works on: %s", body)
	s.mapped("quarry.geojson", parcel(t))
	s.nothingLeft(temp)
	assert.Equal(t, s.tray.most, s.tray.left)
}

// Who hangs up ends the reader too, whatever it does.
func TestHangingUpEndsTheReader(t *testing.T) {
	s := serve(t, func(c *Config) { c.Child = reader("hangs") })
	ctx, cancel := context.WithCancel(t.Context())
	began := make(chan struct{})
	child := s.config.Child
	s.config.Child = func() *exec.Cmd { close(began); return child() }
	go func() { <-began; cancel() }()
	_, err := s.ask(ctx, question{Folder: t.TempDir(), Names: []string{"lot.kml"}})
	assert.ErrorIs(t, err, context.Canceled)
}

// What a reader says of lots and of what is drawn is what is read without one; that maps have
// the same bytes is held by TestSameBytesAsTheCommandLine.
func TestReadersStopAtTheLastLotAllowed(t *testing.T) {
	lot := string(parcel(t))
	one := lot[strings.Index(lot, `{"type":"Feature"`) : len(lot)-2]
	s := serve(t, func(c *Config) { c.Limits = Limits{Lots: 3} })
	status, body := s.drop(boundaryPart, "x.geojson", `{"type":"FeatureCollection","features":[`+strings.Repeat(one+",", 3)+one+`]}`)
	assert.Equal(t, 422, status)
	assert.Contains(t, s.trouble(body).Error, "x.geojson: it holds more than 3 lots")
	assert.Equal(t, "3 lots", s.mapped("x.geojson", []byte(`{"type":"FeatureCollection","features":[`+strings.Repeat(one+",", 2)+one+`]}`)).Name)
}

func TestNewNeedsAReader(t *testing.T) {
	_, err := New(Config{})
	assert.Error(t, err)
}

// A lot that cannot be used comes through with its own words, and the others are mapped.
func TestLotsThatFailComeThrough(t *testing.T) {
	s := serve(t)
	lot := string(parcel(t))
	at := strings.LastIndex(lot, "]}")
	empty := `,{"type":"Feature","properties":{"lot":"Empty"},"geometry":{"type":"Polygon","coordinates":[]}}`
	folder := t.TempDir()
	r := question{Folder: folder, Names: []string{"two.geojson"}}
	text := lot[:at] + empty + lot[at:]
	require.NoError(t, writeUpload(folder, text))
	both, err := s.readLots(t.Context(), r.Folder, r.Names, measure.US)
	require.NoError(t, err)
	lots := both.in(measure.US)
	require.Len(t, lots, 2)
	assert.NoError(t, lots[0].Err)
	assert.ErrorContains(t, lots[1].Err, "two.geojson: lot Empty")
	assert.NotContains(t, lots[1].Err.Error(), folder)
	assert.Equal(t, "Quarry Lot", lots[0].Lot)
}

// A body is never taken for longer than it says.
func TestUploadsAreAdmittedBeforeTheyAreKept(t *testing.T) {
	s := serve(t, func(c *Config) { c.Limits = Limits{UploadBytes: 1 << 20, BodyBytes: 3 << 20} })
	var ends []func()
	begin := func(length int64) error {
		r, err := http.NewRequest("POST", "/v1/maps", bytes.NewReader(nil))
		require.NoError(t, err)
		r.ContentLength = length
		end, err := s.bodies.admit(r, s.config.Limits.UploadBytes)
		ends = append(ends, end)
		return err
	}
	require.NoError(t, begin(-1), "unknown: the most")
	require.NoError(t, begin(5<<20), "no more than the most is read of it")
	require.NoError(t, begin(1<<19))
	require.NoError(t, begin(1<<18))
	assert.ErrorContains(t, begin(-1), "too many files are being sent here at once")
	status, body := s.drop(boundaryPart, "x.geojson", strings.Repeat(" ", 1<<19))
	assert.Equal(t, 503, status)
	assert.Contains(t, s.trouble(body).Error, "try again in a moment")
	ends[0]()
	ends[0]() // once is enough
	s.mapped("quarry.geojson", parcel(t))
	for _, end := range ends[1:4] {
		end()
	}
	assert.Equal(t, int64(3<<20), s.bodies.left, "all is given back")
}

func writeUpload(folder, text string) error {
	return os.WriteFile(filepath.Join(folder, "0"), []byte(text), 0o600)
}
