package mapping

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Pieces are those that flooding from cell to cell finds, in the order of their first cells, and
// their rims the steps from each of their cells to one beside it that is not in.
func TestPiecesAgainstFlooding(t *testing.T) {
	random := rand.New(rand.NewPCG(9, 4))
	for range 400 {
		cols, rows, share := 1+random.IntN(12), 1+random.IntN(12), random.Float64()
		is := make([]bool, cols*rows)
		for i := range is {
			is[i] = random.Float64() < share
		}
		var want, got [][]int
		var wantRims, gotRims [][][2]int
		for first, seen := 0, make([]bool, len(is)); first < len(is); first++ {
			if seen[first] || !is[first] {
				continue
			}
			seen[first] = true
			cells, rim := []int{first}, [][2]int(nil)
			for n := 0; n < len(cells); n++ {
				for _, d := range [][2]int{{-1, 0}, {1, 0}, {0, -1}, {0, 1}} {
					c, r := cells[n]%cols+d[0], cells[n]/cols+d[1]
					switch j := r*cols + c; {
					case c < 0 || c >= cols || r < 0 || r >= rows:
					case !is[j]:
						rim = append(rim, [2]int{cells[n], j})
					case !seen[j]:
						seen[j] = true
						cells = append(cells, j)
					}
				}
			}
			slices.Sort(cells)
			want, wantRims = append(want, cells), append(wantRims, rim)
		}
		s := cellsIn{cols, rows, func(i int) bool { return is[i] }, nil}
		s.pieces(func(p piece) {
			var cells []int
			var rim [][2]int
			p.each(func(i int) { cells = append(cells, i) })
			s.rim(p, func(from, to int) { rim = append(rim, [2]int{from, to}) })
			got, gotRims = append(got, cells), append(gotRims, rim)
			assert.Equal(t, len(cells), p.cells())
			last := cells[len(cells)-1]
			assert.True(t, p.any(func(i int) bool { return i == last }))
			assert.False(t, p.any(func(i int) bool { return i > last }))
		})
		require.Equal(t, want, got)
		require.Len(t, gotRims, len(wantRims))
		for n := range wantRims {
			require.ElementsMatch(t, wantRims[n], gotRims[n])
		}
	}
}
