package trafficability

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain/bank"
)

// A way from cell to cell keeps to the straight line, halves away from where it came, and takes
// the cell beside it where it turns a corner.
func TestTheCellsOfAStraightWay(t *testing.T) {
	const cols = 9
	for _, way := range [][][2]int{
		{{4, 4}},
		{{2, 2}, {3, 2}, {4, 2}, {4, 3}, {5, 3}},
		{{5, 5}, {4, 5}, {3, 5}, {3, 4}, {2, 4}},
		{{2, 5}, {3, 5}, {4, 5}, {4, 4}, {5, 4}},
		{{2, 2}, {2, 3}, {3, 3}, {3, 4}, {3, 5}},
		{{5, 5}, {5, 4}, {4, 4}, {4, 3}, {4, 2}},
		{{0, 0}, {1, 0}, {1, 1}, {2, 1}},
		{{5, 5}, {4, 5}, {4, 4}, {3, 4}},
		{{1, 1}, {2, 1}, {2, 2}, {3, 2}, {3, 3}},
		{{1, 6}, {2, 6}, {3, 6}, {4, 6}},
		{{8, 3}, {8, 2}, {8, 1}},
	} {
		var want, got []int
		for _, c := range way {
			want = append(want, c[1]*cols+c[0])
		}
		eachBetween(cols, want[0], want[len(want)-1], func(cell int) { got = append(got, cell) })
		assert.Equal(t, want, got, "%v", way)
	}
	for _, c := range [][3]int{{0, 3, 0}, {1, 3, 0}, {2, 3, 1}, {3, 3, 1}, {1, 2, 1}, {3, 2, 2}, {5, 4, 1}, {6, 4, 2}, {7, 5, 1}, {8, 5, 2}, {-1, 3, 0}, {-2, 3, -1}, {-1, 2, -1}, {-7, 5, -1}} {
		assert.Equal(t, c[2], divided(c[0], c[1]), "%d / %d", c[0], c[1])
	}
}

// A bank closes its face to the machines whose step it exceeds; of two on a cell the higher counts.
func TestTheHigherOfTwoBanks(t *testing.T) {
	g := level(t, 9, 9, 2).Grid
	steps := StepsOf(g, []bank.Bank{
		{Upper: 2, Cell: 3, Foot: 5, HeightM: 0.75}, {Upper: 2, Cell: 11, Foot: 20, HeightM: 0.5}, {Upper: 20, Cell: 20, Foot: 21, HeightM: 1.5},
		{Upper: 60, Cell: 61, Foot: 62, HeightM: 9, Hidden: true},
	})
	want := make([]float32, 81)
	want[2], want[3], want[4], want[5], want[11], want[20], want[21] = 0.75, 0.75, 0.75, 0.75, 0.5, 1.5, 1.5
	assert.Equal(t, want, steps)
}

