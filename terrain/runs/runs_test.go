package runs

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// Pieces are what hangs together by sides, or by corners too, as a flood from cell to cell finds, in
// the order of their first cells.
func TestPiecesAreWhatAFloodFinds(t *testing.T) {
	rnd := rand.New(rand.NewPCG(9, 4))
	for n := range 600 {
		cols, rows, corners, share := 1+rnd.IntN(14), 1+rnd.IntN(14), n%2 == 1, rnd.Float64()
		in := make([]bool, cols*rows)
		for i := range in {
			in[i] = rnd.Float64() < share
		}
		want := flooded(in, cols, corners)
		is := func(i int) bool { return in[i] }
		p := Join(cols, rows, corners, func(r int, visit func(from, to int)) { InRow(cols, r, is, visit) })
		list := Of(cols, rows, is)
		require.Equal(t, append([]Run{}, p.Runs...), list)
		require.NoError(t, Check(list, cols, rows))
		for i := range in {
			require.Equal(t, in[i], Has(list, i), "cell %d of %v", i, list)
		}
		require.Equal(t, p, Join(cols, rows, corners, Rows(list, cols)), "the same of a list")
		var got [][]int
		p.Each(func(piece []Run) { got = append(got, cellsOf(piece)) })
		require.Equal(t, want, got, "%d columns, corners %t: %v", cols, corners, in)

		sizes := p.Sizes(func(r Run) int { return r.To - r.From })
		for n, r := range p.Runs {
			k := slices.IndexFunc(want, func(piece []int) bool { return slices.Contains(piece, r.From) })
			require.Equal(t, want[k][0], p.Runs[p.First(n)].From)
			require.Equal(t, len(want[k]), sizes[n])
		}
	}
}

func cellsOf(piece []Run) (cells []int) {
	for _, r := range piece {
		for i := r.From; i < r.To; i++ {
			cells = append(cells, i)
		}
	}
	return cells
}

// flooded are the pieces of cells that are in, from cell to cell.
func flooded(in []bool, cols int, corners bool) (pieces [][]int) {
	seen := make([]bool, len(in))
	for first := range in {
		if seen[first] || !in[first] {
			continue
		}
		seen[first] = true
		cells := []int{first}
		for n := 0; n < len(cells); n++ {
			for i := range 9 {
				u, v := i%3-1, i/3-1
				c, r := cells[n]%cols+u, cells[n]/cols+v
				if u != 0 && v != 0 && !corners || c < 0 || c >= cols || r < 0 || r*cols >= len(in) {
					continue
				}
				if j := r*cols + c; in[j] && !seen[j] {
					seen[j] = true
					cells = append(cells, j)
				}
			}
		}
		slices.Sort(cells)
		pieces = append(pieces, cells)
	}
	return pieces
}

// Runs off a window, over the end of a row or out of order are refused.
func TestListsThatAreNoRunsOfAWindow(t *testing.T) {
	for _, list := range [][]Run{{{-1, 1}}, {{2, 2}}, {{2, 1}}, {{4, 6}}, {{14, 16}}, {{0, 2}, {1, 3}}, {{7, 8}, {0, 1}}} {
		require.ErrorContains(t, Check(list, 5, 3), "those of 5 × 3 cells lie in rows", list)
	}
	for _, list := range [][]Run{nil, {}, {{0, 5}, {5, 10}, {10, 15}}, {{0, 2}, {2, 3}}, {{14, 15}}} {
		require.NoError(t, Check(list, 5, 3), list)
	}
}
