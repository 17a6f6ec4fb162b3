package raster

import (
	"bytes"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/fetch"
)

// bigHill is 2000 × 2000 cells of 1 m, 16 MB, as a cloud-optimised GeoTIFF.
func bigHill(t testing.TB) string {
	t.Helper()
	d := hillDEM()
	d.cols, d.rows, d.grid = 2000, 2000, northUp(740_000, 4_020_000, 1)
	return translated(t, d.write(t, "big.tif"), "big-cog.tif", "-of", "COG", "-co", "COMPRESS=NONE", "-co", "BLOCKSIZE=128", "-co", "OVERVIEWS=NONE")
}

// A window of a few acres of a remote raster: few bytes, and the heights of the
// file.
func TestRemoteWindow(t *testing.T) {
	file := bigHill(t)
	s := newShelf(t, map[string]string{"big.tif": file})
	r := opened(t, s.URL+"/big.tif", Options{})
	place := patch(t, r, 1000.5, 1000.5, 1100.5, 1100.5)
	e, err := Read(t.Context(), []*Raster{r}, place)
	require.NoError(t, err)
	mustHoldHill(t, e)
	assert.Equal(t, s.URL+"/big.tif", e.Sources[0].Path)
	size := len(s.files["/big.tif"])
	t.Logf("%d of %d bytes in %d requests", s.bytesGiven(), size, s.asked())
	assert.Less(t, s.bytesGiven(), int64(size)/20)
	assert.Less(t, s.asked(), 20)
	assert.Len(t, s.names(), 1, "nothing beside it is asked for: %v", s.names())
}

func TestRemoteVRT(t *testing.T) {
	file := bigHill(t)
	vrt := filepath.Join(t.TempDir(), "all.vrt")
	ds, err := godal.Open(file)
	require.NoError(t, err)
	defer ds.Close()
	s := newShelf(t, map[string]string{"big.tif": file})
	made, err := ds.Translate(vrt, []string{"-of", "VRT"})
	require.NoError(t, err)
	require.NoError(t, made.Close())
	text, err := os.ReadFile(vrt)
	require.NoError(t, err)
	relative := bytes.ReplaceAll(text, []byte(file), []byte("big.tif"))
	relative = bytes.ReplaceAll(relative, []byte(`relativeToVRT="0"`), []byte(`relativeToVRT="1"`))
	relative = bytes.ReplaceAll(relative, []byte("../"), nil)
	s.put("/all.vrt", relative)
	s.put("/broken.vrt", bytes.ReplaceAll(relative, []byte("big"), []byte("gone")))

	r := opened(t, s.URL+"/all.vrt", Options{})
	place := patch(t, r, 1000.5, 1000.5, 1100.5, 1100.5)
	e, err := Read(t.Context(), []*Raster{r}, place)
	require.NoError(t, err)
	mustHoldHill(t, e)
	assert.Less(t, s.bytesGiven(), int64(len(s.files["/big.tif"]))/20)
	assert.Len(t, s.names(), 2, "%v", s.names())

	broken, err := Open(t.Context(), s.URL+"/broken.vrt", Options{})
	if err == nil {
		defer broken.Close()
		_, err = Read(t.Context(), []*Raster{broken}, place)
	}
	require.Error(t, err, "ground that cannot be fetched is not taken for void")
	assert.ErrorContains(t, err, s.URL+"/broken.vrt")
	t.Log(err)
}

// Of a VRT of many tiles only those around the place are asked for.
func TestRemoteVRTOfManyTiles(t *testing.T) {
	var tiles []string
	files := map[string]string{}
	for i := range 25 {
		c, r := i%5*20, i/5*20
		file := tile(terrain.NewWindow(c, r, c+20, r+20)).write(t, "tile.tif")
		files[fmt.Sprintf("tile-%d.tif", i)] = file
		tiles = append(tiles, file)
	}
	vrt := filepath.Join(t.TempDir(), "tiles.vrt")
	ds, err := godal.BuildVRT(vrt, tiles, nil)
	require.NoError(t, err)
	require.NoError(t, ds.Close())
	s := newShelf(t, files)
	text, err := os.ReadFile(vrt)
	require.NoError(t, err)
	for i, file := range tiles {
		rel, err := filepath.Rel(filepath.Dir(vrt), file)
		require.NoError(t, err)
		for _, name := range []string{file, rel} {
			text = bytes.ReplaceAll(text, []byte(">"+name+"<"), []byte(fmt.Sprintf(">tile-%d.tif<", i)))
		}
	}
	s.put("/tiles.vrt", bytes.ReplaceAll(text, []byte(`relativeToVRT="0"`), []byte(`relativeToVRT="1"`)))
	r := opened(t, s.URL+"/tiles.vrt", Options{})
	assert.Len(t, s.names(), 1, "to open it, none: %v", s.names())
	e, err := Read(t.Context(), []*Raster{r}, patch(t, r, 25.5, 25.5, 33.5, 34.5))
	require.NoError(t, err)
	mustHoldHill(t, e)
	assert.Len(t, s.names(), 2, "%v", s.names())
}

// hasty waits for no server long.
func hasty() Options {
	return Options{Fetch: fetch.New(fetch.Options{AllowAll: true, Pause: time.Millisecond, Patience: 300 * time.Millisecond})}
}

func answer(code int) func(w http.ResponseWriter, r *http.Request, n int) bool {
	return func(w http.ResponseWriter, r *http.Request, n int) bool {
		w.WriteHeader(code)
		return true
	}
}

func stall(w http.ResponseWriter, r *http.Request, n int) bool {
	select {
	case <-r.Context().Done():
	case <-time.After(20 * time.Second):
	}
	return true
}

