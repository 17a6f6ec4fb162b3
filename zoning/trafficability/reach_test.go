package trafficability

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
)

// expect compares the reasons down a column with what was found by hand, as rows from
// which a reason holds. Rows at the window's ends are left out.
func expect(t *testing.T, got []zoning.Why, from map[int]zoning.Why, words string) {
	t.Helper()
	want := zoning.Works
	for r, why := range got[:len(got)-3] {
		if next, ok := from[r]; ok {
			want = next
		}
		if r >= 3 {
			assert.Equal(t, want.String(), why.String(), "%s: row %d", words, r)
		}
	}
}

// By hand: level ground up to 30 m, a face of 80% that is 10 ft high, level ground. From
// below, the middle of the machine comes no nearer to the foot, where cells are too
// steep from row 30 on, than 9 ft / 2 + 1 ft + half a cell = 2.18 m: to row 27. From there
// 20 ft = 6.10 m, height counted, end between row 32 (5 m on, 2 m up: 5.4 m) and row 33
// (6 m on, 2.8 m up: 6.6 m).
func TestReachUpABank(t *testing.T) {
	bank := func(rise float64) *Ground {
		return made(t, 30, 60, 1, 1, func(_, y float64) float64 { return min(max(y-30, 0)*rise, 10*foot) }).unloads([2]int{15, 10})
	}
	g := bank(0.8)
	expect(t, find(g, boom).reasons(g, 0, 15), map[int]zoning.Why{33: zoning.TooSteep, 34: zoning.NoWayIn}, "80%")
	low := boom
	low.ReachUpPct = 75
	got := find(g, low).reasons(g, 0, 15)
	assert.Equal(t, zoning.Works, got[30], "the foot, of 60% over two cells")
	assert.Equal(t, zoning.TooSteep, got[31], "a face above its limit")
	short := boom
	short.ReachM = 4.5 // rows 31 (4 m on, 1.2 m up: 4.2 m) and 32
	expect(t, find(g, short).reasons(g, 0, 15), map[int]zoning.Why{32: zoning.TooSteep, 34: zoning.NoWayIn}, "4.5 m")
}

// By hand: level ground up to 30 m, from there a face of 60% down that is 10 ft high. It
// falls by 35% or more from row 30 on: that row is the edge, and the machine keeps its
// footprint of 12 ft = 3.66 m from it, the drop being less high. So it stands in row 26
// and those before, and works rows 27 to 29 from there; row 31 is 5 m on and 0.9 m down
// (5.1 m), row 32 6 m and 1.5 m (6.2 m).
func TestReachDownABank(t *testing.T) {
	bank := func(rise, heightM float64) *Ground {
		return made(t, 30, 80, 1, 1, func(_, y float64) float64 { return -min(max(y-30, 0)*rise, heightM) }).unloads([2]int{15, 10})
	}
	g := bank(0.6, 10*foot)
	expect(t, find(g, boom).reasons(g, 0, 15), map[int]zoning.Why{32: zoning.TooSteep, 35: zoning.NoWayIn}, "60%")
	low := boom
	low.ReachDownPct = 50
	assert.Equal(t, zoning.TooSteep, find(g, low).reasons(g, 0, 15)[31], "a face above its limit")

	// The same face 20 ft high falls by 5.7 m from row 30 on, to where less than 35% is
	// left: the machine stands in row 24, 6 m away, and reaches row 30, but not row 31
	// (7 m).
	g = bank(0.6, 20*foot)
	got := find(g, boom).reasons(g, 0, 15)
	expect(t, got[:38], map[int]zoning.Why{31: zoning.TooSteep}, "20 ft high")
}

// By hand: no-go in rows 30 and 31. The middle of the machine comes to row 27 and the
// boom, 20 ft = 6.10 m long, to row 33.
func TestReachBeyondADitch(t *testing.T) {
	g := level(t, 30, 60, 1).unloads([2]int{15, 10}).closed(func(_, r int) bool { return r == 30 || r == 31 })
	expect(t, find(g, boom).reasons(g, 0, 15), map[int]zoning.Why{30: zoning.Closed, 32: zoning.Works, 34: zoning.NoWayIn}, "ditch")
	expect(t, find(g, loader).reasons(g, 0, 15), map[int]zoning.Why{30: zoning.Closed, 32: zoning.NoWayIn}, "no boom")
}

