package trafficability

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// lays are ways in which cells lie on the ground, among them axes that are not square.
func lays(t *testing.T) map[string]*terrain.Grid {
	flat := func(_, _ float64) float64 { return 0 }
	const cols, rows = 131, 23
	return map[string]*terrain.Grid{
		"square":  level(t, cols, rows, 1).Grid,
		"wide":    made(t, cols, rows, 2, 0.7, flat).Grid,
		"tall":    made(t, cols, rows, 0.75, 0.9, flat).Grid,
		"rotated": skewed(t, cols, rows, [2]float64{0.8, 0.6}, [2]float64{0.6, -0.8}, flat).Grid,
		"skewed":  skewed(t, cols, rows, [2]float64{1, 0}, [2]float64{0.05, -1.1}, flat).Grid,
	}
}

var radii = []float64{0, 0.4, 0.7, 1, math.Sqrt2, 1.5, 2, 2.1, math.Sqrt(5), 3.3, 5, 7.9, 13.6, 40, 70}

// nearest is how far each cell is from the nearest that is marked, found by looking at
// all of them: the definition of a Euclidean distance transform. Cells beyond the
// window are marked too where outside says so; only those beside it can be nearest.
func nearest(grid *terrain.Grid, marks []bool, outside bool) []float64 {
	m := grid.Frame.MetricAt(float64(grid.Cols)/2, float64(grid.Rows)/2)
	det := m.A*m.C - m.B*m.B
	var all [][2]int
	for r := -1; r <= grid.Rows; r++ {
		for c := -1; c <= grid.Cols; c++ {
			in := c >= 0 && r >= 0 && c < grid.Cols && r < grid.Rows
			if in && marks[r*grid.Cols+c] || !in && outside {
				all = append(all, [2]int{c, r})
			}
		}
	}
	out := make([]float64, len(marks))
	for i := range out {
		least := math.Inf(1)
		for _, a := range all {
			u, v := float64(a[0]-i%grid.Cols), float64(a[1]-i/grid.Cols)
			least = min(least, m.C*u*u-2*m.B*u*v+m.A*v*v)
		}
		out[i] = math.Sqrt(least / det)
	}
	return out
}

func grown(l *lie, marks []bool, radiusM float64, b bound, outside bool) []bool {
	out := l.noCells()
	l.grow(out, l.cellsOf(marks), l.disc(radiusM, b), outside, &spare{})
	return l.marked(out)
}

// Every cell nearer than the radius is marked where things are kept from, none beyond
// it where things are reached. Where axes are square on the ground both are exact,
// ties included.
func TestGrowAgainstBruteForce(t *testing.T) {
	for name, grid := range lays(t) {
		l := lieOf(grid)
		slack := math.Sqrt((1 + l.skew()) / (1 - l.skew()))
		if name != "skewed" {
			require.InDelta(t, 1, slack, 1e-4, name)
		} else {
			require.Greater(t, slack, 1.04)
		}
		for seed, share := range []float64{0, 0.002, 0.05, 0.4, 1} {
			rnd := rand.New(rand.NewPCG(uint64(seed), 2))
			marks := make([]bool, grid.Cols*grid.Rows)
			for i := range marks {
				marks[i] = rnd.Float64() < share
			}
			for _, outside := range []bool{false, true} {
				far := nearest(grid, marks, outside)
				for _, radius := range radii {
					where := fmt.Sprintf("%s, %g marked, outside %t, %g m", name, share, outside, radius)
					for i, is := range grown(l, marks, radius, atLeast, outside) {
						if is && far[i] >= max(radius, 1e-9)*slack || !is && far[i] < radius*(1-1e-9) {
							t.Fatalf("%s: a cell %g m from a mark is kept from: %t (cell %d)", where, far[i], is, i)
						}
					}
					for i, is := range grown(l, marks, radius, atMost, outside) {
						if is && far[i] > radius*(1+1e-9) || !is && far[i]*slack <= radius {
							t.Fatalf("%s: a cell %g m from a mark is reached: %t (cell %d)", where, far[i], is, i)
						}
					}
				}
			}
		}
	}
}

func TestGrowNeverShrinksWithTheRadius(t *testing.T) {
	for name, grid := range lays(t) {
		l := lieOf(grid)
		rnd := rand.New(rand.NewPCG(7, 3))
		marks := make([]bool, grid.Cols*grid.Rows)
		for i := range marks {
			marks[i] = rnd.Float64() < 0.02
		}
		for _, b := range []bound{atLeast, atMost} {
			before := marks
			for _, radius := range radii {
				after := grown(l, marks, radius, b, false)
				assert.Zero(t, strays(before, after), "%s, %g m", name, radius)
				before = after
			}
		}
	}
}

// A mark counts from its middle, and a cell at the very distance is not nearer.
func TestNear(t *testing.T) {
	g := level(t, 9, 1, 1)
	marks := make([]bool, 9)
	marks[4] = true
	assert.Equal(t, []bool{false, false, false, true, true, true, false, false, false}, must(Near(g.Grid, marks, 2)))
	assert.Equal(t, []bool{false, false, true, true, true, true, true, false, false}, must(Near(g.Grid, marks, 2.01)))
}

// Cause: of a mark in the first column, or in the last of a full word, every third column
// stayed unmarked, for a row was widened by more than what is left of it there. Rows are
// widened by many words at once, too, and memory of one window serves another of as many
// words a row.
func TestGrowByWords(t *testing.T) {
	var s spare
	for _, rows := range []int{1, 3, 2} {
		for _, cols := range []int{320, 300, 257, 256} {
			for _, half := range []int{0, 1, 63, 64, 65, 127, 128, 200, 300, 330} {
				for _, at := range []int{0, 1, 63, 64, 128, 191, cols - 1} {
					l := &lie{cols: cols, rows: rows}
					marks := make([]bool, cols*rows)
					marks[(rows-1)*cols+at] = true
					grown := l.noCells()
					l.grow(grown, l.cellsOf(marks), disc{half: []int{half}}, false, &s)
					for i, got := range l.marked(grown) {
						want := i/cols == rows-1 && abs(i%cols-at) <= half
						if got != want {
							t.Fatalf("%d columns, %d to either side of %d: column %d is %v", cols, half, at, i%cols, got)
						}
					}
				}
			}
		}
	}
}
