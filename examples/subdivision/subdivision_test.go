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

const elevation = "../../testdata/jacksboro_dem.tif"

// plat is what the test reads of lots.geojson.
type plat struct {
	Features []struct {
		Properties struct{ Lot string }
		Geometry   struct{ Coordinates orb.Polygon }
	}
}

// steepShares finds for each lot, from the raster itself, the part of its cells that is
// steeper than a slope in percent: Horn 1981 on cells of the metres that a degree has on
// a sphere of 6371.0088 km, the earth's mean radius.
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
	const perDegree = 6371008.8 * math.Pi / 180
	out := map[string]float64{}
	for _, f := range lots.Features {
		cells, steep := 0.0, 0.0
		for y := 1; y < h-1; y++ {
			lat := at[3] + (float64(y)+0.5)*at[5]
			across, down := at[1]*perDegree*math.Cos(lat*math.Pi/180), -at[5]*perDegree
			for x := 1; x < w-1; x++ {
				if !planar.PolygonContains(f.Geometry.Coordinates, orb.Point{at[0] + (float64(x)+0.5)*at[1], lat}) {
					continue
				}
				n := func(dx, dy int) float64 { return z[(y+dy)*w+x+dx] }
				dzdx := (n(1, -1) + 2*n(1, 0) + n(1, 1) - n(-1, -1) - 2*n(-1, 0) - n(-1, 1)) / (8 * across)
				dzdy := (n(-1, 1) + 2*n(0, 1) + n(1, 1) - n(-1, -1) - 2*n(0, -1) - n(1, -1)) / (8 * down)
				if cells++; 100*math.Hypot(dzdx, dzdy) > steepPct {
					steep++
				}
			}
		}
		out[f.Properties.Lot] = steep / cells
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
	run, err := exec.Command(bin, "lots", "--elevation", elevation, "--parcels", "lots.geojson", "--id", "lot", "--cover", "light",
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

	// A lot of 70 acres or more needs more from a quarter acre on: less than a cell of
	// some 1.7 acres. Zones are cut finer than cells, at the boundary, so lots with one
	// cell or none over the limit are left to either side.
	clear := 0
	for lot, share := range steepShares(t, lots, 30) {
		switch {
		case share == 0:
			clear++
			require.True(t, easy[lot], "lot %s has no cell over 30%%", lot)
		case share > 0.02:
			clear++
			require.False(t, easy[lot], "%.0f%% of lot %s is over 30%%", 100*share, lot)
		}
	}
	require.GreaterOrEqual(t, clear, 24)

	// The lots that README.md names.
	for _, lot := range []string{"6", "7", "8", "9", "16", "17", "18", "27", "28", "29"} {
		require.True(t, easy[lot], lot)
	}
	require.Equal(t, []string{"24", "23", "2"}, groups["Up to Remote crawler, part for no machine"][:3], "those that ask most come first")

	f, err := os.Open(filepath.Join(dir, "lots.csv"))
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	all := 0.0
	for _, row := range rows[1:] {
		acres, err := strconv.ParseFloat(row[2], 64)
		require.NoError(t, err)
		all += acres
	}
	require.Contains(t, strings.ReplaceAll(string(page), ",", ""), "30 lots mapped "+strconv.FormatFloat(all, 'f', 2, 64)+" acres.")
}
