package trafficability

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
)

// More places to unload never shrink what is reached.
func TestMoreStagingNeverShrinksAccess(t *testing.T) {
	m := zoning.Machine{Key: "a", LimitPct: 25, CrossPct: 15, WidthM: 1}
	for seed := range uint64(4) {
		g := made(t, 80, 70, 1, 1, hills(seed, 40, 2)).closed(func(c, r int) bool { return c%27 == 26 || r == 35 })
		rnd := rand.New(rand.NewPCG(seed, 6))
		var at [][2]int
		before := make([]bool, len(g.Lots))
		gained := 0
		for range 12 {
			at = append(at, [2]int{rnd.IntN(80), rnd.IntN(70)})
			w := find(g.unloads(at...), m)
			assert.Zero(t, strays(before, w.works(0)))
			if after := w.works(0); count(after) > count(before) {
				before, gained = after, gained+1
			}
		}
		assert.Greater(t, gained, 1, "seed %d", seed)
		free := *g
		free.Staging = nil
		assert.Zero(t, strays(before, find(&free, m).works(0)), "nor is more reached than without staging")
	}
}

// By hand: a wall from side to side parts the ground.
func TestNoWayIn(t *testing.T) {
	wall := func(_, r int) bool { return r == 30 }
	g := level(t, 40, 60, 1).closed(wall).unloads([2]int{20, 10})
	w := find(g, loader)
	for r, why := range w.reasons(g, 0, 20) {
		want := zoning.Works
		if r == 30 {
			want = zoning.Closed
		}
		if r > 30 {
			want = zoning.NoWayIn
		}
		assert.Equal(t, want, why, "row %d", r)
	}
	require.Len(t, w.Pockets[0], 1, "what is cut off")
	assert.InDelta(t, (40-2)*(29-2)/terrain.SquareMetresPerAcre, w.Pockets[0][0].Acres, 1e-9)
	assert.Equal(t, []int{0}, w.Unloads[0])
	assert.Empty(t, w.Idle[0])

	g.Staging = nil
	w = find(g, loader)
	assert.NotContains(t, w.Why[0], zoning.NoWayIn, "not asked for")
	require.Len(t, w.Pockets[0], 2)
	// Middles keep 7 ft / 2 + 1 ft + half a cell = 1.87 m from the middles of cells beyond:
	// two cells off each side.
	clear := func(rows float64) float64 { return (40 - 2) * (rows - 2) / terrain.SquareMetresPerAcre }
	assert.InDelta(t, clear(30), w.Pockets[0][0].Acres, 1e-9)
	assert.InDelta(t, clear(29), w.Pockets[0][1].Acres, 1e-9)
	assert.Equal(t, 1*40+1, w.Pockets[0][0].Cell)
}

// Staging on ground that a machine cannot be on, or off the cells, lets none off.
func TestIdleStaging(t *testing.T) {
	g := level(t, 40, 60, 1).closed(func(_, r int) bool { return r == 30 }).unloads([2]int{20, 30}, [2]int{20, 10})
	assert.Equal(t, []int{0}, find(g, loader).Idle[0])
	g.Staging = [][]int{{}}
	w := find(g, loader)
	assert.Equal(t, []int{0}, w.Idle[0])
	assert.Zero(t, count(w.Stands[0]))
	assert.Equal(t, zoning.NoWayIn, w.Why[0][10*40+20])
	g.Staging = [][]int{}
	assert.Equal(t, zoning.NoWayIn, find(g, loader).Why[0][10*40+20], "asked for, and none there")
}

