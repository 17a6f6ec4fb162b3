package lots

import (
	"fmt"
	"html"
	"math"
	"math/rand/v2"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/encoding/wkt"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/plan"
)

var tag = regexp.MustCompile(`(?s)<style>.*?</style>|<svg.*?</svg>|<[^>]*>`)

// wordsOf are a page's words as a reader sees them.
func wordsOf(page string) string {
	return strings.Join(strings.Fields(html.UnescapeString(tag.ReplaceAllString(page, " "))), " ")
}

// The sheet's figures are those of lots.csv, added up here.
func TestSheetAddsUpTheTable(t *testing.T) {
	c := config(t)
	c.Outputs.Plan, c.Outputs.Book, c.Outputs.Cover = true, plan.Default(), plan.Light
	_, out := ran(t, c)
	words, rows := wordsOf(out["sheet.html"]), rowsOf(t, out["lots.csv"])
	number := func(row []string, column string) float64 {
		at := slices.Index(rows[0], column)
		require.GreaterOrEqual(t, at, 0, column)
		if row[at] == "" {
			return 0
		}
		v, err := strconv.ParseFloat(row[at], 64)
		require.NoError(t, err)
		return v
	}
	sum := func(column string) (all float64) {
		for _, row := range rows[1:] {
			all += number(row, column)
		}
		return all
	}
	for _, m := range c.Job.Fleet {
		row := regexp.MustCompile(regexp.QuoteMeta(m.Name) + ` \d+% ([\d.]+) \S+% ([\d.]+) \S+% ([\d.]+) \S+% `).FindStringSubmatch(words)
		require.NotNil(t, row, m.Name)
		of := strings.ReplaceAll(m.Key, "-", "_")
		for i, column := range []string{of + "_acres_dry", of + "_acres_wet", of + "_verify_acres"} {
			require.Equal(t, fmt.Sprintf("%.2f", sum(column)), row[1+i], column)
		}
	}
	require.Contains(t, words, fmt.Sprintf("all lots %.2f 100%% %.2f 100%% ", sum("parcel_acres"), sum("parcel_acres")))

	// Lots by what they need, by the threshold as it is printed on the sheet.
	alone, forNone := 0, 0
	for _, row := range rows[1:] {
		counts := func(zone string) bool {
			acres := number(row, zone+"_acres")
			return acres > 0 && (acres >= 0.05*number(row, "parcel_acres") || acres >= 0.25)
		}
		none := counts("no_machine")
		if none {
			forNone++
		}
		if counts("track_loader") && !counts("dedicated_carrier") && !counts("boom_head") && !counts("remote_crawler") && !none && !counts("no_data") {
			alone++
		}
	}
	require.Positive(t, forNone)
	require.Contains(t, words, fmt.Sprintf("%d lots have ground that counts and that no machine", forNone))
	if alone > 0 {
		require.Contains(t, words, fmt.Sprintf("Track loader alone for %d lots; %d need more", alone, madeLots-alone))
	} else {
		require.Contains(t, words, fmt.Sprintf("No lot is for Track loader alone: %d need more", madeLots))
	}

	// The order of lots is that of plan.csv.
	for _, m := range c.Job.Fleet {
		var order []string
		for _, row := range rowsOf(t, out["plan.csv"])[1:] {
			if row[0] == m.Key {
				order = append(order, row[2])
			}
		}
		list := regexp.MustCompile(`(?s)<section aria-label="` + m.Name + `: order of lots">.*?</section>`).FindString(out["sheet.html"])
		var listed []string
		for _, found := range regexp.MustCompile(`<li><b>(.*?)</b>`).FindAllStringSubmatch(list, -1) {
			listed = append(listed, found[1])
		}
		require.Equal(t, order, listed, m.Name)
	}
	require.Contains(t, words, "under light cover")
}

