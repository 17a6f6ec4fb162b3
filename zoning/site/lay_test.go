package site_test

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning/site"
)

// field is a grid of square cells whose heights rise eastward by a slope.
func field(t testing.TB, cols, rows int, cellM, rise float64) *terrain.Grid {
	t.Helper()
	z := make([]float32, cols*rows)
	for i := range z {
		z[i] = float32(rise * cellM * (float64(i%cols) + 0.5))
	}
	g, err := terrain.NewGrid(z, cols, rows, cellM, cellM)
	require.NoError(t, err)
	return g
}

// at is the longitude and latitude of cell coordinates.
func at(g *terrain.Grid, c, r float64) orb.Point {
	lon, lat := g.Frame.LonLat(c, r)
	return orb.Point{lon, lat}
}

func ring(g *terrain.Grid, corners ...float64) orb.Ring {
	var out orb.Ring
	for i := 0; i < len(corners); i += 2 {
		out = append(out, at(g, corners[i], corners[i+1]))
	}
	return append(out, out[0])
}

// drawn writes a grid of marks as rows of # and dots.
func drawn(g *terrain.Grid, marked func(cell int) bool) string {
	var b strings.Builder
	for i := range g.Cols * g.Rows {
		if i%g.Cols == 0 {
			b.WriteByte('\n')
		}
		if marked(i) {
			b.WriteByte('#')
		} else {
			b.WriteByte('.')
		}
	}
	return b.String()
}

func of(marks []bool) func(int) bool { return func(i int) bool { return marks[i] } }

// A triangle with corners (1.2, 1.2), (5.2, 1.2), (1.2, 4.2), worked by hand: its
// long side is y = 5.1 - 0.75·x. In rows 1 to 4 it begins at x = 1.2
// and reaches to x = 5.2, 4.13, 2.8 and 1.47 at their top, to 4.8, 3.47, 2.13 and
// nowhere through their middles.
func TestForbidsOnWhatIsTouchedPermitsOnMiddles(t *testing.T) {
	g := field(t, 7, 6, 10, 0)
	triangle := orb.Polygon{ring(g, 1.2, 1.2, 5.2, 1.2, 1.2, 4.2)}
	got := must(site.Lay([]site.Feature{
		{Kind: site.NoGo, Geometry: triangle},
		{Kind: site.SoftGround, Geometry: triangle, BearsKPa: 40},
		{Kind: site.Selective, Geometry: triangle},
		{Kind: site.Cover, Geometry: triangle, Class: site.Medium, StemM: 0.1, TallM: 6, StemsPerAcre: 300},
		{Kind: site.Travel, Geometry: triangle},
		{Kind: site.DryGround, Geometry: triangle},
		{Kind: site.Staging, Geometry: triangle},
	}, g))
	const touched = `
.......
.#####.
.####..
.##....
.#.....
.......`
	const middles = `
.......
.####..
.##....
.#.....
.......
.......`
	assert.Equal(t, touched, drawn(g, of(got.Closed)))
	assert.Equal(t, touched, drawn(g, of(got.Selective)))
	assert.Equal(t, touched, drawn(g, func(i int) bool { return got.BearsKPa[i] == 40 }))
	assert.Equal(t, touched, drawn(g, func(i int) bool { return got.StemM[i] == 0.1 && got.TallM[i] == 6 }))
	assert.Equal(t, middles, drawn(g, of(got.Travel)))
	assert.Equal(t, middles, drawn(g, of(got.Dry)))
	assert.Equal(t, middles, drawn(g, func(i int) bool { return got.Class[i] == site.Medium && got.StemsPerAcre[i] == 300 }))
	assert.Equal(t, []int{8, 9, 10, 11, 15, 16, 22}, got.Staging)
	assert.True(t, math.IsNaN(float64(got.BearsKPa[0])))
	assert.Nil(t, got.Setback)
	assert.Nil(t, got.BeyondLineM)
	assert.Zero(t, got.Away)
}

