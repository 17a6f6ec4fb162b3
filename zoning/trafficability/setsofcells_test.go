package trafficability

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
)

// widths are those of rows that end within a word, with it, and one cell beside.
var widths = []int{1, 7, 8, 9, 63, 64, 65, 72, 127, 128, 129, 135}

// ones marks cells at random, each with a probability.
func ones(seed uint64, n int, p float64) []bool {
	rnd := rand.New(rand.NewPCG(seed, uint64(n)))
	out := make([]bool, n)
	for i := range out {
		out[i] = rnd.Float64() < p
	}
	return out
}

// A set says of each cell what its mark does, whatever the width of a row; what lies beyond the
// last column stays 0.
func TestASetHoldsTheCellsThatAreMarked(t *testing.T) {
	for _, cols := range widths {
		const rows = 3
		l := &lie{cols: cols, rows: rows}
		for _, p := range []float64{0, 0.02, 0.5, 1} {
			marks := ones(1, cols*rows, p)
			s := l.cellsOf(marks)
			assert.Equal(t, marks, l.marked(s))
			var visited, want []int
			for i, is := range marks {
				assert.Equal(t, is, s.has(i))
				if is {
					want = append(want, i)
				}
			}
			for r := range rows {
				each(s.row(r), r*cols, func(i int) { visited = append(visited, i) })
				assert.Zero(t, s.row(r)[s.words-1]&^s.inRow(s.words-1), "beyond the last column")
			}
			assert.Equal(t, want, visited, "%d columns", cols)
			other := l.noCells()
			for i, is := range marks {
				if other.add(i); !is {
					other.drop(i)
				}
			}
			assert.Equal(t, s, other)
		}
		all := l.cellsOf(slices.Repeat([]bool{true}, cols*rows))
		for w := range all.words {
			assert.Equal(t, all.row(1)[w], all.inRow(w), "all cells of a row")
		}
	}
}

// Rows of figures and of bytes are told apart at the very limit; no number is on neither side.
func TestRowsAtALimit(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 3))
	for _, cols := range widths {
		l := &lie{cols: cols, rows: 1}
		values, stages, draw := make([]float32, cols), make([]uint8, cols), ones(5, cols, 0.4)
		for i := range values {
			values[i], stages[i] = []float32{0, 0.5, 1, float32(math.NaN()), float32(math.Inf(1))}[rnd.IntN(5)], []uint8{0, 1, 2, 3, 4, 127}[rnd.IntN(6)]
		}
		less, more, at := l.noCells(), l.noCells(), l.noCells()
		for i := range less.bits { // what was there before does not count
			less.bits[i], more.bits[i], at.bits[i] = math.MaxUint64, math.MaxUint64, math.MaxUint64
		}
		below(less.bits, values, 0.5)
		asSteep(more.bits, values, 0.5)
		for i, v := range values {
			assert.Equal(t, v < 0.5, less.has(i))
			assert.Equal(t, v >= 0.5, more.has(i))
		}
		for _, stage := range []uint8{0, 1, 2, 4, 127} {
			atLeastStage(at.bits, stages, stage)
			for i, s := range stages {
				assert.Equal(t, s >= stage, at.has(i), "%d of %d: %d at %d", i, cols, s, stage)
			}
		}
		for _, in := range []uint8{1, 7, 255} {
			out := slices.Repeat([]uint8{9}, cols)
			writeBytes(out, l.cellsOf(draw).bits, in)
			for i, is := range draw {
				assert.Equal(t, in*bit(is), out[i])
			}
			writeBytes(out, l.noCells().bits, in)
			assert.Equal(t, make([]uint8, cols), out)
		}
		all, of := l.noCells(), ones(6, cols, 0.5)
		without(all.bits, l.cellsOf(of).bits, l.cellsOf(draw).bits)
		for i := range cols {
			assert.Equal(t, of[i] && !draw[i], all.has(i))
		}
	}
}

// Runs of a row are as long as cells of it lie side by side, over the ends of words too.
func TestRunsOfARow(t *testing.T) {
	for _, cols := range widths {
		l := &lie{cols: cols, rows: 1}
		for seed, p := range []float64{0, 0.1, 0.5, 0.9, 1} {
			marks := ones(uint64(seed), cols, p)
			got := make([]bool, cols)
			before := -1
			eachRun(l.cellsOf(marks).bits, func(from, to int) {
				assert.Greater(t, from, before, "apart from the one before")
				assert.Greater(t, to, from)
				assert.False(t, to < cols && marks[to], "it ends where the cells do")
				for c := from; c < to; c++ {
					got[c] = true
				}
				before = to
			})
			assert.Equal(t, marks, got, "%d columns", cols)
		}
	}
}

// Pieces are what hangs together by sides, or by corners too, as a flood from cell to cell finds.
func TestPiecesAreWhatAFloodFinds(t *testing.T) {
	for _, cols := range []int{1, 5, 64, 67} {
		for _, p := range []float64{0.3, 0.45, 0.6, 0.75} {
			for _, corners := range []bool{false, true} {
				const rows = 19
				l := &lie{cols: cols, rows: rows}
				marks := ones(uint64(p*100), cols*rows, p)
				piece := make([]int, cols*rows) // by flood; 0 for none
				sizes := map[int]int{}
				n := 0
				for i := range marks {
					if !marks[i] || piece[i] != 0 {
						continue
					}
					n++
					piece[i] = n
					for queue := []int{i}; len(queue) > 0; queue = queue[1:] {
						sizes[n]++
						c, r := queue[0]%cols, queue[0]/cols
						for v := -1; v <= 1; v++ {
							for u := -1; u <= 1; u++ {
								x, y := c+u, r+v
								if x < 0 || y < 0 || x >= cols || y >= rows || u != 0 && v != 0 && !corners {
									continue
								}
								if j := y*cols + x; marks[j] && piece[j] == 0 {
									piece[j] = n
									queue = append(queue, j)
								}
							}
						}
					}
				}
				of := map[int]int{} // roots of pieces
				got := l.piecesOf(l.cellsOf(marks), corners, func(from, to int) int { return to - from }, nil)
				cells := 0
				for k, run := range got {
					root := got.rootOf(k)
					for i := run.from; i < run.to; i++ {
						require.True(t, marks[i])
						cells++
						if known, ok := of[root]; ok {
							require.Equal(t, known, piece[i])
						}
						of[root] = piece[i]
					}
					require.Equal(t, sizes[of[root]], got[root].size)
				}
				require.Len(t, of, n, "%d columns, %g, corners %t", cols, p, corners)
				require.Equal(t, count(marks), cells)
			}
		}
	}
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