// By hand: on a side slope of 36% a machine with 15% across goes straight up and down
// only, off by no more than asin(15/36) = 24.6°. West of the middle it comes to the slope
// from the bench above, east of it from the one below, and from one half to the other
// across only.
func TestOnlyAcross(t *testing.T) {
	g := made(t, 60, 60, 1, 1, profile([2]float64{10, 0}, [2]float64{50, 0.36}, [2]float64{60, 0}))
	g.closed(func(c, r int) bool { return c < 30 && r >= 40 || c >= 30 && r < 20 }).unloads([2]int{5, 5})
	m := zoning.Machine{Key: "a", LimitPct: 40, CrossPct: 15}
	w := find(g, m)
	for at, want := range map[[2]int]zoning.Why{
		{10, 5}: zoning.Works, {29, 38}: zoning.Works, {29, 45}: zoning.Closed,
		{30, 30}: zoning.OnlyAcross, {50, 38}: zoning.OnlyAcross, {50, 55}: zoning.OnlyAcross,
	} {
		assert.Equal(t, want.String(), w.Why[0][at[1]*60+at[0]].String(), "%v", at)
	}
	m.CrossPct = 0
	assert.Equal(t, zoning.Works, find(g, m).Why[0][55*60+50], "held to nothing across")
	m.CrossPct = 15
	g.closed(func(c, r int) bool { return c < 30 && r >= 40 || c >= 30 && r < 20 || c == 30 })
	assert.Equal(t, zoning.NoWayIn, find(g, m).Why[0][55*60+50], "nor across")
}

// By hand: streams one cell wide from north to south, between staging in the west and
// the east.
func TestCrossings(t *testing.T) {
	const cols, rows = 60, 40
	stream := func(at ...int) func(c, r int) bool {
		return func(c, _ int) bool { return c == at[0] || c == at[len(at)-1] }
	}
	for _, c := range []struct {
		words string
		wet   func(c, r int) bool
		want  uint8
	}{
		{"none", func(_, _ int) bool { return false }, 0},
		{"one", stream(30), 1},
		{"two", stream(25, 35), 2},
		{"two side by side", stream(30, 31), 1},
		{"a way round", func(c, r int) bool { return c == 30 && r > 8 }, 0},
		{"one of two has a way round", func(c, r int) bool { return c == 25 && r > 8 || c == 35 }, 1},
		{"slanting, joined at corners", func(c, r int) bool { return c == 10+r }, 1},
		{"slanting by two", func(c, r int) bool { return c/2 == 10+r/2 && c%2 == r%2 || c/2 == 10+r/2 && c%2 == 0 }, 1},
	} {
		for _, m := range []zoning.Machine{loader, {Key: "a", LimitPct: 30}} {
			g := level(t, cols, rows, 1).unloads([2]int{3, 30})
			g.waterLines(c.wet)
			w := find(g, m)
			assert.Equal(t, c.want, w.Crossings[0][20*cols+56], "%s, machine %s", c.words, m.Key)
			assert.Equal(t, uint8(0), w.Crossings[0][30*cols+3], "where it begins")
			assert.NotContains(t, w.Why[0], zoning.NoWayIn, "water lines are crossed")
		}
	}
}

// The crossings counted are the fewest of all ways: gonum's shortest paths, where a move
// that enters a water line costs one.
func TestFewestCrossingsAgainstShortestPaths(t *testing.T) {
	g := level(t, 40, 30, 1).unloads([2]int{2, 2})
	rnd := rand.New(rand.NewPCG(3, 3))
	var lines [6][30]int // columns
	for n := range lines {
		c := rnd.IntN(40)
		for r := range lines[n] {
			lines[n][r] = c
			c = min(max(c+rnd.IntN(3)-1, 0), 39)
		}
	}
	g.waterLines(func(c, r int) bool {
		return slices.ContainsFunc(lines[:], func(line [30]int) bool { return line[r] == c })
	})
	m := zoning.Machine{Key: "a", LimitPct: 30}
	want := newReference(g, m, true).crossings()
	got := find(g, m).Crossings[0]
	most := 0.0
	for i := range want {
		assert.Equal(t, want[i], float64(got[i]), "cell %d", i)
		most = max(most, want[i])
	}
	require.Greater(t, most, 1.0)
}