// A hole is no part of a shape, and two parts that overlap are no hole.
func TestHolesAndOverlaps(t *testing.T) {
	g := field(t, 7, 5, 1, 0)
	holed := orb.Polygon{ring(g, 0.5, 0.6, 6.5, 0.6, 6.5, 4.4, 0.5, 4.4), ring(g, 2.2, 1.2, 5.8, 1.2, 5.8, 3.8, 2.2, 3.8)}
	got := must(site.Lay([]site.Feature{{Kind: site.NoGo, Geometry: holed}}, g))
	assert.Equal(t, `
#######
#######
###..##
#######
#######`, drawn(g, of(got.Closed)), "the hole holds two cells whole")

	box := orb.Polygon{ring(g, 1.3, 1.3, 4.7, 1.3, 4.7, 3.7, 1.3, 3.7)}
	both := orb.MultiPolygon{box, {ring(g, 2.3, 1.3, 5.7, 1.3, 5.7, 3.7, 2.3, 3.7)}}
	got = must(site.Lay([]site.Feature{{Kind: site.Travel, Geometry: both}}, g))
	assert.Equal(t, `
.......
.#####.
.#####.
.#####.
.......`, drawn(g, of(got.Travel)))
}

// A shape along the lines of the grid touches the cells on both sides, a point
// on a corner its four cells.
func TestTouchingAtALineOrACorner(t *testing.T) {
	g := field(t, 7, 5, 1, 0)
	got := must(site.Lay([]site.Feature{
		{Kind: site.NoGo, Geometry: orb.LineString{at(g, 1, 2), at(g, 1, 4)}},
		{Kind: site.NoGo, Geometry: at(g, 5, 1)},
		{Kind: site.NoGo, Geometry: orb.MultiPoint{at(g, 4.5, 4.5)}},
	}, g))
	assert.Equal(t, `
....##.
##..##.
##.....
##.....
##..#..`, drawn(g, of(got.Closed)))
}

func TestTheStricterOfTwoCounts(t *testing.T) {
	g := field(t, 4, 1, 1, 0)
	west, all := orb.Polygon{ring(g, 0.1, 0.1, 1.9, 0.1, 1.9, 0.9, 0.1, 0.9)}, orb.Polygon{ring(g, 0.1, 0.1, 3.9, 0.1, 3.9, 0.9, 0.1, 0.9)}
	features := []site.Feature{
		{Kind: site.SoftGround, Geometry: west, BearsKPa: 20}, {Kind: site.SoftGround, Geometry: all, BearsKPa: 40},
		{Kind: site.Cover, Geometry: west, Class: site.Heavy, StemM: 0.1}, {Kind: site.Cover, Geometry: all, Class: site.Light, StemM: 0.2, StemsPerAcre: 50},
	}
	for range 2 {
		got := must(site.Lay(features, g))
		assert.Equal(t, []float32{20, 20, 40, 40}, got.BearsKPa)
		assert.Equal(t, []site.Class{site.Heavy, site.Heavy, site.Light, site.Light}, got.Class)
		assert.Equal(t, []float32{0, 0, 50, 50}, got.StemsPerAcre, "the heavy cover does not say how many")
		assert.Equal(t, []float32{0.2, 0.2, 0.2, 0.2}, got.StemM)
		features[0], features[1] = features[1], features[0]
		features[2], features[3] = features[3], features[2]
	}
}

// From the middle of a cell to a point in cells of 1 m: within 10 ft, 3.048 m.
func TestLeaveTreeKeepsTenFeet(t *testing.T) {
	g := field(t, 9, 9, 1, 0)
	got := must(site.Lay([]site.Feature{{Kind: site.LeaveTree, Geometry: at(g, 4.5, 4.5)}}, g))
	for i, in := range got.Setback {
		d := math.Hypot(float64(i%9)-4, float64(i/9)-4)
		assert.Equal(t, d <= 3.048, in, "%g m", d)
	}
	assert.Nil(t, got.Closed)

	coarse := field(t, 3, 3, 30, 0)
	got = must(site.Lay([]site.Feature{{Kind: site.LeaveTree, Geometry: at(coarse, 1.1, 1.1)}}, coarse))
	assert.Equal(t, "\n...\n.#.\n...", drawn(coarse, of(got.Setback)), "a tree never vanishes in a coarse cell")
}

