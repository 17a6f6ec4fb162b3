package fetch

import (
	"bytes"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func noise(n int) []byte {
	r := rand.NewChaCha8([32]byte{1})
	data := make([]byte, n)
	_, _ = r.Read(data)
	return data
}

// shelf serves one file with an ETag, and ranges of it.
func shelf(data *[]byte) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("ETag", fmt.Sprintf(`"%d-%d"`, len(*data), (*data)[0]))
		http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(*data))
	}
}

func mustRead(t *testing.T, f *File, at, n int) []byte {
	t.Helper()
	p := make([]byte, n)
	got, err := f.ReadAt(p, int64(at))
	if err != io.EOF {
		require.NoError(t, err)
	}
	return p[:got]
}

// Of a file only the pages that are read are fetched, once, and offline they are the same bytes.
func TestRangesAreFetchedOnceAndKept(t *testing.T) {
	data, dir := noise(3_000_000), t.TempDir()
	s, c, _ := served(t, Options{Dir: dir}, shelf(&data))
	f, err := c.File(t.Context(), s.URL+"/a.tif")
	require.NoError(t, err)
	assert.EqualValues(t, len(data), f.Size)
	assert.Equal(t, data[1_000_000:1_100_000], mustRead(t, f, 1_000_000, 100_000))
	assert.Equal(t, Fetched{Requests: 2, Bytes: 64<<10 + 4*pageBytes, Host: "127.0.0.1"}, c.Fetched())
	mustRead(t, f, 1_000_010, 50_000)
	assert.Equal(t, 2, c.Fetched().Requests)
	assert.Equal(t, data[2_999_990:], mustRead(t, f, 2_999_990, 100), "to the end and no farther")

	s.Close()
	offline := New(Options{Dir: dir, Offline: true})
	kept, err := offline.File(t.Context(), s.URL+"/a.tif")
	require.NoError(t, err)
	assert.Equal(t, data[1_000_000:1_100_000], mustRead(t, kept, 1_000_000, 100_000))
	assert.Equal(t, f.Fetched(), kept.Fetched())
	_, err = kept.ReadAt(make([]byte, 1), 2_000_000)
	require.ErrorIs(t, err, ErrOffline, "what was not fetched is not there")
}

// Several blocks are read by one request each, or together where they lie side by side.
func TestManyRangesByFewRequests(t *testing.T) {
	data := noise(3_000_000)
	s, c, _ := served(t, Options{}, shelf(&data))
	f, err := c.File(t.Context(), s.URL)
	require.NoError(t, err)
	into := [][]byte{make([]byte, 40_000), make([]byte, 40_000), make([]byte, 40_000)}
	at := []int64{1_000_000, 1_040_000, 2_000_000}
	_, err = f.ReadAll(t.Context(), into, at)
	require.NoError(t, err)
	for i := range into {
		assert.Equal(t, data[at[i]:at[i]+40_000], into[i])
	}
	assert.Equal(t, 3, c.Fetched().Requests, "one look and two runs")
}

// Pages of two editions of a file are never mixed.
func TestFileThatChangesIsNotMixed(t *testing.T) {
	data, dir := noise(1_000_000), t.TempDir()
	s, c, _ := served(t, Options{Dir: dir}, shelf(&data))
	f, err := c.File(t.Context(), s.URL)
	require.NoError(t, err)
	data = bytes.Clone(data)
	data[0]++
	_, err = f.ReadAt(make([]byte, 10), 500_000)
	require.ErrorIs(t, err, ErrChanged)
	again, err := c.File(t.Context(), s.URL)
	require.NoError(t, err)
	assert.Equal(t, data[:10], mustRead(t, again, 0, 10))
}

// What is older than it may be is asked for again, and kept where it is still the same.
func TestOldFileIsLookedAtAgain(t *testing.T) {
	data, dir := noise(1_000_000), t.TempDir()
	s, c, _ := served(t, Options{Dir: dir}, shelf(&data))
	f, err := c.File(t.Context(), s.URL)
	require.NoError(t, err)
	mustRead(t, f, 500_000, 10)
	old := New(Options{Dir: dir, Fresh: 1, Allow: []string{s.URL}})
	f, err = old.File(t.Context(), s.URL)
	require.NoError(t, err)
	assert.Equal(t, 1, old.Fetched().Requests)
	mustRead(t, f, 500_000, 10)
	assert.Equal(t, 1, old.Fetched().Requests, "its pages are kept")

	data = bytes.Clone(data)
	data[0]++
	changed := New(Options{Dir: dir, Fresh: 1, Allow: []string{s.URL}})
	f, err = changed.File(t.Context(), s.URL)
	require.NoError(t, err)
	mustRead(t, f, 500_000, 10)
	assert.Equal(t, 2, changed.Fetched().Requests, "none of the old edition's pages is taken")
}

