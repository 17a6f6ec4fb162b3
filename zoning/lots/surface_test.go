package lots

import (
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/resume"
)

// withSurface adds a first surface to a run over the made lots: tiles of 100 cells, where
// those of the ground have 150. Small patches between stands are worked too.
func withSurface(t *testing.T, c Config) Config {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "surface")
	require.NoError(t, os.Mkdir(dir, 0o777))
	for i := range 9 {
		writeHeights(t, filepath.Join(dir, fmt.Sprintf("first%d.tif", i)), i%3*100, i/3*100, 100, 100, 32, grown)
	}
	c.Job.Surface = []string{dir}
	for i := range c.Job.Fleet {
		c.Job.Fleet[i].PatchAcres = 0
	}
	return c
}

func grown(x, y float64) float64 { return relief(x, y) + canopy(x, y) }

// growthOf is the growth of a summary.
func growthOf(t *testing.T, zones string) (acres map[string]float64, unknown float64, from int) {
	t.Helper()
	var w struct {
		Summary struct {
			Growth struct {
				Acres   map[string]float64
				Unknown float64 `json:"no_data_acres"`
				DSM     []struct{ Source string }
			}
		}
	}
	require.NoError(t, json.Unmarshal([]byte(zones), &w))
	g := w.Summary.Growth
	return g.Acres, g.Unknown, len(g.DSM)
}

// Lots that are laid against tiles of a first surface are, growth and all, those of maps
// of them alone; the summary has the growth of all, by the shares that were made.
func TestLotsWithASurface(t *testing.T) {
	c := withSurface(t, config(t))
	mustBeMapsAlone(t, c)
	out := outputsIn(t, c.Dir)
	worked := acresIn(t, out["lots.csv"])
	require.Positive(t, sumOf(worked["track_loader_acres"]))
	require.Positive(t, sumOf(worked["remote_crawler_acres"]))
	require.Contains(t, out["zones.geojson"], `"growth":`)
	for _, caution := range zoning.GrowthCautions() {
		require.Contains(t, out["zones.geojson"], caution)
	}
	acres, unknown, from := growthOf(t, out["zones.geojson"])
	require.Equal(t, 9, from)
	sum := sumOf(slices.Collect(maps.Values(acres)))
	all := sumOf(acresIn(t, out["lots.csv"])["parcel_acres"])
	require.InDelta(t, all, sum+unknown, 1e-5*all)
	want := map[string]float64{}
	for i := range growthCells * growthCells {
		want[growthKey(canopy(float64(i%growthCells), float64(i/growthCells)))] += 1.0 / (growthCells * growthCells)
	}
	for key, share := range want {
		require.InDelta(t, share, acres[key]/all, 0.03, key) // lots lie at random
	}
}

func sumOf(v []float64) (sum float64) {
	for _, x := range v {
		sum += x
	}
	return sum
}

func growthKey(heightM float64) string {
	return zoning.GrowthClassKey(measure.US, zoning.GrowthClassOf(heightM))
}

// Bytes do not depend on workers and parts, and growth makes a difference.
func TestSurfaceInPartsAndOnTheWay(t *testing.T) {
	bare := config(t)
	_, without := ran(t, bare)
	c := elsewhere(t, withSurface(t, bare))
	_, want := ran(t, c)
	require.NotEqual(t, featuresOf(t, without["zones.geojson"]), featuresOf(t, want["zones.geojson"]))
	require.NotContains(t, without["lots.csv"], "growth_")

	shards := t.TempDir()
	for i := range 3 {
		c.Dir, c.Shard = shards, Shard{i + 1, 3}
		c.Child = withFaults("*:kill:" + once(t, fmt.Sprint(i))) // a worker dies on the way
		ran(t, c)
	}
	merged := t.TempDir()
	_, err := Merge(t.Context(), merged, []string{shards}, c.Outputs, nil)
	require.NoError(t, err)
	mustBeSame(t, want, outputsIn(t, merged))
}

// A surface that was changed, one that is left out and one that is new are each refused.
func TestAChangedSurfaceIsRefused(t *testing.T) {
	c := withSurface(t, config(t))
	ran(t, c)
	left := c
	left.Job.Surface = nil
	_, err := Run(never(), left)
	require.ErrorIs(t, err, resume.ErrInputs)
	require.ErrorContains(t, err, "first surface first0.tif is no longer there")

	writeHeights(t, filepath.Join(c.Job.Surface[0], "first4.tif"), 100, 100, 100, 100, 32, func(x, y float64) float64 { return grown(x, y) + 1 })
	_, err = Run(never(), c)
	require.ErrorIs(t, err, resume.ErrInputs)
	require.ErrorContains(t, err, "first surface first4.tif was ")
}