// An edge beside a bank's upper cell has half of the bank's range, or of the widest of several, to
// either side, and stands for it; another bank that may be 3 ft high is an edge of its own, the
// higher of two at a cell.
func TestTheRangesOfEdges(t *testing.T) {
	g := level(t, 20, 20, 2).Grid
	far := Edge{Cell: 390, Foot: 391, DropM: 3} // of no bank
	for name, c := range map[string]struct {
		edges []Edge
		banks []bank.Bank
		want  []Edge
	}{
		"beside it": {
			[]Edge{{Cell: 105, Foot: 125, DropM: 2}}, []bank.Bank{{Upper: 126, HeightM: 1.25, LowM: 1, HighM: 1.5}},
			[]Edge{{Cell: 105, Foot: 125, DropM: 2, LowM: 1.75, HighM: 2.25}},
		},
		"on the other side": {
			[]Edge{{Cell: 105, Foot: 125, DropM: 2}}, []bank.Bank{{Upper: 84, HeightM: 1.25, LowM: 1, HighM: 1.5}},
			[]Edge{{Cell: 105, Foot: 125, DropM: 2, LowM: 1.75, HighM: 2.25}},
		},
		"the widest": {
			[]Edge{{Cell: 105, DropM: 2}}, []bank.Bank{{Upper: 105, HeightM: 1.25, LowM: 1, HighM: 1.5}, {Upper: 104, HeightM: 1.25, LowM: 0.5, HighM: 1.5}, {Upper: 106, HeightM: 1, LowM: 1, HighM: 1.25}},
			[]Edge{{Cell: 105, DropM: 2, LowM: 1.5, HighM: 2.5}},
		},
		"wider than high": {
			[]Edge{{Cell: 105, DropM: 1}}, []bank.Bank{{Upper: 105, HeightM: 1, LowM: 0, HighM: 2.5}},
			[]Edge{{Cell: 105, DropM: 1, LowM: 0, HighM: 2.25}},
		},
		"two cells off": {
			[]Edge{{Cell: 105, DropM: 2}}, []bank.Bank{{Upper: 107, Foot: 109, HeightM: 1, LowM: 0.75, HighM: 1.5}},
			[]Edge{{Cell: 105, DropM: 2}, {Cell: 107, Foot: 109, DropM: 1, LowM: 0.75, HighM: 1.5}},
		},
		"two rows off": {
			[]Edge{{Cell: 105, DropM: 2}}, []bank.Bank{{Upper: 65, Foot: 66, HeightM: 1, LowM: 0.75, HighM: 1.5}},
			[]Edge{{Cell: 65, Foot: 66, DropM: 1, LowM: 0.75, HighM: 1.5}, {Cell: 105, DropM: 2}},
		},
		// Cells follow each other from the end of a row to the beginning of the next: an edge there was taken for the bank's own, which was lost.
		"at the other end of rows": {
			[]Edge{{Cell: 120, DropM: 2}}, []bank.Bank{{Upper: 119, Foot: 118, HeightM: 1, LowM: 0.75, HighM: 1.5}},
			[]Edge{{Cell: 119, Foot: 118, DropM: 1, LowM: 0.75, HighM: 1.5}, {Cell: 120, DropM: 2}},
		},
		"3 ft at most":   {nil, []bank.Bank{{Upper: 107, HeightM: 0.5, HighM: leastDropM}}, []Edge{{Cell: 107, DropM: 0.5, HighM: leastDropM}}},
		"less than that": {nil, []bank.Bank{{Upper: 107, HeightM: 0.5, HighM: 0.914}}, nil},
		"the higher, first": {
			nil, []bank.Bank{{Upper: 107, Foot: 108, HeightM: 2, HighM: 2.5}, {Upper: 107, Foot: 109, HeightM: 1.5, HighM: 3}},
			[]Edge{{Cell: 107, Foot: 108, DropM: 2, HighM: 2.5}},
		},
		"the higher, last": {
			nil, []bank.Bank{{Upper: 50, Foot: 51, HeightM: 2, HighM: 2}, {Upper: 107, Foot: 108, HeightM: 1, HighM: 2.5}, {Upper: 107, Foot: 109, HeightM: 1.5, HighM: 3}},
			[]Edge{{Cell: 50, Foot: 51, DropM: 2, HighM: 2}, {Cell: 107, Foot: 109, DropM: 1.5, HighM: 3}},
		},
		"of two alike the first": {
			nil, []bank.Bank{{Upper: 107, Foot: 108, HeightM: 1.5, HighM: 2.5}, {Upper: 107, Foot: 109, HeightM: 1.5, HighM: 3}},
			[]Edge{{Cell: 107, Foot: 108, DropM: 1.5, HighM: 2.5}},
		},
		"a ditch": {
			[]Edge{{Cell: 105, DropM: 2}}, []bank.Bank{{Kind: bank.Ditch, Upper: 104, Cell: 107, Foot: 110, HeightM: 1, LowM: 0.75, HighM: 1.25}},
			[]Edge{{Cell: 105, DropM: 2, LowM: 1.75, HighM: 2.25}, {Cell: 110, Foot: 107, DropM: 1, LowM: 0.75, HighM: 1.25}},
		},
		"hidden": {nil, []bank.Bank{{Upper: 107, HeightM: 2, HighM: 3, Hidden: true}}, nil},
	} {
		assert.Equal(t, append(c.want, far), withBanks(g, append([]Edge{far}, c.edges...), c.banks), name)
	}
}
