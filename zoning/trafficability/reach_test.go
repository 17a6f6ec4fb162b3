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
// (6 m on, 2.8 m up: 6.6 m). Above, slope passes 35% at 33.94 m, and 12 ft = 3.66 m from
// there, rows 34 to 37, are kept from.
func TestReachUpABank(t *testing.T) {
	bank := func(rise float64) *Ground {
		return made(t, 30, 60, 1, 1, func(_, y float64) float64 { return min(max(y-30, 0)*rise, 10*foot) }).unloads([2]int{15, 10})
	}
	g := bank(0.8)
	expect(t, find(g, boom).reasons(g, 0, 15), map[int]zoning.Why{33: zoning.TooSteep, 34: zoning.NearCrest, 38: zoning.NoWayIn}, "80%")
	low := boom
	low.ReachUpPct = 75
	got := find(g, low).reasons(g, 0, 15)
	assert.Equal(t, zoning.Works, got[30], "the foot, of 60% over two cells")
	assert.Equal(t, zoning.TooSteep, got[31], "a face above its limit")
	short := boom
	short.ReachM = 4.5 // rows 31 (4 m on, 1.2 m up: 4.2 m) and 32
	expect(t, find(g, short).reasons(g, 0, 15), map[int]zoning.Why{32: zoning.TooSteep, 34: zoning.NearCrest, 38: zoning.NoWayIn}, "4.5 m")
}

// By hand: level ground up to 30 m, from there a face of 60% down that is 10 ft high. Slope
// is 15% in row 29 and 45% in row 30, so that the crest, 35%, lies at 30.17 m, and the middle
// of the machine keeps its footprint of 12 ft = 3.66 m from it. So it stands in row 26 and
// those before, and works rows 27 to 29 from there; row 31 is 5 m on and 0.9 m down (5.1 m),
// row 32 6 m and 1.5 m (6.2 m).
func TestReachDownABank(t *testing.T) {
	bank := func(rise, heightM float64) *Ground {
		return made(t, 30, 80, 1, 1, func(_, y float64) float64 { return -min(max(y-30, 0)*rise, heightM) }).unloads([2]int{15, 10})
	}
	g := bank(0.6, 10*foot)
	expect(t, find(g, boom).reasons(g, 0, 15), map[int]zoning.Why{32: zoning.TooSteep, 35: zoning.NoWayIn}, "60%")
	low := boom
	low.ReachDownPct = 50
	assert.Equal(t, zoning.TooSteep, find(g, low).reasons(g, 0, 15)[31], "a face above its limit")

	// A face that stands by itself is kept back from no farther for being higher.
	g = bank(0.6, 20*foot)
	expect(t, find(g, boom).reasons(g, 0, 15)[:38], map[int]zoning.Why{32: zoning.TooSteep}, "20 ft high")
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
// looked at. Places are cells that the machine gets to, with the ground all round its middle
// within its standing limits on one heading.
func TestReachAgainstAllPairs(t *testing.T) {
	for seed := range uint64(3) {
		g := made(t, 50, 40, 1, 1, hills(seed, 60, 4))
		g.closed(func(c, r int) bool { return (c/7+r/5)%9 == 0 })
		m := boom
		m.EdgePct, m.CrestM = zoning.MaxLimitPct, noCrest // rules of their own
		w := find(g, m)
		z := func(i int) float64 { return float64(g.Grid.Z[i]) }
		far := func(i, j int) float64 { return math.Hypot(float64(i%50-j%50), float64(i/50-j/50)) }
		places := make([]bool, len(g.Lots))
		standing := zoning.Limits{AlongPct: 25, CrossPct: 10}
		l := lieOf(g.Grid)
		turnM := math.Hypot(9*foot, 12*foot)/2 + 0.5
		for i, stands := range w.Stands[0] {
			heads := uint8(math.MaxUint8)
			for j := range g.Lots {
				if far(i, j) >= turnM {
					continue
				}
				s := math.Sqrt(float64(g.Field.Squared[j]))
				if g.Closed[j] || !(s < standing.AlongPct/100-zoning.TieRise) {
					heads = 0
				}
				heads &= l.headings(g.Field.Squared[j], g.Field.Aspect[j], riseSquared(standing.CrossPct))
			}
			inside := float64(min(i%50, 49-i%50, i/50, 39-i/50))+1 >= turnM
			places[i] = stands && heads != 0 && inside
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
