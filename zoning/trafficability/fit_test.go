package trafficability

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
)

// corridor is level ground closed but for so many columns.
func corridor(t *testing.T, open int, cellM float64) *Ground {
	return level(t, open+20, 40, cellM).closed(func(c, _ int) bool { return c < 10 || c >= 10+open })
}

// A way is wide enough where the machine has a foot to spare on either side. Its middle
// goes from middle to middle of cells, so that a way an even number of cells wide counts
// for one cell less.
func TestWidthOfAWay(t *testing.T) {
	for _, cellM := range []float64{0.5, 1, 1.5, 3} {
		for _, widthM := range []float64{0.9, 1.524, 2.1336, 2.8956, 4} {
			m := zoning.Machine{Key: "a", LimitPct: 30, WidthM: widthM}
			for n := 1; n <= 12; n++ {
				why := find(corridor(t, n, cellM), m).Why[0][20*(n+20):][10 : 10+n]
				lesser := float64(n-1+n%2) * cellM
				want := zoning.Works
				if lesser < widthM+2*foot {
					want = zoning.TooNarrow
				}
				for c, got := range why { // those beside the walls too
					assert.Equal(t, want, got, "%d cells of %g m, %g m wide, column %d", n, cellM, widthM, c)
				}
			}
		}
	}
}

// A way exactly as wide as it must be will do.
func TestWayOfTheVeryWidth(t *testing.T) {
	m := zoning.Machine{Key: "a", LimitPct: 30, WidthM: 5 * foot}
	assert.Equal(t, zoning.Works, find(corridor(t, 7, foot), m).Why[0][20*27+13])
	m.WidthM += 0.001
	assert.Equal(t, zoning.TooNarrow, find(corridor(t, 7, foot), m).Why[0][20*27+13])
}

// One without a width fits anywhere.
func TestNoWidth(t *testing.T) {
	assert.Equal(t, zoning.Works, find(corridor(t, 1, 1), zoning.Machine{Key: "a", LimitPct: 30}).Why[0][20*21+10])
}

// Cause: a step to a corner slipped between two closed cells that touch there, where
// machines are narrower than cells, or have no width.
func TestNoWayThroughADiagonalWall(t *testing.T) {
	const size = 40
	for name, wall := range map[string]func(c, r int) bool{
		"falling": func(c, r int) bool { return c == r },
		"rising":  func(c, r int) bool { return c+r == size-1 },
		"stairs":  func(c, r int) bool { return c == r/2+10 },
	} {
		for _, m := range []zoning.Machine{{Key: "a", LimitPct: 30}, {Key: "b", LimitPct: 30, WidthM: 7 * foot}} {
			g := level(t, size, size, 4).closed(wall).unloads([2]int{2, 20})
			stands := find(g, m).Stands[0]
			require.Greater(t, count(stands), 100)
			for r := range size {
				at := slices.Index(g.Closed[r*size:][:size], true)
				assert.NotContains(t, stands[r*size+at:(r+1)*size], true, "%s, machine %s: beyond the wall in row %d", name, m.Key, r)
			}
		}
	}
}

// A wider machine gets nowhere that a narrower one does not. From there it covers the
// cells up to those beside what stops it; as discs of cells are not made of smaller
// discs, that may gain it a cell in a corner, of which there are few.
func TestAWiderMachineNeverGains(t *testing.T) {
	for seed := range uint64(6) {
		g := made(t, 90, 80, 1, 1, hills(seed, 45, 3))
		rnd := rand.New(rand.NewPCG(seed, 5))
		shut := make([]bool, len(g.Lots))
		for i := range shut {
			shut[i] = rnd.Float64() < 0.01
		}
		g.closed(func(c, r int) bool { return shut[r*90+c] })
		if seed%2 == 0 {
			g.unloads([2]int{45, 40}, [2]int{20, 60}, [2]int{70, 15})
		}
		m := loader
		m.WidthM = 0.5
		before := find(g, m)
		for m.WidthM < 6 {
			m.WidthM += 0.25
			after := find(g, m)
			assert.Zero(t, strays(after.Stands[0], before.Stands[0]), "seed %d, %g m", seed, m.WidthM)
			assert.LessOrEqual(t, strays(after.works(0), before.works(0)), len(g.Lots)/100, "seed %d, %g m", seed, m.WidthM)
			before = after
		}
	}
}
