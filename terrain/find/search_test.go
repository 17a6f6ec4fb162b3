package find

import (
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/fetch"
	"github.com/acreband/acreband/terrain/find/findtest"
)

var here = orb.Bound{Min: orb.Point{-84.1, 36.1}, Max: orb.Point{-84, 36.2}}

// playing is a server with its list of services, and a client that may ask them and waits for nothing long.
func playing(t *testing.T) (*findtest.Server, []Source, *fetch.Client) {
	t.Helper()
	s := findtest.New()
	t.Cleanup(s.Close)
	list, err := Parse("made.yaml", s.List())
	require.NoError(t, err)
	return s, list, fetch.New(Held(fetch.Options{Pause: time.Millisecond, Patience: 300 * time.Millisecond}, list))
}

func near(t *testing.T, c *fetch.Client, list []Source) []Tile {
	t.Helper()
	found, err := Near(t.Context(), c, list, []orb.Bound{here})
	require.NoError(t, err)
	return found.Tiles
}

// The finest first, of equals the newest by survey or else publication; an older edition last; what a service says goes along.
func TestOrderOfWhatIsFound(t *testing.T) {
	s, list, c := playing(t)
	box := [4]float64{-84.2, 36, -83.9, 36.3}
	s.Products = []findtest.Tile{
		{Name: "Projects/A_2016/TIFF/x1.tif", Box: box, Published: "2018-01-01"},
		{Name: "Projects/B_2021/TIFF/x1.tif", Box: box, Published: "2022-05-06"},
		{Name: "historical/Projects/C/TIFF/x1.tif", Box: box, Published: "2024-01-01"},
		{Name: "Projects/D/LAZ/x1.laz", Box: box, Published: "2024-01-01"},
	}
	s.Items = []findtest.Tile{{Name: "n.tif", Surface: "s.tif", Box: box, Published: "2025-01-01", Surveyed: "2019-06-07"}}
	tiles := near(t, c, list)
	var names []string
	for _, tile := range tiles {
		names = append(names, fmt.Sprint(tile.Rank, " ", strings.TrimPrefix(tile.Address, s.URL+"/files/")))
	}
	assert.Equal(t, []string{"0 Projects/B_2021/TIFF/x1.tif", "0 n.tif", "0 Projects/A_2016/TIFF/x1.tif", "0 historical/Projects/C/TIFF/x1.tif", "1 seamless.tif"}, names)
	assert.Equal(t, "made-1m", tiles[0].Found.Service)
	assert.Equal(t, "B_2021", tiles[0].Found.Project)
	assert.Equal(t, "2022-05-06", tiles[0].Found.Published)
	assert.Empty(t, tiles[0].Surveyed, "the day of publication is not that of the survey")
	assert.Equal(t, "2019-06-07", tiles[1].Surveyed)
	assert.Equal(t, s.URL+"/files/s.tif", tiles[1].Surface, "a relative address is seen from its item")
	assert.Equal(t, orb.Bound{Min: orb.Point{-84.2, 36}, Max: orb.Point{-83.9, 36.3}}, tiles[0].Box)
}

// All pages are read, and a box of zeros is none: such a tile may lie anywhere.
func TestPagesAreReadToTheEnd(t *testing.T) {
	s, list, c := playing(t)
	for i := range 250 {
		s.Products = append(s.Products, findtest.Tile{Name: fmt.Sprintf("p%03d.tif", i)})
		s.Items = append(s.Items, findtest.Tile{Name: fmt.Sprintf("i%03d.tif", i), Box: [4]float64{-85, 36, -84, 37}})
	}
	tiles := near(t, c, list)
	assert.Len(t, tiles, 501)
	assert.Equal(t, 3, s.Asked("/products"))
	assert.Equal(t, 3, s.Asked("/stac/search"))
	none := 0
	for _, tile := range tiles {
		if tile.Box.IsEmpty() {
			none++
		}
	}
	assert.Equal(t, 251, none)
}

// A STAC API may search by GET alone.
func TestSTACByGET(t *testing.T) {
	s, list, c := playing(t)
	for i := range 150 {
		s.Items = append(s.Items, findtest.Tile{Name: fmt.Sprintf("i%03d.tif", i), Box: [4]float64{-85, 36, -84, 37}})
	}
	s.Before = func(w http.ResponseWriter, r *http.Request, n int) bool {
		if r.URL.Path == "/stac" {
			fmt.Fprint(w, `{"links": [{"rel": "search", "href": "/stac/search"}]}`)
			return true
		}
		assert.Equal(t, "GET", r.Method)
		return false
	}
	assert.Len(t, near(t, c, list), 151)
}

// Ground outside a source's area is not asked for there.
func TestGroundOutsideTheArea(t *testing.T) {
	_, list, c := playing(t)
	found, err := Near(t.Context(), c, list, []orb.Bound{{Min: orb.Point{10, 50}, Max: orb.Point{10.1, 50.1}}})
	require.NoError(t, err)
	assert.Empty(t, found.Tiles)
	require.Len(t, found.Replies, 3)
	assert.Equal(t, []bool{false, false, true}, []bool{found.Replies[0].Outside, found.Replies[1].Outside, found.Replies[2].Outside})
}

