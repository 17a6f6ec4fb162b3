package site

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
)

// heightsOf is a grid of cells wide by tall whose heights are given.
func heightsOf(t *testing.T, cols, rows int, w, h float64, at func(c, r int) float64) *terrain.Grid {
	t.Helper()
	z := make([]float32, cols*rows)
	for i := range z {
		z[i] = float32(at(i%cols, i/cols))
	}
	g, err := terrain.NewGrid(z, cols, rows, w, h)
	require.NoError(t, err)
	return g
}

func placed(g *terrain.Grid, c, r float64) orb.Point {
	lon, lat := g.Frame.LonLat(c, r)
	return orb.Point{lon, lat}
}

// Between the middles of four cells heights are bilinear, by hand; beyond the window and
// beside a void that counts there is none.
func TestHeightBetweenCells(t *testing.T) {
	g := heightsOf(t, 3, 3, 1, 1, func(c, r int) float64 { return float64(10*c + 100*r + 7*c*r) })
	bilinear := func(x, y float64) float64 {
		c, r := math.Floor(x), math.Floor(y)
		u, v := x-c, y-r
		at := func(c, r float64) float64 { return 10*c + 100*r + 7*c*r }
		return at(c, r)*(1-u)*(1-v) + at(c+1, r)*u*(1-v) + at(c, r+1)*(1-u)*v + at(c+1, r+1)*u*v
	}
	for _, p := range [][2]float64{{0.3, 0.2}, {1.7, 0.9}, {0.5, 1.5}, {1, 1}, {1.25, 1.75}} {
		assert.InDelta(t, bilinear(p[0], p[1]), heightAt(g, orb.Point{p[0] + 0.5, p[1] + 0.5}), 1e-6, "%v", p)
	}
	for p, want := range map[orb.Point]float64{{0, 0}: 0, {3, 0}: 20, {0, 3}: 200, {3, 3}: 248, {0.2, 0.1}: 0, {2.9, 1.5}: 134} {
		assert.InDelta(t, want, heightAt(g, p), 1e-6, "%v: at the edge of the window it is the cell's", p)
	}
	for _, p := range []orb.Point{{-0.001, 1}, {3.001, 1}, {1, -0.001}, {1, 3.001}} {
		assert.True(t, math.IsNaN(heightAt(g, p)), "%v", p)
	}
	g.Z[8] = float32(math.NaN())
	assert.True(t, math.IsNaN(heightAt(g, orb.Point{2.01, 2.01})))
	assert.InDelta(t, 117, heightAt(g, orb.Point{1.5, 1.5}), 1e-6, "on a middle the others do not count")
	assert.InDelta(t, 134, heightAt(g, orb.Point{2.5, 1.5}), 1e-6)
}

// The slope to a cell is its rise from where the feature is over the way, up or down; where
// there is no height, from the first spot on the way that has one.
func TestMeanSlopeOnTheWay(t *testing.T) {
	g := heightsOf(t, 20, 3, 2, 2, func(c, _ int) float64 { return 0.6 * float64(c) }) // 30%
	from, to := orb.Point{2.5, 1.5}, orb.Point{12.5, 1.5}
	assert.InDelta(t, 0.3, meanSlope(g, from, to, 20), 1e-6)
	assert.InDelta(t, 0.3, meanSlope(g, to, from, 20), 1e-6)
	assert.Zero(t, meanSlope(g, from, from, 0))
	// A cliff of 3 m at the tenth column: 0.6·10 + 3 over 20 m.
	for i := range g.Z {
		if i%20 >= 10 {
			g.Z[i] += 3
		}
	}
	assert.InDelta(t, 0.45, meanSlope(g, from, to, 20), 1e-6)
	// The first six columns are void: measured from the middle of the seventh, half a
	// cell either way, 12 m off and 6.6 m below.
	for i := range g.Z {
		if i%20 < 6 {
			g.Z[i] = float32(math.NaN())
		}
	}
	assert.InDelta(t, 6.6/12, meanSlope(g, from, to, 20), 0.03)
	assert.Zero(t, meanSlope(g, from, orb.Point{3.5, 1.5}, 2), "a cell without height")
	assert.InDelta(t, 14.4, reliefM(heightsOf(t, 5, 5, 1, 1, func(c, r int) float64 { return 1.2 * float64(c) * float64(r%4) })), 1e-5)
	nan := math.NaN()
	assert.Zero(t, reliefM(heightsOf(t, 2, 2, 1, 1, func(_, _ int) float64 { return nan })))
	assert.InDelta(t, 5, reliefM(heightsOf(t, 3, 1, 1, 1, func(c, _ int) float64 { return []float64{3, nan, -2}[c] })), 1e-6)
}

