package read

import (
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/fetch"
	"github.com/acreband/acreband/terrain/find"
	"github.com/acreband/acreband/zoning/site"
)

// overpass plays an Overpass API that answers every question with a power line by the
// tests' lots, and counts.
func overpass(t *testing.T, answer func(w http.ResponseWriter)) (find.Source, *atomic.Int32) {
	t.Helper()
	var asked atomic.Int32
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		asked.Add(1)
		body, _ := io.ReadAll(r.Body)
		form, err := url.ParseQuery(string(body))
		if err != nil || r.Method != http.MethodPost || !strings.HasPrefix(form.Get("data"), "[out:xml]") || r.UserAgent() == "" {
			http.Error(w, "bad question", http.StatusBadRequest)
			return
		}
		answer(w)
	}))
	t.Cleanup(s.Close)
	return find.Source{Key: "open-map", Kind: find.KindOverpass, Address: s.URL + "/api/interpreter"}, &asked
}

func powerLine(w http.ResponseWriter) {
	a, b := around(-0.01, 0), around(0.01, 0)
	fmt.Fprintf(w, `<osm version="0.6"><meta osm_base="2026-11-01T12:00:00Z"/><node id="1" lon="%.7f" lat="%.7f"/><node id="2" lon="%.7f" lat="%.7f"/>
<way id="1"><nd ref="1"/><nd ref="2"/><tag k="power" v="line"/><tag k="voltage" v="115000"/></way></osm>`, a[0], a[1], b[0], b[1])
}

// What a server tells around the lots counts as an extract does. It is kept: the same job asks
// nobody again, and goes on without a network.
func TestPrepareAsksForAnOpenMap(t *testing.T) {
	from, asked := overpass(t, powerLine)
	dir := t.TempDir()
	q := Request{Elevation: []string{jacksboro}, Parcel: boundary(t, lotAround("a")), SiteFiles: SiteFiles{
		Site: []string{OpenMap}, Services: []find.Source{{Key: "else", Kind: find.KindFile}, from}, Fetch: fetch.New(fetch.Options{Dir: dir}),
	}}
	g, err := Prepare(t.Context(), q)
	require.NoError(t, err)
	require.Len(t, g.Features, 1)
	assert.Equal(t, site.OverheadLine, g.Features[0].Kind)
	assert.Equal(t, 115.0, g.Features[0].KV)
	assert.Regexp(t, `^open-map, fetched 20\d\d-\d\d-\d\d: OpenStreetMap as of 2026-11-01 shows 1 overhead-line within 656 ft of the lots; `, g.Warnings[0])
	require.EqualValues(t, 1, asked.Load())
	q.Fetch = fetch.New(fetch.Options{Dir: dir, Offline: true})
	again, err := Prepare(t.Context(), q)
	require.NoError(t, err)
	assert.Equal(t, g.Features, again.Features)
	assert.Equal(t, g.Warnings, again.Warnings)
	assert.EqualValues(t, 1, asked.Load())
}

// An answer that is cut off or that its server calls incomplete is no map with less on it, and
// where nobody may be asked that is said.
func TestOpenMapThatCannotBeHad(t *testing.T) {
	ask := func(services []find.Source, o fetch.Options) error {
		_, err := Prepare(t.Context(), Request{Elevation: []string{jacksboro}, Parcel: boundary(t, lotAround("a")),
			SiteFiles: SiteFiles{Site: []string{OpenMap}, Services: services, Fetch: fetch.New(o)}})
		return err
	}
	assert.ErrorContains(t, ask(nil, fetch.Options{}), "site auto: no Overpass API is listed for the ground of the lots, and none is built in")
	late, _ := overpass(t, func(w http.ResponseWriter) {
		fmt.Fprint(w, `<osm version="0.6"><remark> runtime error: Query timed out in "query" at line 1 after 61 seconds. </remark></osm>`)
	})
	assert.ErrorContains(t, ask([]find.Source{late}, fetch.Options{}), "site auto, open-map: is not whole, its server says: runtime error: Query timed out")
	page, _ := overpass(t, func(w http.ResponseWriter) { fmt.Fprint(w, "<html><body>busy</body></html>") })
	assert.ErrorContains(t, ask([]find.Source{page}, fetch.Options{}), "is no OpenStreetMap extract: it begins with <html>")
	assert.ErrorIs(t, ask([]find.Source{page}, fetch.Options{Offline: true}), fetch.ErrOffline)
	elsewhere := page
	elsewhere.Area = [][4]float64{{0, 0, 1, 1}}
	assert.ErrorContains(t, ask([]find.Source{elsewhere}, fetch.Options{}), "no Overpass API is listed for the ground of the lots")
}