// A coarse outline is off by at most a thousandth of the lot's size, by GEOS, and
// has few vertices however many the lot has.
func TestCoarseOutlinesAreNear(t *testing.T) {
	require.NoError(t, godal.RegisterVector(godal.GeoJSON))
	r := rand.New(rand.NewPCG(5, 6))
	for _, vertices := range []int{5, 40, 3000, 1_000_000} {
		ring := make(orb.Ring, 0, vertices)
		for i := range vertices - 1 {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(vertices-1))
			away := 0.001 * (1 + 0.2*math.Sin(float64(i)/float64(vertices)*40) + 0.0001*r.Float64())
			ring = append(ring, orb.Point{-84 + away*cos, 36 + away*sin})
		}
		ring = append(ring, ring[0])
		ground := orb.MultiPolygon{{ring}}
		got := coarse(ground)
		require.Less(t, len(got[0][0]), 1000)
		require.Equal(t, got[0][0][0], got[0][0][len(got[0][0])-1], "closed")
		if vertices > 3000 {
			continue // GEOS takes long
		}
		b := ground.Bound()
		size := max(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1])
		near := func(a, b orb.Ring) bool {
			line, err := godal.NewGeometryFromWKT(wkt.MarshalString(orb.LineString(a)), nil)
			require.NoError(t, err)
			defer line.Close()
			other, err := godal.NewGeometryFromWKT(wkt.MarshalString(orb.LineString(b)), nil)
			require.NoError(t, err)
			defer other.Close()
			wide, err := other.Buffer(size/coarseParts, 16)
			require.NoError(t, err)
			defer wide.Close()
			return wide.Contains(line)
		}
		require.True(t, near(ring, got[0][0]), vertices)
		require.True(t, near(got[0][0], ring), vertices)
	}
	require.Empty(t, coarse(nil))
}

// A lot that failed keeps its place on the map, if its boundary could be read.
func TestFailedLotsKeepTheirOutlines(t *testing.T) {
	ground := vectorOf(t, 50, 50, 20)
	f, err := frameOf(zoning.Lot{Place: 7, Notes: []string{"n"}})
	require.NoError(t, err)
	lot, err := lotOf(f)
	require.NoError(t, err)
	for _, g := range []orb.MultiPolygon{ground, nil} {
		lot.Ground = g
		f, err := failed(lot.Place, lot.Lot, lot.Notes, lot.Ground, &Fault{"gone", "look"})
		require.NoError(t, err)
		var r record
		require.NoError(t, f.parseHead(&r))
		a := assembly{fleet: fleet.Default()}
		got, err := a.overviewLot(f, &r)
		require.NoError(t, err)
		require.Equal(t, "gone; look", got.Failure)
		require.Equal(t, 7, got.Place)
		require.Equal(t, len(g), len(got.Outline))
		zones, hazards, err := parts(f)
		require.NoError(t, err)
		require.Empty(t, zones)
		require.Empty(t, hazards)
	}
	// A record whose parts do not fit into it is damaged.
	for _, r := range []record{{ZoneBytes: 9}, {HazardBytes: 9}, {ZoneBytes: -1}, {ZoneBytes: 9, HazardBytes: -5}} {
		_, _, _, err := r.cut(make([]byte, 8))
		require.ErrorIs(t, err, errTorn)
	}
}

// With every lot failed there is still a sheet that says so.
func TestSheetOfLotsThatAllFailed(t *testing.T) {
	c := config(t)
	lots := squares(3, groundCells, 20)
	for _, l := range lots {
		for k := range l.ring {
			l.ring[k][0] += 1e5
		}
	}
	lots[0].name = "<script>alert(1)</script>"
	c.Job.Parcels = filepath.Join(t.TempDir(), "off.geojson")
	writeLots(t, c.Job.Parcels, lots)
	r, out := ran(t, c)
	require.Equal(t, 3, r.Failed)
	require.NotContains(t, out["sheet.html"], "<script")
	words := wordsOf(out["sheet.html"])
	require.Contains(t, words, "No lot could be mapped: all failed.")
	require.Contains(t, words, "<script>alert(1)</script> 1 ")
	require.Contains(t, words, "check both files' CRS")
	require.Contains(t, out["sheet.html"], "data:image/png", "they are drawn where they lie")
}