// A setback holds to its width and a millimetre, what grows with slope by the slope and a
// tie more; along the ground the same way is longer than on the map.
func TestWhatASetbackHolds(t *testing.T) {
	plain := Setback{WidthM: 10}
	assert.True(t, plain.Holds(10.0009, 3))
	assert.False(t, plain.Holds(10.0011, 3))
	rules := map[string]*Rule{}
	for _, r := range Rules() {
		rules[r.Key] = &r
	}
	const foot = 0.3048
	for _, c := range []struct {
		key           string
		slope, widthM float64 // the horizontal width at that slope
	}{
		{"kentucky-for-69", 0.1, 25 * foot / math.Hypot(1, 0.1)}, {"kentucky-for-69", 0.1499, 55 * foot / math.Hypot(1, 0.1499)}, // a tie of 15%
		{"filter-strip", 0.27, (50 + 2*17.02) * foot / math.Hypot(1, 0.27)}, {"trimble-sartz", 0.4, (25 + 2*40.02) * foot},
		{"south-carolina", 0.049, 40 * foot}, {"south-carolina", 0.0499, 80 * foot},
	} {
		s := Setback{Rule: rules[c.key]}
		assert.True(t, s.Holds(c.widthM-0.0005, c.slope), "%+v", c)
		assert.False(t, s.Holds(c.widthM+0.0015, c.slope), "%+v", c)
	}
	// No ground farther off is in it where heights differ by so much: where a slope of
	// relief over distance just asks for that distance. By hand for 25 ft and 2 ft a
	// percent over 20 m of relief: d² = (7.62 + 0.6096·0.02)·d + 60.96·20.
	b := 25*foot + 0.6096*0.02
	want := (b + math.Sqrt(b*b+4*60.96*20)) / 2
	assert.InDelta(t, want, Setback{Rule: rules["trimble-sartz"]}.reachM(20), 0.003)
	assert.InDelta(t, b, Setback{Rule: rules["trimble-sartz"]}.reachM(0), 0.003)
	assert.InDelta(t, 55*foot, Setback{Rule: rules["kentucky-for-69"]}.reachM(1e4), 0.003)
	assert.InDelta(t, 10.001, plain.reachM(50), 1e-9)
}

// How far a feature says anything: its setback; people's, the thrown-object distance of
// 300 ft; a line's, its clearance and 60 m more.
func TestHowFarAFeatureReaches(t *testing.T) {
	l := &layer{grid: heightsOf(t, 3, 3, 1, 1, func(c, _ int) float64 { return float64(c) }), reliefM: -1}
	for _, c := range []struct {
		f    Feature
		want float64
	}{
		{Feature{Kind: NoGo}, 0}, {Feature{Kind: NoGo, Setback: Setback{WidthM: 20}}, 20.001},
		{Feature{Kind: LeaveTree}, 3.049}, {Feature{Kind: LeaveTree, Setback: Setback{WidthM: 1}}, 1.001},
		{Feature{Kind: Road}, 91.44}, {Feature{Kind: Path, Setback: Setback{WidthM: 100}}, 100.001}, {Feature{Kind: Building, Setback: Setback{WidthM: 20}}, 91.44},
		{Feature{Kind: OverheadLine, KV: 115}, 15*0.3048 + 60}, {Feature{Kind: OverheadLine, KV: 115, Setback: Setback{WidthM: 30}}, 90},
		{Feature{Kind: OverheadLine}, 50*0.3048 + 60},
	} {
		assert.InDelta(t, c.want, l.reachM(c.f), 1e-9, "%+v", c.f)
	}
	assert.Negative(t, l.reliefM, "nobody asked for it")
	l.reachM(Feature{Kind: NoGo, Setback: Setback{Rule: &Rules()[0]}})
	assert.InDelta(t, 2, l.reliefM, 1e-6)
}

