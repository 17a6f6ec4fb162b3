package flow

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// The grid with which courses on the method of Jenson and Domingue 1988 teach it,
// with the directions and counts published with it (the directions on a page of
// the Hydrology Laboratory of the US National Weather Service; both read in second
// sources). Directions are theirs: 1 is east, and on by powers of two clockwise;
// counts leave out the cell itself.
func TestTheGridThatCoursesWork(t *testing.T) {
	heights := [][]float64{
		{78, 72, 69, 71, 58, 49},
		{74, 67, 56, 49, 46, 50},
		{69, 53, 44, 37, 38, 48},
		{64, 58, 55, 22, 31, 24},
		{68, 61, 47, 21, 16, 19},
		{74, 53, 34, 12, 11, 12},
	}
	directions := [][]int{
		{2, 2, 2, 4, 4, 8},
		{2, 2, 2, 4, 4, 8},
		{1, 1, 2, 4, 8, 4},
		{128, 128, 1, 2, 4, 8},
		{2, 2, 1, 4, 4, 4},
		{1, 1, 1, 1, 4, 16},
	}
	counts := [][]int32{
		{0, 0, 0, 0, 0, 0},
		{0, 1, 1, 2, 2, 0},
		{0, 3, 7, 5, 4, 0},
		{0, 0, 0, 20, 0, 1},
		{0, 0, 0, 1, 24, 0},
		{0, 2, 4, 7, 35, 1},
	}
	// Its edge knows only the cells inside, so here it is walled in but for the
	// outlet that the published direction of its lowest cell points to.
	const n, wall = 6, 999
	r, _, upslope := routed(gridOf(t, n+2, n+2, 1, 1, func(c, r int) float64 {
		switch {
		case c == 5 && r == n+1:
			return 10.9
		case c == 0 || r == 0 || c > n || r > n:
			return wall
		}
		return heights[r-1][c-1]
	}), nil)
	theirs := map[uint8]int{east: 1, southEast: 2, south: 4, southWest: 8, west: 16, northWest: 32, north: 64, northEast: 128}
	for row := range n {
		for col := range n {
			i := (row+1)*(n+2) + col + 1
			assert.Equal(t, directions[row][col], theirs[r.dir[i]], "row %d, column %d", row, col)
			assert.Equal(t, counts[row][col], upslope[i]-1-wallCells(r, i), "row %d, column %d", row, col)
		}
	}
}

// wallCells counts the cells of the wall whose water runs through a cell.
func wallCells(r *routing, cell int) int32 {
	n := int32(0)
	for i := range r.dir {
		if r.z[i] == 999 && runsThrough(r, i, cell) {
			n++
		}
	}
	return n
}

func runsThrough(r *routing, i, cell int) bool {
	for i != cell {
		if r.dir[i] >= ways {
			return false
		}
		i += r.step[r.dir[i]]
	}
	return true
}

// The sample elevations of Jenson and Domingue 1988 (read in a second source).
// Filled by hand: 729 spills over 730 into 728, and 728 over 729 and 733, so six
// cells stand below 733; 724 spills over 725 to the edge.
func TestTheSampleOfJensonAndDomingue(t *testing.T) {
	g := listed(t, [][]float64{
		{778, 765, 750, 740, 747, 759, 765, 766, 769, 776, 786, 795},
		{770, 758, 745, 737, 741, 751, 753, 761, 777, 789, 802, 814},
		{777, 763, 747, 736, 735, 743, 750, 767, 787, 806, 820, 832},
		{786, 767, 750, 737, 729, 739, 752, 769, 785, 797, 808, 822},
		{794, 773, 756, 741, 730, 732, 744, 759, 772, 779, 789, 806},
		{799, 782, 763, 750, 737, 728, 732, 745, 757, 767, 782, 801},
		{802, 788, 771, 761, 751, 736, 729, 738, 751, 764, 779, 798},
		{799, 790, 780, 772, 762, 746, 733, 737, 754, 770, 784, 794},
		{811, 799, 787, 771, 757, 741, 728, 730, 745, 765, 779, 783},
		{823, 807, 790, 774, 762, 748, 733, 724, 733, 750, 764, 763},
		{830, 814, 801, 787, 776, 761, 743, 728, 725, 737, 748, 751},
		{822, 818, 811, 801, 791, 776, 757, 739, 726, 725, 735, 751},
	})
	_, filled, _ := routed(g, nil)
	raised := map[[2]int]float64{}
	for i, z := range filled {
		if z > float64(g.Z[i]) {
			raised[[2]int{i % 12, i / 12}] = z
		}
	}
	assert.Equal(t, map[[2]int]float64{
		{4, 3}: 733, {4, 4}: 733, {5, 4}: 733, {5, 5}: 733, {6, 5}: 733, {6, 6}: 733,
		{7, 9}: 725,
	}, raised)
}

