package page

import (
	"net/http"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/fetch"
	"github.com/acreband/acreband/terrain/find"
	"github.com/acreband/acreband/terrain/find/findtest"
	"github.com/acreband/acreband/terrain/raster"
)

// A page without elevation finds it for each boundary, says what it fetches, and refuses in words where there is none.
func TestPageFindsElevation(t *testing.T) {
	data, err := os.ReadFile(elevation(t))
	require.NoError(t, err)
	made := findtest.New()
	t.Cleanup(made.Close)
	made.Files["Projects/Ridge_2019/TIFF/x1.tif"] = data
	made.Products = []findtest.Tile{{Name: "Projects/Ridge_2019/TIFF/x1.tif"}}
	list, err := find.Parse("made.yaml", made.List())
	require.NoError(t, err)
	s := serve(t, func(c *Config) {
		c.Elevation = nil
		c.Raster = raster.Options{Named: list, Fetch: fetch.New(find.Held(fetch.Options{Dir: t.TempDir()}, list))}
	})
	s.soon = 0
	code, body := s.drop(boundaryPart, "lot.geojson", string(parcel(t)))
	require.Equal(t, http.StatusOK, code, "%.300s", body)
	first, _, _ := strings.Cut(string(body), "\n")
	assert.Contains(t, first, "finding elevation", "%.300s", body)
	a := s.parse(body)
	source := s.kept(a.ID).latest().Map.Sources[0]
	assert.Equal(t, "Ridge_2019", source.Found.Project)

	made.Products = nil
	code, body = s.drop(boundaryPart, "far.geojson", `{"type":"Polygon","coordinates":[[[10,50],[10.001,50],[10.001,50.001],[10,50]]]}`)
	assert.Contains(t, string(body), "no elevation was found for the lots at 50.0005 N, 10.0005 E. Asked: made-1m", "%d", code)
}
