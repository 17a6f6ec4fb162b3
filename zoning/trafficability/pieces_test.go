package trafficability

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning"
)

// ones marks cells at random, each with a probability.
func ones(seed uint64, n int, p float64) []bool {
	rnd := rand.New(rand.NewPCG(seed, uint64(n)))
	out := make([]bool, n)
	for i := range out {
		out[i] = rnd.Float64() < p
	}
	return out
}

// A set reaches one cell on to all sides, and not around the end of a row.
func TestACellTouchesItsEightNeighbors(t *testing.T) {
	for _, cols := range []int{3, 64, 66} {
		l := &lie{cols: cols, rows: 5}
		for _, at := range [][2]int{{0, 0}, {cols - 1, 0}, {0, 4}, {cols - 1, 4}, {1, 2}, {cols / 2, 3}} {
			s := l.noCells()
			s.add(at[1]*cols + at[0])
			for i := range cols * 5 {
				c, r := i%cols, i/cols
				assert.Equal(t, max(c-at[0], at[0]-c, r-at[1], at[1]-r) <= 1, l.touches(s, c, r), "%v of %d: %d, %d", at, cols, c, r)
			}
		}
	}
}

// What all machines are kept from is no-go, what was not measured is unknown, each with what
// machines may work there for all that.
func TestMasksOfSets(t *testing.T) {
	l := &lie{cols: 70, rows: 2}
	closed := make([]zoning.Why, 140)
	closed[3], closed[68], closed[70], closed[139] = zoning.Closed, zoning.NotMeasured, zoning.InSetback, zoning.NotMeasured
	works := []cellSet{l.noCells(), l.noCells(), l.noCells()}
	for k, cells := range [][]int{{0, 65, 139}, {}, {65, 66, 70}} {
		for _, i := range cells {
			works[k].add(i)
		}
	}
	want := make([]zoning.Mask, 140)
	want[0], want[65], want[66] = 1, 1|4, 4
	want[3], want[68], want[70], want[139] = zoning.NoGo, zoning.Unknown, zoning.NoGo|4, zoning.Unknown|1
	assert.Equal(t, want, gathered(works, closed, l, nil))
}