func TestBasinsFillToTheLeastOfTheHighestPointsOfAllWaysOut(t *testing.T) {
	for n, g := range grids(t) {
		_, filled, _ := routed(g, nil)
		for i, want := range relaxed(g) {
			require.Equal(t, want, filled[i], "grid %d, cell %d", n, i)
		}
	}
}

// relaxed fills by the definition: a cell on the rim stands at its own height,
// another at the higher of its own and the lowest of what its neighbours stand at,
// until nothing changes.
func relaxed(g *terrain.Grid) []float64 {
	filled := make([]float64, len(g.Z))
	around := func(i int, see func(j int, there bool)) {
		for dr := -1; dr <= 1; dr++ {
			for dc := -1; dc <= 1; dc++ {
				c, r := i%g.Cols+dc, i/g.Cols+dr
				j := r*g.Cols + c
				there := c >= 0 && r >= 0 && c < g.Cols && r < g.Rows && !math.IsNaN(float64(g.Z[j]))
				see(j, there)
			}
		}
	}
	for i, z := range g.Z {
		rim := false
		around(i, func(_ int, there bool) { rim = rim || !there })
		filled[i] = math.Inf(1)
		if rim {
			filled[i] = float64(z)
		}
	}
	for changed := true; changed; {
		changed = false
		for i, z := range g.Z {
			if filled[i] == float64(z) || z != z {
				continue
			}
			lowest := math.Inf(1)
			around(i, func(j int, there bool) {
				if there && j != i {
					lowest = math.Min(lowest, filled[j])
				}
			})
			if now := math.Max(float64(z), lowest); now < filled[i] {
				filled[i], changed = now, true
			}
		}
	}
	for i, z := range g.Z {
		if z != z {
			filled[i] = math.Inf(-1)
		}
	}
	return filled
}

func TestEveryCellDrainsWithoutRisingAboveWhatItFillsTo(t *testing.T) {
	for n, g := range grids(t) {
		r, filled, _ := routed(g, nil)
		for i := range r.dir {
			if r.z[i] != r.z[i] {
				require.Equal(t, void, r.dir[i])
				continue
			}
			j := i
			for steps := 0; r.dir[j] < ways; steps++ {
				require.LessOrEqual(t, steps, len(r.dir), "grid %d, cell %d turns in a circle", n, i)
				j += r.step[r.dir[j]]
				require.LessOrEqual(t, float64(r.z[j]), filled[i], "grid %d, cell %d", n, i)
			}
			require.Equal(t, out, r.dir[j])
		}
	}
}

func TestNoCellIsLostOrCountedTwice(t *testing.T) {
	for n, g := range grids(t) {
		r, _, upslope := routed(g, nil)
		drained, cells := 0, g.Cols*g.Rows-g.Voids()
		own := make([]int32, len(upslope))
		for i, k := range r.dir {
			switch {
			case k == void:
				require.Zero(t, upslope[i])
				continue
			case k == out:
				drained += int(upslope[i])
			default:
				own[i+r.step[k]] += upslope[i]
			}
			own[i]++
		}
		require.Equal(t, cells, drained, "grid %d", n)
		require.Equal(t, own, upslope, "grid %d", n)
	}
}

// Where all heights differ there is no tie, so a grid turned or mirrored drains
// as it did.
func TestTurnedAndMirroredGroundDrainsTheSame(t *testing.T) {
	const n = 41
	for seed := range uint64(6) {
		g := noise(t, seed, n, n, 0.03, 0)
		_, _, want := routed(g, nil)
		for turn := range 8 {
			at := func(c, r int) int {
				if turn&1 != 0 {
					c = n - 1 - c
				}
				if turn&2 != 0 {
					r = n - 1 - r
				}
				if turn&4 != 0 {
					c, r = r, c
				}
				return r*n + c
			}
			_, _, got := routed(gridOf(t, n, n, 1, 1, func(c, r int) float64 { return float64(g.Z[at(c, r)]) }), nil)
			for i := range got {
				require.Equal(t, want[at(i%n, i/n)], got[i], "seed %d, turn %d, cell %d", seed, turn, i)
			}
		}
	}
}