func TestDamagedPageIsFetchedAgain(t *testing.T) {
	data, dir := noise(200_000), t.TempDir()
	s, c, _ := served(t, Options{Dir: dir}, shelf(&data))
	_, err := c.File(t.Context(), s.URL)
	require.NoError(t, err)
	pages, err := filepath.Glob(filepath.Join(dir, "kept", "*", "*", "0"))
	require.NoError(t, err)
	require.Len(t, pages, 1)
	require.NoError(t, os.WriteFile(pages[0], make([]byte, 100), 0o600))
	other := New(Options{Dir: dir, Allow: []string{s.URL}})
	f, err := other.File(t.Context(), s.URL)
	require.NoError(t, err)
	assert.Equal(t, data[:100], mustRead(t, f, 0, 100))
	assert.Equal(t, 1, other.Fetched().Requests)
}

func TestServerWithoutRanges(t *testing.T) {
	data := noise(300_000)
	size := len(data)
	s, c, _ := served(t, Options{}, func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Length", fmt.Sprint(size))
		_, _ = w.Write(data)
	})
	f, err := c.File(t.Context(), s.URL+"/small")
	require.NoError(t, err)
	assert.Equal(t, data[200_000:200_010], mustRead(t, f, 200_000, 10))
	size = 1 << 30
	_, err = c.File(t.Context(), s.URL+"/large")
	require.ErrorIs(t, err, ErrRanges)
}

// Other bytes than those asked for must not be taken for them.
func TestWrongRangeIsRefused(t *testing.T) {
	s, c, _ := served(t, Options{}, func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Range", "bytes 100-199/1000")
		w.WriteHeader(http.StatusPartialContent)
		_, _ = w.Write(make([]byte, 100))
	})
	_, err := c.File(t.Context(), s.URL)
	assert.ErrorContains(t, err, "broke off")
}

// The folder keeps to its bound; what was used longest ago goes.
func TestFolderIsBounded(t *testing.T) {
	data, dir := noise(300_000), t.TempDir()
	s, c, _ := served(t, Options{Dir: dir, Bytes: 1_000_000}, shelf(&data))
	for i := range 10 {
		f, err := c.File(t.Context(), fmt.Sprintf("%s/%d", s.URL, i))
		require.NoError(t, err)
		mustRead(t, f, 0, len(data))
	}
	kept, err := List(dir)
	require.NoError(t, err)
	var sum int64
	for _, k := range kept {
		sum += k.Bytes
	}
	assert.LessOrEqual(t, sum, int64(1_000_000+64<<10))
	require.NotEmpty(t, kept)
	assert.True(t, strings.HasSuffix(kept[len(kept)-1].Address, "/9"), "the one used last stays")
	assert.Equal(t, KindFile, kept[0].Kind)
	assert.EqualValues(t, len(data), kept[0].Size)
}

// An address that must be signed is asked for with its signature, and kept without.
func TestSignedAddresses(t *testing.T) {
	data, dir := noise(100_000), t.TempDir()
	var base string
	serve := shelf(&data)
	s, _, _ := served(t, Options{}, func(w http.ResponseWriter, r *http.Request) {
		switch {
		case r.URL.Path == "/sign":
			fmt.Fprintf(w, `{"msft:expiry": "2999-01-01T00:00:00Z", "href": %q}`, r.URL.Query().Get("href")+"?sig=abc")
		case r.URL.Query().Get("sig") == "abc":
			serve(w, r)
		default:
			w.WriteHeader(http.StatusForbidden)
		}
	})
	base = s.URL
	c := New(Options{Dir: dir, Allow: []string{base}, Sign: []Signer{{Address: base + "/sign?href=", Hosts: "127.0.0.1"}}})
	f, err := c.File(t.Context(), base+"/a.tif")
	require.NoError(t, err)
	assert.Equal(t, data[50_000:50_010], mustRead(t, f, 50_000, 10))
	kept, err := List(dir)
	require.NoError(t, err)
	require.Len(t, kept, 1)
	assert.Equal(t, base+"/a.tif", kept[0].Address)
	_, err = New(Options{Allow: []string{base}}).File(t.Context(), base+"/a.tif")
	assert.ErrorContains(t, err, "the server refuses to give it (403)")
}