// What is not whole, or not understood, is no answer, and the service is named.
func TestFaultsOfServices(t *testing.T) {
	says := func(text string) func(http.ResponseWriter, *http.Request, int) bool {
		return func(w http.ResponseWriter, r *http.Request, n int) bool {
			if !strings.HasPrefix(r.URL.Path, "/products") && r.URL.Path != "/stac/search" {
				return false
			}
			fmt.Fprint(w, text)
			return true
		}
	}
	for name, c := range map[string]struct {
		key    string
		before func(http.ResponseWriter, *http.Request, int) bool
		want   string
		is     error
	}{
		"fewer than it says": {"made-1m", says(`{"total": 5, "items": []}`), "says that there are 5 rasters, and listed 0", ErrPartial},
		"errors":             {"made-1m", says(`{"total": 0, "items": [], "errors": [{"message": "index is down"}]}`), "index is down", nil},
		"a page of HTML":     {"made-1m", says(`<html>sorry`), "not understood", ErrNotUnderstood},
		"endless brackets":   {"made-1m", says(strings.Repeat("[", 100_000)), "not understood", ErrNotUnderstood},
		"half an answer":     {"made-1m", says(`{"total": 5, "items": [`), "not understood", ErrNotUnderstood},
		"pages in a circle": {"made-stac", says(`{"type": "FeatureCollection", "features": [], "links": [{"rel": "next", "method": "POST", "href": "search", "merge": true}]}`),
			"lead back to one that was read", ErrPartial},
		"fewer than matched":   {"made-stac", says(`{"type": "FeatureCollection", "features": [], "numberMatched": 3}`), "there are 3 rasters, and listed 0", ErrPartial},
		"no list":              {"made-stac", says(`{"type": "Feature"}`), "no list of items", ErrNotUnderstood},
		"next leads elsewhere": {"made-stac", says(`{"type": "FeatureCollection", "features": [], "links": [{"rel": "next", "href": "http://10.0.0.1/search"}]}`), "not https", fetch.ErrForbidden},
		"next is a file":       {"made-stac", says(`{"type": "FeatureCollection", "features": [], "links": [{"rel": "next", "href": "file:///etc/passwd"}]}`), "no https address", ErrNotUnderstood},
		"503":                  {"made-1m", func(w http.ResponseWriter, r *http.Request, n int) bool { w.WriteHeader(503); return true }, "(503), after 3 tries", nil},
		"stalls":               {"made-1m", func(w http.ResponseWriter, r *http.Request, n int) bool { <-r.Context().Done(); return true }, "does not answer in time", nil},
	} {
		t.Run(name, func(t *testing.T) {
			s, list, client := playing(t)
			s.Before = c.before
			source, ok := Named(list, c.key)
			require.True(t, ok)
			_, err := Near(t.Context(), client, []Source{source}, []orb.Bound{here})
			var unanswered *Unanswered
			require.ErrorAs(t, err, &unanswered)
			assert.ErrorContains(t, err, c.key+" (Made ")
			assert.ErrorContains(t, err, c.want)
			if c.is != nil {
				assert.ErrorIs(t, err, c.is)
			}
		})
	}
}

// 429 with Retry-After is waited for, and then answered.
func TestServiceThatIsBusyAtFirst(t *testing.T) {
	s, list, c := playing(t)
	s.Products = []findtest.Tile{{Name: "a.tif"}}
	s.Before = func(w http.ResponseWriter, r *http.Request, n int) bool {
		if r.URL.Path == "/products" && n < 3 {
			w.Header().Set("Retry-After", "0")
			w.WriteHeader(http.StatusTooManyRequests)
			return true
		}
		return false
	}
	assert.Len(t, near(t, c, list), 2)
	assert.Equal(t, 3, s.Asked("/products"))
}

// The same search tomorrow needs no network.
func TestSearchOffline(t *testing.T) {
	s, list, _ := playing(t)
	s.Products = []findtest.Tile{{Name: "a.tif"}}
	dir := t.TempDir()
	first := near(t, fetch.New(Held(fetch.Options{Dir: dir}, list)), list)
	s.Close()
	assert.Equal(t, first, near(t, fetch.New(Held(fetch.Options{Dir: dir, Offline: true}, list)), list))
}

func FuzzProducts(f *testing.F) {
	f.Add([]byte(`{"total": 1, "items": [{"title": "a b", "downloadURL": "https://a.example/Projects/p/x.tif", "boundingBox": {"minX": 1, "maxX": 2, "minY": 3, "maxY": 4}}]}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		var page products
		if parse(text, &page) != nil {
			return
		}
		for _, p := range page.Items {
			if tile, ok := p.tile("k"); ok {
				require.True(t, tile.Box.IsEmpty() || tile.Box.Min[0] >= -180 && tile.Box.Max[0] <= 180)
			}
		}
	})
}

func FuzzItems(f *testing.F) {
	f.Add([]byte(`{"type": "FeatureCollection", "features": [{"id": "a", "bbox": [1,2,3,4], "assets": {"dtm": {"href": "x.tif"}}, "properties": {"datetime": "2020-01-01T00:00:00Z"}}]}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		var page itemsPage
		if parse(text, &page) != nil {
			return
		}
		for _, i := range page.Features {
			if tile, ok := i.tile(Source{Address: "https://a.example/stac", Terrain: "dtm", Surface: "dsm"}); ok {
				require.True(t, strings.HasPrefix(tile.Address, "http"), tile.Address)
			}
		}
	})
}