// truncate promises all that was asked for, and gives a tenth.
func truncate(data []byte) func(w http.ResponseWriter, r *http.Request, n int) bool {
	return func(w http.ResponseWriter, r *http.Request, n int) bool {
		from, to := 0, len(data)-1
		if _, err := fmt.Sscanf(r.Header.Get("Range"), "bytes=%d-%d", &from, &to); err != nil || r.Method == http.MethodHead {
			return false
		}
		to = min(to, len(data)-1)
		w.Header().Set("Content-Length", fmt.Sprint(to-from+1))
		w.Header().Set("Content-Range", fmt.Sprintf("bytes %d-%d/%d", from, to, len(data)))
		w.WriteHeader(http.StatusPartialContent)
		_, _ = w.Write(data[from : from+(to-from)/10])
		panic(http.ErrAbortHandler)
	}
}

// Servers that fail before the file is open.
func TestRemoteThatDoesNotOpen(t *testing.T) {
	file := hillDEM().write(t, "hill.tif")
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	for name, c := range map[string]struct {
		before func(w http.ResponseWriter, r *http.Request, n int) bool
		want   string
	}{
		"404":          {answer(404), "the server has no such file (404)"},
		"403":          {answer(403), "the server refuses to give it (403)"},
		"503-for-ever": {answer(503), "the server cannot give it now"},
		"stalled":      {stall, "the server"},
		"truncated":    {truncate(data), "the server"},
	} {
		t.Run(name, func(t *testing.T) {
			s := newShelf(t, map[string]string{name + ".tif": file})
			s.meddle(c.before)
			address := s.URL + "/" + filepath.Base(name) + ".tif"
			_, err := Open(t.Context(), address, hasty())
			require.Error(t, err)
			t.Log(s.asked(), err)
			assert.ErrorContains(t, err, address)
			assert.ErrorContains(t, err, c.want)
			assert.LessOrEqual(t, s.asked(), 16, "tries are bounded")
		})
	}
}

// Servers that fail once the file is open: no ground is made up.
func TestRemoteThatFailsLater(t *testing.T) {
	file := bigHill(t)
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	for name, before := range map[string]func(w http.ResponseWriter, r *http.Request, n int) bool{
		"404": answer(404), "503": answer(503), "stalled": stall, "truncated": truncate(data),
	} {
		t.Run(name, func(t *testing.T) {
			s := newShelf(t, map[string]string{"late-" + name + ".tif": file})
			r := opened(t, s.URL+"/late-"+name+".tif", hasty())
			place := patch(t, r, 1000.5, 1000.5, 1100.5, 1100.5)
			s.meddle(before)
			opening := s.asked()
			_, err := Read(t.Context(), []*Raster{r}, place)
			require.Error(t, err)
			t.Log(s.asked()-opening, err)
			assert.ErrorContains(t, err, r.Source.Path)
			assert.ErrorContains(t, err, "the server")
			assert.LessOrEqual(t, s.asked()-opening, 16)
		})
	}
}

// A server too busy at first.
func TestRemoteIsTriedAgain(t *testing.T) {
	file := hillDEM().write(t, "hill.tif")
	s := newShelf(t, map[string]string{"busy.tif": file})
	var refused atomic.Int32 // the server answers from goroutines of its own
	var tries sync.Map       // of each range
	busy := func(w http.ResponseWriter, r *http.Request, n int) bool {
		count, _ := tries.LoadOrStore(r.Header.Get("Range"), new(atomic.Int32))
		if count.(*atomic.Int32).Add(1)%3 == 0 {
			return false
		}
		refused.Add(1)
		w.WriteHeader(http.StatusServiceUnavailable)
		return true
	}
	s.meddle(busy)
	_, e := readWhole(t, s.URL+"/busy.tif", hasty())
	mustHoldHill(t, e)
	assert.Positive(t, refused.Load())

	// While it is read, in several ranges at once.
	big := newShelf(t, map[string]string{"busy.tif": bigHill(t)})
	r := opened(t, big.URL+"/busy.tif", hasty())
	opening := refused.Load()
	big.meddle(busy)
	e, err := Read(t.Context(), []*Raster{r}, patch(t, r, 1000.5, 1000.5, 1100.5, 1100.5))
	require.NoError(t, err)
	mustHoldHill(t, e)
	assert.Greater(t, refused.Load(), opening)
}

// A server that breaks off the first two answers.
func TestRemoteThatBreaksOffAtFirst(t *testing.T) {
	file := hillDEM().write(t, "hill.tif")
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	s := newShelf(t, map[string]string{"broken.tif": file})
	var cut atomic.Int32
	s.meddle(func(w http.ResponseWriter, r *http.Request, n int) bool {
		if r.Method == http.MethodHead || cut.Add(1) > 2 {
			return false
		}
		return truncate(data)(w, r, n)
	})
	_, e := readWhole(t, s.URL+"/broken.tif", hasty())
	mustHoldHill(t, e)
	assert.GreaterOrEqual(t, cut.Load(), int32(2))
}

func TestRemoteThatIsNoRaster(t *testing.T) {
	text := filepath.Join(t.TempDir(), "page.html")
	require.NoError(t, os.WriteFile(text, []byte("<html>sorry</html>"), 0o600))
	s := newShelf(t, map[string]string{"page.tif": text})
	_, err := Open(t.Context(), s.URL+"/page.tif", Options{})
	assert.ErrorContains(t, err, "page.tif: no elevation raster that GDAL can read")
	_, err = Open(t.Context(), "http://127.0.0.1:1/none.tif", hasty())
	assert.ErrorContains(t, err, "http://127.0.0.1:1/none.tif")
	t.Log(err)
}
