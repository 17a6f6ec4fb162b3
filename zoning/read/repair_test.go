package read

import (
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/coverage"
)

// unit moves rings written in units of 0.001 degrees to 45 N, 120 W, where the
// unit square is the box of 2.165215 acres.
func unit(rings ...string) []string {
	for i, r := range rings {
		var corners []string
		for _, xy := range strings.Split(r, ",") {
			f := strings.Fields(xy)
			x, _ := strconv.ParseFloat(f[0], 64)
			y, _ := strconv.ParseFloat(f[1], 64)
			corners = append(corners, fmt.Sprintf("%.7f %.7f", -120+x/1000, 45+y/1000))
		}
		rings[i] = strings.Join(corners, ", ")
	}
	return rings
}

func TestRepairs(t *testing.T) {
	const square = "0 0, 1 0, 1 1, 0 1, 0 0"
	rect := func(w, s, e, n float64) float64 {
		return coverage.AreaM2(box(-120+w/1000, 45+s/1000, -120+e/1000, 45+n/1000))
	}
	for _, c := range []struct {
		about    string
		geometry string
		m2       float64
		parts    int
		note     string // "" where nothing is to be said
		err      string
	}{
		{"a valid square", polygon(unit(square)...), rect(0, 0, 1, 1), 1, "", ""},
		// Corners out of order: two triangles that meet at the middle, wound
		// against each other. Their signed areas cancel; both are enclosed.
		{"a bow-tie is half of a lot", polygon(unit("0 0, 1 1, 1 0, 0 1, 0 0")...),
			0, 0, "", "its boundary crosses or touches itself near 45.000500 N, 119.999500 W; a repair would change 0.54 of 1.08 acres (50.0%), and more than 1% is not ours to decide: draw it again, or allow more (repair)"},
		{"a small lobe stays, and counts as changed", polygon(unit("0 0, 1 0, 1 1, 0.4 1, 0.5 1.05, 0.4 1.05, 0.5 1, 0 1, 0 0")...),
			rect(0, 0, 1, 1) + rect(0.4, 1, 0.5, 1.05)/2, 2, "repaired, which changed less than 0.01 of 2.17 acres", ""},
		// The boundary goes round a pocket of 0.1 × 0.05 twice, the same way.
		{"a pocket counts once and as changed", polygon(unit("0 0, 1 0, 1 1, 0.45 1, 0.45 0.95, 0.55 0.95, 0.55 1.05, 0 1.05, 0 0")...),
			rect(0, 0, 1, 1) + rect(0, 1, 0.55, 1.05), 1,
			"its boundary crosses or touches itself near 45.001000 N, 119.999450 W: repaired, which changed 0.01 of 2.22 acres", ""},
		{"a large pocket is refused", polygon(unit("0 0, 1 0, 1 1, 0.4 1, 0.4 0.8, 0.6 0.8, 0.6 1.05, 0 1.05, 0 0")...),
			0, 0, "", "a repair would change 0.09 of 2.23 acres (3.9%), and more than 1% is not ours to decide: draw it again"},
		{"a hole outside is left out", polygon(unit(square, "2 0, 2 0.05, 2.05 0.05, 2.05 0, 2 0")...),
			rect(0, 0, 1, 1), 1,
			"a hole lies outside its boundary near 45.000000 N, 119.998000 W: repaired, which changed 0.01 of 2.17 acres", ""},
		{"a large hole outside is refused", polygon(unit(square, "2 0, 2 0.2, 2.2 0.2, 2.2 0, 2 0")...),
			0, 0, "", "a hole lies outside its boundary near 45.000000 N, 119.998000 W; a repair would change 0.09 of 2.17 acres (4.0%)"},
		{"a hole across the boundary takes what lies within", polygon(unit(square, "-0.05 0.5, -0.05 0.6, 0.05 0.6, 0.05 0.5, -0.05 0.5")...),
			rect(0, 0, 1, 1) - rect(0, 0.5, 0.05, 0.6), 1,
			"its boundary crosses or touches itself near 45.000500 N, 120.000000 W: repaired, which changed 0.01 of", ""},
		{"two holes that overlap are both holes", polygon(unit(square, "0.2 0.2, 0.2 0.4, 0.4 0.4, 0.4 0.2, 0.2 0.2", "0.38 0.2, 0.38 0.4, 0.5 0.4, 0.5 0.2, 0.38 0.2")...),
			rect(0, 0, 1, 1) - rect(0.2, 0.2, 0.5, 0.4), 1, "its boundary crosses or touches itself", ""},
		{"a hole in a hole stays a hole", polygon(unit(square, "0.2 0.2, 0.2 0.4, 0.4 0.4, 0.4 0.2, 0.2 0.2", "0.3 0.3, 0.3 0.35, 0.35 0.35, 0.35 0.3, 0.3 0.3")...),
			rect(0, 0, 1, 1) - rect(0.2, 0.2, 0.4, 0.4), 1, "a hole lies in another hole", ""},
		{"parts that share an edge", multiPolygon(unit(square, "1 0, 2 0, 2 1, 1 1, 1 0")...),
			rect(0, 0, 2, 1), 1, "its 2 parts share edges and were joined into 1", ""},
		{"parts that share half an edge", multiPolygon(unit(square, "1 0.5, 2 0.5, 2 2, 1 2, 1 0.5")...),
			rect(0, 0, 1, 1) + rect(1, 0.5, 2, 2), 1, "its 2 parts share edges and were joined into 1", ""},
		{"parts that touch in a corner are valid", multiPolygon(unit(square, "1 1, 2 1, 2 2, 1 2, 1 1")...),
			rect(0, 0, 1, 1) + rect(1, 1, 2, 2), 2, "", ""},
		{"parts that overlap count once", multiPolygon(unit(square, "0.5 0, 1.5 0, 1.5 1, 0.5 1, 0.5 0")...),
			rect(0, 0, 1.5, 1), 1, "its 2 parts overlap by 1.08 acres, counted once: 3.25 acres; a hole must be drawn as a hole", ""},
		{"a part within another", multiPolygon(unit(square, "0.5 0.5, 0.6 0.5, 0.6 0.6, 0.5 0.6, 0.5 0.5")...),
			rect(0, 0, 1, 1), 1, "its 2 parts overlap by 0.02 acres, counted once: 2.17 acres; a hole must be drawn as a hole", ""},
		{"a bow-tie beside a sound part", multiPolygon(unit(square, "2 0, 3 1, 3 0, 2 1, 2 0")...),
			0, 0, "", "its boundary crosses or touches itself near 45.000500 N, 119.997500 W; a repair would change 0.54 of 3.25 acres (16.7%)"},
		{"wound the wrong way", polygon(unit("0 0, 0 1, 1 1, 1 0, 0 0", "0.2 0.2, 0.4 0.2, 0.4 0.4, 0.2 0.4, 0.2 0.2")...),
			rect(0, 0, 1, 1) - rect(0.2, 0.2, 0.4, 0.4), 1, "", ""},
		{"not closed", polygon(unit("0 0, 1 0, 1 1, 0 1")...), rect(0, 0, 1, 1), 1, "its boundary did not come back to the first corner: closed", ""},
		{"corners drawn twice", polygon(unit("0 0, 0 0, 1 0, 1 1, 1 1, 0 1, 0 0")...), rect(0, 0, 1, 1), 1, "", ""},
		{"a hole of two corners", polygon(unit(square, "0.2 0.2, 0.4 0.4, 0.2 0.2")...), rect(0, 0, 1, 1), 1, "a ring with fewer than three corners was left out", ""},
		{"a line there and back", polygon(unit("0 0, 1 0, 2 0, 0 0")...), 0, 0, "", "encloses no ground: its corners lie on one line"},
		{"two corners", polygon(unit("0 0, 1 0, 0 0")...), 0, 0, "", "encloses no ground: a boundary needs at least three corners"},
		{"one point", polygon(unit("0 0, 0 0, 0 0, 0 0")...), 0, 0, "", "encloses no ground: a boundary needs at least three corners"},
	} {
		t.Run(c.about, func(t *testing.T) {
			lot := readShape(t, c.geometry)
			requireSound(t, lot)
			if c.err != "" {
				require.ErrorContains(t, lot.Err, "lot.geojson: lot 1: ")
				require.ErrorContains(t, lot.Err, c.err)
				return
			}
			require.NoError(t, lot.Err)
			assert.InEpsilon(t, c.m2, coverage.AreaM2(lot.Ground), 1e-9)
			assert.Len(t, lot.Ground, c.parts)
			if c.note == "" {
				assert.Empty(t, lot.Notes)
			} else if assert.Len(t, lot.Notes, 1) {
				assert.Contains(t, lot.Notes[0], c.note)
			}
		})
	}
}