// A stream along the contour of a plane. The width guide's 84 ft at 27% lies along
// the slope; Trimble and Sartz's 79 ft is taken as horizontal.
func TestSetbackThatGrowsWithSlope(t *testing.T) {
	const cell = 0.25
	g := field(t, 160, 8, cell, 0.27)
	stream := orb.LineString{at(g, 10, -50), at(g, 10, 50)}
	for key, wantM := range map[string]float64{
		"filter-strip":    84 * foot / math.Hypot(1, 0.27),
		"trimble-sartz":   (25 + 2*27) * foot,
		"kentucky-for-69": 55 * foot / math.Hypot(1, 0.27),
		"south-carolina":  120 * foot,
	} {
		got := must(site.Lay([]site.Feature{{Kind: site.NoGo, Geometry: stream, Setback: site.Setback{Rule: rule(t, key)}}}, g))
		for i, in := range got.Setback {
			d := (float64(i%160) + 0.5 - 10) * cell
			if near := math.Abs(d); math.Abs(near-wantM) > 0.02 { // 0.02 points of slope make 12 mm
				require.Equal(t, near < wantM, in, "%s, %g m", key, d)
			}
		}
	}
}

// Water that is a void is measured from its bank: level, then 40% up from 5 m.
func TestSetbackFromAVoid(t *testing.T) {
	g := field(t, 80, 3, 1, 0.4)
	for i := range g.Z {
		if i%80 < 10 {
			g.Z[i] = float32(math.NaN())
		}
	}
	stream := orb.LineString{at(g, 5, -5), at(g, 5, 8)}
	got := must(site.Lay([]site.Feature{{Kind: site.NoGo, Geometry: stream, Setback: site.Setback{Rule: rule(t, "trimble-sartz")}}}, g))
	want := (25 + 2*40) * foot // 32 m
	for c := range 80 {
		d := float64(c) + 0.5 - 5
		assert.Equal(t, math.Abs(d) <= want || c < 5, got.Setback[80+c], "%g m", d)
	}
}

func TestDistanceBeyondALine(t *testing.T) {
	g := field(t, 120, 3, 1, 0)
	line := orb.LineString{at(g, 20, -400), at(g, 20, 400)}
	for kV, feet := range map[float64]float64{12.5: 10, 115: 15, 0: 50} {
		got := must(site.Lay([]site.Feature{{Kind: site.OverheadLine, Geometry: line, KV: kV}}, g))
		for c := range 120 {
			d := math.Abs(float64(c) + 0.5 - 20)
			if beyond := d - feet*foot; beyond <= site.LineCareM {
				assert.InDelta(t, beyond, got.BeyondLineM[120+c], 1e-3)
			} else {
				assert.True(t, math.IsInf(float64(got.BeyondLineM[120+c]), 1))
			}
		}
	}
	wide := site.Feature{Kind: site.OverheadLine, Geometry: line, KV: 12.5, Setback: site.Setback{WidthM: 20}}
	got := must(site.Lay([]site.Feature{wide}, g))
	assert.InDelta(t, 0.5-20, got.BeyondLineM[20], 1e-3, "its owner's distance")
	assert.True(t, got.Setback[39])
	assert.False(t, got.Setback[40])
}

func TestAwayFeaturesAreCounted(t *testing.T) {
	g := field(t, 10, 10, 1, 0)
	got := must(site.Lay([]site.Feature{
		{Kind: site.NoGo, Geometry: orb.Point{10, 10}},
		{Kind: site.Road, Geometry: orb.LineString{{-30, 1}, {30, 1}}, Setback: site.Setback{WidthM: 100}},
		{Kind: site.NoGo, Geometry: at(g, 3, 3)},
		{Kind: site.Building, Geometry: at(g, 60, 3)}, // 50 m off, with people in it
		{Kind: site.Building, Geometry: at(g, 210, 3)},
	}, g))
	assert.Equal(t, 3, got.Away)
}
