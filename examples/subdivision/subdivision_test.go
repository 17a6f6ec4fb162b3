// Package subdivision holds no program: its lots are mapped by one command.
package subdivision

import (
	"encoding/csv"
	"encoding/json"
	"html"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/require"
)

const elevation = "elevation.tif"

// plat is what the test reads of lots.geojson.
type plat struct {
	Features []struct {
		Properties struct{ Lot string }
		Geometry   struct{ Coordinates orb.Polygon }
	}
}

// steepShares finds for each lot, from the raster itself, the part of its cells that is
// steeper than a slope in percent: Horn 1981, after a mean over 3 × 3 cells, which takes what lidar
// leaves. Lots are taken into the raster's plane by PROJ.
func steepShares(t *testing.T, lots plat, steepPct float64) map[string]float64 {
	t.Helper()
	require.NoError(t, godal.RegisterRaster(godal.GTiff))
	ds, err := godal.Open(elevation)
	require.NoError(t, err)
	defer func() { require.NoError(t, ds.Close()) }()
	at, err := ds.GeoTransform()
	require.NoError(t, err)
	w, h := ds.Structure().SizeX, ds.Structure().SizeY
	z := make([]float64, w*h)
	require.NoError(t, ds.Bands()[0].Read(0, 0, z, w, h))
	z = meanOfNine(z, w, h)
	from, err := godal.NewSpatialRefFromEPSG(4326)
	require.NoError(t, err)
	defer from.Close()
	to := ds.SpatialRef()
	defer to.Close()
	plane, err := godal.NewTransform(from, to)
	require.NoError(t, err)
	defer plane.Close()
	out := map[string]float64{}
	for _, f := range lots.Features {
		ring := orb.Ring{}
		for _, p := range f.Geometry.Coordinates[0] {
			x, y := []float64{p[0]}, []float64{p[1]}
			require.NoError(t, plane.TransformEx(x, y, []float64{0}, nil))
			ring = append(ring, orb.Point{x[0], y[0]})
		}
		cells, steep := 0.0, 0.0
		for y := 2; y < h-2; y++ {
			for x := 2; x < w-2; x++ {
				if !planar.RingContains(ring, orb.Point{at[0] + (float64(x)+0.5)*at[1], at[3] + (float64(y)+0.5)*at[5]}) {
					continue
				}
				n := func(dx, dy int) float64 { return z[(y+dy)*w+x+dx] }
				dzdx := (n(1, -1) + 2*n(1, 0) + n(1, 1) - n(-1, -1) - 2*n(-1, 0) - n(-1, 1)) / 8
				dzdy := (n(-1, 1) + 2*n(0, 1) + n(1, 1) - n(-1, -1) - 2*n(0, -1) - n(1, -1)) / 8
				if cells++; 100*math.Hypot(dzdx, dzdy) > steepPct {
					steep++
				}
			}
		}
		out[f.Properties.Lot] = steep / cells
	}
	return out
}

// meanOfNine is each height's mean with its neighbors; those at the edge stay.
func meanOfNine(z []float64, w, h int) []float64 {
	out := append([]float64(nil), z...)
	for y := 1; y < h-1; y++ {
		for x := 1; x < w-1; x++ {
			sum := 0.0
			for i := range 9 {
				sum += z[(y+i/3-1)*w+x+i%3-1]
			}
			out[y*w+x] = sum / 9
		}
	}
	return out
}

// groupsOf are the lots that a sheet lists under each heading.
func groupsOf(page string) map[string][]string {
	out := map[string][]string{}
	for _, body := range regexp.MustCompile(`(?s)<tbody>\s*<tr class="need">.*?</tbody>`).FindAllString(page, -1) {
		words := regexp.MustCompile(`</svg> (.*?): \d+ lot`).FindStringSubmatch(body)[1]
		for _, row := range regexp.MustCompile(`<th scope="row" class="words">(.*?)</th>`).FindAllStringSubmatch(body, -1) {
			out[html.UnescapeString(words)] = append(out[html.UnescapeString(words)], row[1])
		}
	}
	return out
}

// What the README says: the sheet tells which lots are easy, and the ground itself says
// the same.
func TestTheSheetTellsWhichLotsAreEasy(t *testing.T) {
	if testing.Short() {
		t.Skip("it builds the command")
	}
	dir := t.TempDir()
	bin := filepath.Join(dir, "acreband")
	build, err := exec.Command("go", "build", "-o", bin, "../../cmd/acreband").CombinedOutput()
	require.NoError(t, err, string(build))
	run, err := exec.Command(bin, "lots", "--elevation", elevation, "--parcels", "lots.geojson", "--id", "lot", "--cover", "medium",
		"--write", "lots.csv,sheet.html", "--out", dir, "--progress", "none").CombinedOutput()
	require.NoError(t, err, string(run))

	text, err := os.ReadFile("lots.geojson")
	require.NoError(t, err)
	var lots plat
	require.NoError(t, json.Unmarshal(text, &lots))
	require.Len(t, lots.Features, 30)
	page, err := os.ReadFile(filepath.Join(dir, "sheet.html"))
	require.NoError(t, err)
	groups := groupsOf(string(page))
	easy := map[string]bool{}
	for _, lot := range groups["Track loader alone"] {
		easy[lot] = true
	}
	require.Contains(t, string(page), "Track loader alone for "+strconv.Itoa(len(easy))+" lots; "+strconv.Itoa(30-len(easy))+" need more than that.")

	// A lot needs more than the loader from 5% of it or a quarter of an acre on. The loader goes up to
	// 30%, and less far from where it can turn: lots near that are left to either side.
	clear := 0
	for lot, share := range steepShares(t, lots, 30) {
		if share > 0.1 {
			clear++
			require.False(t, easy[lot], "%.0f%% of lot %s is over 30%%", 100*share, lot)
		}
	}
	require.GreaterOrEqual(t, clear, 10)
	clear = 0
	for lot, share := range steepShares(t, lots, 18) {
		if share == 0 {
			clear++
			require.True(t, easy[lot], "nothing of lot %s is over 18%%", lot)
		}
	}
	require.GreaterOrEqual(t, clear, 6)

	// The lots that README.md names.
	require.ElementsMatch(t, []string{"A1", "A2", "A10", "A11", "A12", "C1", "C2", "C3", "C4", "C5", "C6", "C7"}, groups["Track loader alone"])
	require.ElementsMatch(t, []string{"B1", "B2", "B3", "B4", "B5"}, groups["Up to Remote crawler, part for no machine"])

	f, err := os.Open(filepath.Join(dir, "lots.csv"))
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	all := 0.0
	for _, row := range rows[1:] {
		acres, err := strconv.ParseFloat(row[4], 64)
		require.NoError(t, err)
		all += acres
	}
	require.Contains(t, strings.ReplaceAll(string(page), ",", ""), "30 lots mapped "+strconv.FormatFloat(all, 'f', 2, 64)+" acres.")
}