// A lot off the surface fails with the flag that may cure it, as a map of it does, and
// one whose surface is bare earth too; the others go on.
func TestLotsThatTheSurfaceDoesNotFit(t *testing.T) {
	c := config(t)
	one := filepath.Join(t.TempDir(), "first.tif")
	writeHeights(t, one, 0, 0, 150, 300, 32, func(x, y float64) float64 {
		if y > 200 {
			return relief(x, y)
		}
		return grown(x, y)
	})
	c.Job.Surface = []string{one}
	writeLots(t, c.Job.Parcels, []made{rectangle("on", 20, 20, 60, 60), rectangle("off", 200, 20, 240, 60), rectangle("bare", 20, 230, 60, 270)})
	r, out := ran(t, c)
	require.Equal(t, 2, r.Failed)
	failed := rowsOf(t, out["failed.csv"])
	require.Equal(t, "off", failed[1][0])
	require.Contains(t, failed[1][1], one)
	require.Equal(t, "check its CRS (surface-crs)", failed[1][2])
	require.Equal(t, "bare", failed[2][0])
	require.Contains(t, failed[2][1], one+": its heights are those of the ground: it is bare earth")
	require.Equal(t, "mapped", rowsOf(t, out["lots.csv"])[1][2])

	c.Job.Surface = []string{filepath.Join(t.TempDir(), "none.tif")}
	c.Anew = true
	_, err := Run(never(), c)
	require.ErrorContains(t, err, "none.tif")
	c.Job.Surface, c.Job.SurfaceOptions.CRS = []string{one}, "EPSG:0"
	_, err = Run(never(), c)
	require.ErrorContains(t, err, "surface-crs")
}

// Growth is measured in all of the window that staging widens, on a surface whose tiles
// there no lot touches: what is found of the surface's place hangs on all of it.
func TestSurfaceBesideTheLots(t *testing.T) {
	c := withSurface(t, config(t))
	writeLots(t, c.Job.Parcels, []made{rectangle("a", 20, 20, 60, 60)})
	yard := filepath.Join(t.TempDir(), "yard.geojson")
	writeLots(t, yard, []made{rectangle("yard", 250, 250, 260, 260), rectangle("gate", 30, 30, 40, 40)})
	c.Job.Site.Staging = []string{yard}
	_, out := ran(t, c)
	_, _, from := growthOf(t, out["zones.geojson"])
	require.Equal(t, 9, from)
}

// Site files that lie elsewhere are refused, as a map of the lots refuses them: every
// no-go in them would be lost.
func TestSiteFilesElsewhereAreRefused(t *testing.T) {
	c := config(t)
	far := filepath.Join(t.TempDir(), "far.geojson")
	writeLots(t, far, []made{rectangle("far", 1e5, 1e5, 1e5+50, 1e5+50)})
	text, err := os.ReadFile(far)
	require.NoError(t, err)
	noGo := filepath.Join(t.TempDir(), "nogo.geojson")
	require.NoError(t, os.WriteFile(noGo, []byte(strings.ReplaceAll(string(text), `"lot":`, `"kind":"no-go","lot":`)), 0o666))
	c.Job.Site.Site = []string{noGo}
	_, err = Run(never(), c)
	require.ErrorContains(t, err, noGo+": nothing in it lies within 2 miles of the lots")
	c.Job.Site.Site, c.Job.Site.Staging = nil, []string{far}
	_, err = Run(never(), c)
	require.ErrorContains(t, err, "more than 2 miles from the lots")
}

// A tile of the surface that is taken away on the way fails the lots on it, which name it,
// and no others.
func TestASurfaceThatBreaksOnTheWay(t *testing.T) {
	c := withSurface(t, config(t))
	_, want := ran(t, c)
	c = elsewhere(t, c)
	c.Workers = 1
	c.Child = withFaults("*:remove:" + filepath.Join(c.Job.Surface[0], "first8.tif")) // before the first lot
	r, got := ran(t, c)
	require.Len(t, r.Warnings, 1)
	require.Contains(t, r.Warnings[0], "first surface first8.tif was ")
	was := featuresOf(t, want["zones.geojson"])
	failed := rowsOf(t, got["failed.csv"])[1:]
	require.Len(t, failed, r.Failed)
	for _, f := range failed {
		require.Contains(t, f[1], "first8.tif")
		delete(was, f[0])
	}
	require.Equal(t, was, featuresOf(t, got["zones.geojson"]))
	require.NotEmpty(t, failed)
	require.NotEmpty(t, was)
}