// A spike costs nothing, and the place that is told lies on it: which end of it is the
// choice of the geometry library, and versions differ.
func TestASpikeIsToldWhereItLies(t *testing.T) {
	lot := readShape(t, polygon(unit("0 0, 1 0, 1 1, 0.5 1, 0.5 2, 0.5 1, 0 1, 0 0")...))
	requireSound(t, lot)
	require.NoError(t, lot.Err)
	assert.InEpsilon(t, coverage.AreaM2(box(-120, 45, -119.999, 45.001)), coverage.AreaM2(lot.Ground), 1e-9)
	require.Len(t, lot.Ground, 1)
	require.Len(t, lot.Notes, 1)
	var lat, lon float64
	_, err := fmt.Sscanf(lot.Notes[0], "its boundary crosses or touches itself near %f N, %f W: repaired, which changed 0.00 of 2.17 acres", &lat, &lon)
	require.NoError(t, err, lot.Notes[0])
	assert.InDelta(t, 119.9995, lon, 1e-6)
	assert.True(t, lat > 45.001-1e-6 && lat < 45.002+1e-6, lot.Notes[0])
}

// GDAL's own repair keeps the same ground wherever no hole lies outside and
// nothing is enclosed twice.
func TestBowTiesAsMakeValidHasThem(t *testing.T) {
	for _, ring := range []string{
		"0 0, 1 1, 1 0, 0 1, 0 0",
		"0 0, 1 0, 0.2 1, 1.3 1.2, 0 0",
		"0 0, 1 0, 1 1, 0.5 1, 0.5 2, 0.5 1, 0 1, 0.3 -0.1, 0 0",
	} {
		file := write(t, "tie.geojson", featureCollection(polygon(unit(ring)...)))
		src, err := godal.Open(file, godal.VectorOnly(), godal.Drivers("GeoJSON"))
		require.NoError(t, err)
		valid := filepath.Join(t.TempDir(), "valid.geojson")
		ds, err := src.VectorTranslate(valid, []string{"-makevalid", "-lco", "COORDINATE_PRECISION=15"}, godal.GeoJSON, failuresOnly)
		require.NoError(t, err)
		require.NoError(t, ds.Close())
		require.NoError(t, src.Close())
		theirs, ours := readOne(t, valid, Options{}), readOne(t, file, Options{Repair: MostRepair})
		require.NoError(t, ours.Err)
		assert.InEpsilon(t, coverage.AreaM2(theirs.Ground), coverage.AreaM2(ours.Ground), 1e-9)
		both, err := intersection(theirs.Ground, ours.Ground)
		require.NoError(t, err)
		assert.InEpsilon(t, coverage.AreaM2(theirs.Ground), coverage.AreaM2(both), 1e-9)
	}
}

// Of random polygons with holes, what a repair keeps is what the rule says,
// point by point.
func TestRepairKeepsWhatTheRuleSays(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 60 {
		poly := orb.Polygon{randomRing(r, 4+r.IntN(8)), randomRing(r, 3+r.IntN(3))}
		kept, _, err := enclosedBy(poly)
		require.NoError(t, err)
		reason, err := invalidity(kept)
		require.NoError(t, err)
		require.Empty(t, reason)
		for range 200 {
			p := orb.Point{r.Float64(), r.Float64()}
			want, _ := encloses(poly, p)
			got := false
			for _, k := range kept {
				in, _ := encloses(k, p)
				got = got || in
			}
			require.Equal(t, want, got, "%v in %v", p, poly)
		}
	}
}

func randomRing(r *rand.Rand, n int) (ring orb.Ring) {
	for range n {
		ring = append(ring, orb.Point{r.Float64(), r.Float64()})
	}
	return append(ring, ring[0])
}