// Of two lines the nearer counts, whichever comes first; 60 m beyond a clearance nothing
// is said.
func TestTheNearerOfTwoLinesCounts(t *testing.T) {
	g := heightsOf(t, 200, 1, 1, 1, func(_, _ int) float64 { return 0 })
	west := Feature{Kind: OverheadLine, KV: 7.2, Geometry: placed(g, 10, 0.5)} // 10 ft, 3.048 m
	east := Feature{Kind: OverheadLine, KV: 400, Geometry: placed(g, 60, 0.5)} // 25 ft, 7.62 m
	for _, features := range [][]Feature{{west, east}, {east, west}} {
		got := must(Lay(features, g)).BeyondLineM
		for c := range 200 {
			x := float64(c) + 0.5
			want := min(math.Abs(x-10)-3.048, math.Abs(x-60)-7.62)
			if want > 60 {
				want = math.Inf(1)
			}
			if math.IsInf(want, 1) {
				require.True(t, math.IsInf(float64(got[c]), 1), "%d", c)
			} else {
				require.InDelta(t, want, got[c], 1e-3, "%d", c)
			}
		}
	}
	assert.Nil(t, must(Lay([]Feature{west}, g)).Closed, "it closes nothing")
	assert.Nil(t, must(Lay([]Feature{west}, g)).Setback)
}

// Distances on cells that are not square, in metres; a place is told once.
func TestDistancesOnCellsThatAreNotSquare(t *testing.T) {
	g := heightsOf(t, 60, 80, 3, 0.5, func(_, _ int) float64 { return 0 })
	got := map[int]float64{}
	Near(g, orb.LineString{placed(g, 20, 10), placed(g, 30, 70)}, 25, func(cell int, d float64) { got[cell] = d })
	for cell := range 60 * 80 {
		x, y := 3*(float64(cell%60)+0.5), 0.5*(float64(cell/60)+0.5)
		dx, dy := 30.0, 30.0
		s := min(max(((x-60)*dx+(y-5)*dy)/(dx*dx+dy*dy), 0), 1)
		want := math.Hypot(60+s*dx-x, 5+s*dy-y)
		d, in := got[cell]
		if math.Abs(want-25) > 0.01 {
			require.Equal(t, want < 25, in, "%d: %g m", cell, want)
		}
		if in {
			require.InDelta(t, want, d, 0.005)
		}
	}
	cols, rows := reachCells(g, 30)
	assert.InDelta(t, 1.05*10+1, cols, 1e-6)
	assert.InDelta(t, 1.05*60+1, rows, 1e-6)
}

// 29 CFR 1926.1408 Table A, both ends of each row.
func TestClearanceAtBothEndsOfARow(t *testing.T) {
	for kV, feet := range map[float64]float64{
		0.001: 10, 50: 10, 50.001: 15, 200: 15, 200.001: 20, 350: 20, 350.001: 25, 500: 25, 500.001: 35, 750: 35, 750.001: 45, 1000: 45,
		1000.001: 50, 0: 50, -1: 50,
	} {
		assert.InDelta(t, feet*zoning.MetresPerFoot, ClearanceM(kV), 1e-12, "%g kV", kV)
	}
}

// Any one word of a cover is enough.
func TestACoverSaysAnything(t *testing.T) {
	for _, f := range []Feature{{Class: Open}, {StemM: 0.1}, {TallM: 1}, {StemsPerAcre: 1}} {
		f.Kind = Cover
		assert.NoError(t, f.lacks(), "%+v", f)
	}
	assert.Error(t, Feature{Kind: Cover}.lacks())
	assert.NoError(t, Feature{Kind: OverheadLine, KV: 1000}.lacks())
	assert.Error(t, Feature{Kind: OverheadLine, KV: 1000.1}.lacks())
}