// Where it may drive but not swing, it works only what it reaches from where it may.
func TestDrivesWhereItDoesNotSwing(t *testing.T) {
	g := made(t, 40, 90, 1, 1, profile([2]float64{40, 0.05}, [2]float64{90, 0.30}))
	got := find(g, boom).reasons(g, 0, 20)
	assert.Equal(t, zoning.Works, got[42])
	assert.Equal(t, zoning.OutOfReach, got[55], "30% is below 35% to drive and above 25% to swing")
}

// Every cell is worked that some place reaches, and no other: all pairs of cells are
// looked at. Places are cells that the machine gets to, within its standing limits, and
// off the upper side of falls above its driving limit.
func TestReachAgainstAllPairs(t *testing.T) {
	for seed := range uint64(3) {
		g := made(t, 50, 40, 1, 1, hills(seed, 60, 4))
		g.closed(func(c, r int) bool { return (c/7+r/5)%9 == 0 })
		w := find(g, boom)
		z := func(i int) float64 { return float64(g.Grid.Z[i]) }
		far := func(i, j int) float64 { return math.Hypot(float64(i%50-j%50), float64(i/50-j/50)) }
		places := make([]bool, len(g.Lots))
		standing := zoning.Limits{AlongPct: 25, CrossPct: 10}
		l := lieOf(g.Grid)
		for i, stands := range w.Stands[0] {
			s := math.Sqrt(float64(g.Field.Squared[i]))
			places[i] = stands && s < standing.AlongPct/100-zoning.TieRise && l.headings(g.Field.Squared[i], g.Field.Aspect[i], riseSquared(standing.CrossPct)) != 0
		}
		edges := edgesByDefinition(g, 0.35)
		require.NotEmpty(t, edges)
		for e, dropM := range edges {
			for i := range places {
				if far(i, e) < max(12*foot, dropM)-1e-9 && z(i) > z(e)-dropM/2 {
					places[i] = false
				}
			}
		}
		worked := 0
		for i, why := range w.Why[0] {
			s := math.Sqrt(float64(g.Field.Squared[i]))
			want := places[i]
			for j := 0; j < len(places) && !want && !g.Closed[i]; j++ {
				if !places[j] {
					continue
				}
				run, h := far(i, j), z(i)-z(j)
				face := 1.0 // up
				if h < 0 {
					face = 0.65
				}
				face -= zoning.TieRise
				want = s < face && math.Abs(h) <= face*run && math.Hypot(run, h) <= 20*foot
			}
			assert.Equal(t, want, why == zoning.Works, "seed %d: cell %d, slope %g: %s", seed, i, s, why.String())
			if want && !places[i] {
				worked++
			}
		}
		require.Greater(t, worked, 50, "from elsewhere")
	}
}

// edgesByDefinition are upper edges of falls by rise over run or more from cell to cell,
// 3 ft or more in all, with how high they are.
func edgesByDefinition(g *Ground, rise float64) map[int]float64 {
	out := map[int]float64{}
	each := func(i int, visit func(j int, rise float64)) {
		for j := range g.Lots {
			if u, v := j%g.Grid.Cols-i%g.Grid.Cols, j/g.Grid.Cols-i/g.Grid.Cols; max(u, -u, v, -v) == 1 {
				visit(j, float64(g.Grid.Z[j]-g.Grid.Z[i])/math.Hypot(float64(u), float64(v)))
			}
		}
	}
	for i := range g.Lots {
		at, upper := i, true
		each(i, func(_ int, up float64) { upper = upper && up < rise })
		for falls := upper; falls; {
			least, next := -rise, -1
			each(at, func(j int, up float64) {
				if up <= least && (next < 0 || up < least) {
					least, next = up, j
				}
			})
			if falls = next >= 0; falls {
				at = next
			}
		}
		if d := float64(g.Grid.Z[i] - g.Grid.Z[at]); d >= 3*foot {
			out[i] = d
		}
	}
	return out
}
