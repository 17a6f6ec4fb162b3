package lots

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/fetch"
	"github.com/acreband/acreband/terrain/find"
	"github.com/acreband/acreband/terrain/find/findtest"
	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning/read"
)

// county is the made lots and a service that lists 10,000 tiles near them, of which four hold their ground.
func county(t testing.TB) (Config, *findtest.Server) {
	t.Helper()
	c := config(t)
	tiles := c.Job.Elevation[0]
	s := findtest.New()
	t.Cleanup(s.Close)
	lots, err := read.Read(t.Context(), c.Job.Parcels, read.Options{})
	require.NoError(t, err)
	around := lots[0].Ground.Bound()
	for _, lot := range lots {
		around = around.Union(lot.Ground.Bound())
	}
	for i := range 4 {
		name := fmt.Sprintf("Projects/Made_2019/TIFF/tile%d.tif", i)
		data, err := os.ReadFile(filepath.Join(tiles, fmt.Sprintf("tile%d.tif", i)))
		require.NoError(t, err)
		s.Files[name] = data
		r, err := raster.Open(t.Context(), filepath.Join(tiles, fmt.Sprintf("tile%d.tif", i)), raster.Options{})
		require.NoError(t, err)
		nw, se := r.Corners()[0], r.Corners()[1]
		r.Close()
		s.Products = append(s.Products, findtest.Tile{Name: name, Box: [4]float64{nw[0], se[1], se[0], nw[1]}, Published: "2020-01-02"})
	}
	for i := len(s.Products); i < 10_000; i++ { // within the margin that is asked for, and under no lot
		s.Products = append(s.Products, findtest.Tile{
			Name: fmt.Sprintf("Projects/Made_2019/TIFF/far%d.tif", i), Published: "2021-01-02",
			Box: [4]float64{around.Max[0] + 0.0012, around.Min[1], around.Max[0] + 0.01 + float64(i)*1e-6, around.Max[1]},
		})
	}
	list, err := find.Parse("made.yaml", s.List())
	require.NoError(t, err)
	c.Job.Elevation, c.Job.RasterOptions.Named = nil, list
	return c, s
}

func (c Config) fetching(dir string, offline bool) Config {
	c.Job.RasterOptions.Fetch = fetch.New(find.Held(fetch.Options{Dir: dir, Offline: offline}, c.Job.RasterOptions.Named))
	return c
}

// A county of 10,000 tiles: asked for once, by pages; of the tiles only those under lots are fetched. The same again needs no network,
// and so does each of its parts; all give the bytes of the tiles as files.
func TestCountyOfTilesIsFoundOnce(t *testing.T) {
	files := config(t)
	_, want := ran(t, files)
	c, s := county(t)
	kept := t.TempDir()
	r, out := ran(t, c.fetching(kept, false))
	require.Equal(t, madeLots, r.Lots)
	require.Zero(t, r.Failed)
	assert.Equal(t, 100, s.Asked("/products"), "pages of 100, once for all lots and workers")
	assert.Zero(t, s.Asked("/files/Projects/Made_2019/TIFF/far"))
	assert.Positive(t, s.Asked("/files/Projects/Made_2019/TIFF/tile0.tif"))
	acres := func(out map[string]string) (rows []string) {
		for _, row := range rowsOf(t, out["lots.csv"]) {
			rows = append(rows, strings.Join(row[:8], " "))
		}
		return rows
	}
	assert.Equal(t, acres(want), acres(out), "as of the tiles as files")

	part, other := county(t) // the first of eight parts fetches what its own lots lie on
	part.Shard = Shard{I: 1, N: 8}
	ran(t, part.fetching(t.TempDir(), false))
	asked := 0
	for i := range 4 {
		if other.Asked(fmt.Sprintf("/files/Projects/Made_2019/TIFF/tile%d.tif", i)) > 0 {
			asked++
		}
	}
	assert.Less(t, asked, 4)

	s.Close()
	c.Dir = filepath.Join(t.TempDir(), "again")
	_, again := ran(t, c.fetching(kept, true))
	for name := range out {
		assert.True(t, bytes.Equal([]byte(out[name]), []byte(again[name])), name)
	}
}

// With growth asked for, the surface of the survey that was found is laid on each lot, as one that is given is; without any that is said
// for the run, not lot by lot.
func TestLotsFindGrowth(t *testing.T) {
	c := config(t)
	dir := t.TempDir()
	ground, first := filepath.Join(dir, "dtm.tif"), filepath.Join(dir, "dsm.tif")
	writeHeights(t, ground, 0, 0, groundCells, groundCells, 32, relief)
	writeHeights(t, first, 0, 0, groundCells, groundCells, 32, grown)
	given := c
	given.Job.Elevation, given.Job.Surface = []string{ground}, []string{first}
	_, want := ran(t, given)

	s := findtest.New()
	t.Cleanup(s.Close)
	for name, path := range map[string]string{"dtm.tif": ground, "dsm.tif": first} {
		data, err := os.ReadFile(path)
		require.NoError(t, err)
		s.Files[name] = data
	}
	s.Items = []findtest.Tile{{Name: "dtm.tif", Surface: "dsm.tif", Surveyed: "2021-05-06"}}
	list, err := find.Parse("made.yaml", s.List())
	require.NoError(t, err)
	c.Job.Elevation, c.Job.RasterOptions.Named, c.Job.FindSurface = nil, list, true
	c.Dir = filepath.Join(t.TempDir(), "found")
	r, out := ran(t, c.fetching(t.TempDir(), false))
	require.Zero(t, r.Failed)
	wantAcres, wantUnknown, _ := growthOf(t, want["zones.geojson"])
	acres, unknown, from := growthOf(t, out["zones.geojson"])
	assert.Equal(t, wantAcres, acres)
	assert.Equal(t, wantUnknown, unknown)
	assert.Equal(t, 1, from)
	assert.Positive(t, acres["25_ft_and_over"]+acres["over_25_ft"])

	s.Items, s.Products = nil, []findtest.Tile{{Name: "dtm.tif"}}
	c.Dir = filepath.Join(t.TempDir(), "none")
	_, err = Run(never(), c.fetching(t.TempDir(), false))
	assert.ErrorContains(t, err, "no first surface was found: none of the services")
}
