package flow

import (
	"math"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/terrain/quality"
)

// Ways out of a cell, in the order in which ties are broken. The opposite of way
// k is k^2.
const (
	east = iota
	south
	west
	north
	southEast
	southWest
	northWest
	northEast
	ways
)

// What a cell's direction may say besides a way.
const (
	out       = uint8(ways + iota) // beyond the window, or into a void
	undecided                      // no lower neighbour
	void
)

var (
	stepCols = [ways]int{1, 0, -1, 0, 1, -1, -1, 1}
	stepRows = [ways]int{0, 1, 0, -1, 1, 1, -1, -1}
)

// routing is where the water of each cell goes. All its slices are row-major,
// one value a cell.
type routing struct {
	grid       *terrain.Grid
	watch      *beside.Watch
	cols, rows int
	step       [ways]int // from a cell to its neighbour

	z     []float32 // NaN where there is no ground
	dir   []uint8
	basin []int32 // see basins
	pits  []int32 // a lowest cell of each basin; none of the first two
}

// newRouting gives each cell the direction of its steepest descent.
func newRouting(g *terrain.Grid, water *quality.Patches, watch *beside.Watch) *routing {
	r := &routing{grid: g, watch: watch, cols: g.Cols, rows: g.Rows, z: heights(g, water)}
	for k := range r.step {
		r.step[k] = stepRows[k]*r.cols + stepCols[k]
	}
	r.dir, r.basin = make([]uint8, len(r.z)), make([]int32, len(r.z))
	return r
}

// heights returns the grid's heights, copied only where they are not gapless or
// where some stand for voids.
func heights(g *terrain.Grid, water *quality.Patches) []float32 {
	voids := false
	if water != nil {
		for _, p := range water.List {
			voids = voids || p.Void
		}
	}
	if !voids && g.Stride == g.Cols {
		return g.Z[:g.Cols*g.Rows]
	}
	z := make([]float32, g.Cols*g.Rows)
	for r := range g.Rows {
		copy(z[r*g.Cols:][:g.Cols], g.Z[r*g.Stride:])
	}
	nan := float32(math.NaN())
	water.Runs(func(p quality.Patch, row, c0, c1 int) {
		for c := c0; p.Void && c < c1; c++ {
			z[row*g.Cols+c] = nan
		}
	})
	return z
}

// perM is what a fall of 1 m is worth on the way to a neighbour: one over the
// distance on the ground, for ways and their opposites.
type perM struct{ row, col, southEast, southWest float32 }

func perMOf(m terrain.Metric) perM {
	e, f, g := m.Inverse()
	inverse := func(squared float64) float32 { return float32(1 / math.Sqrt(squared)) }
	return perM{inverse(e), inverse(g), inverse(e + 2*f + g), inverse(e - 2*f + g)}
}

func (w perM) of(k int) float32 {
	switch k &^ 2 {
	case east:
		return w.row
	case south:
		return w.col
	case southEast:
		return w.southEast
	}
	return w.southWest
}

// descend directs every cell to the neighbour of steepest descent (O'Callaghan
// and Mark 1984). It returns the cells that have no lower neighbour and do not
// drain out, in reading order.
func (r *routing) descend() (low []int32) {
	var pieces []terrain.RowMetric
	for row := range r.rows {
		r.watch.Did(r.cols)
		pieces = r.grid.Frame.RowMetrics(pieces[:0], r.grid.Row0+row, r.grid.Col0, r.grid.Col0+r.cols)
		at := row * r.cols
		for _, piece := range pieces {
			w := perMOf(piece.Start.Plus(piece.PerCol, float64(piece.To-piece.From)/2))
			from, to := max(piece.From-r.grid.Col0, 0), min(piece.To-r.grid.Col0, r.cols)
			if row > 0 && row < r.rows-1 {
				c0, c1 := at+max(from, 1), at+min(to, r.cols-1)
				if c0 < c1 {
					steepest(r.dir[c0:c1], r.z[c0-r.cols-1:], r.z[c0-1:], r.z[c0+r.cols-1:], w)
				}
			}
			for i := at + from; i < at+to; i++ {
				if r.dir[i] == undecided || r.onBorder(i-at, row) {
					r.dir[i] = r.decide(i, i-at, row, w)
				}
				if r.dir[i] == undecided {
					low = append(low, int32(i))
				}
			}
		}
	}
	return low
}

// steepest directs a stretch of a row; up, mid and down begin one cell before it.
func steepest(dir []uint8, up, mid, down []float32, w perM) {
	up, mid, down = up[:len(dir)+2], mid[:len(dir)+2], down[:len(dir)+2]
	for c := range dir {
		z := mid[c+1]
		k, best := undecided, float32(0)
		if fall := (z - mid[c+2]) * w.row; fall > best {
			k, best = east, fall
		}
		if fall := (z - down[c+1]) * w.col; fall > best {
			k, best = south, fall
		}
		if fall := (z - mid[c]) * w.row; fall > best {
			k, best = west, fall
		}
		if fall := (z - up[c+1]) * w.col; fall > best {
			k, best = north, fall
		}
		if fall := (z - down[c+2]) * w.southEast; fall > best {
			k, best = southEast, fall
		}
		if fall := (z - down[c]) * w.southWest; fall > best {
			k, best = southWest, fall
		}
		if fall := (z - up[c]) * w.southEast; fall > best {
			k, best = northWest, fall
		}
		if fall := (z - up[c+2]) * w.southWest; fall > best {
			k = northEast
		}
		dir[c] = k
	}
}

func (r *routing) onBorder(col, row int) bool {
	return col == 0 || row == 0 || col == r.cols-1 || row == r.rows-1
}

func (r *routing) within(col, row int) bool {
	return col >= 0 && row >= 0 && col < r.cols && row < r.rows
}

// decide directs one cell anywhere. Ground beyond the window is taken to go on
// as it comes up from the other side, or water would gather along the border. A
// cell without a lower neighbour drains out on the border and beside a void.
func (r *routing) decide(i, col, row int, w perM) uint8 {
	if r.z[i] != r.z[i] {
		return void
	}
	k, best, open := undecided, float32(0), false
	for n := range ways {
		to, fall := uint8(n), float32(0)
		if r.within(col+stepCols[n], row+stepRows[n]) {
			fall = r.z[i] - r.z[i+r.step[n]]
			open = open || fall != fall
		} else {
			to, open = out, true
			fall = r.fall(i, col, row, stepCols[n], 0) + r.fall(i, col, row, 0, stepRows[n])
		}
		if fall *= w.of(n); fall > best {
			k, best = to, fall
		}
	}
	if k == undecided && open {
		return out
	}
	return k
}

// fall is how far the ground falls in a step along a row or down a column; beyond
// the window as far as in the step before, NaN where there is none.
func (r *routing) fall(i, col, row, cols, rows int) float32 {
	step := rows*r.cols + cols
	switch {
	case r.within(col+cols, row+rows):
		return r.z[i] - r.z[i+step]
	case r.within(col-cols, row-rows):
		return r.z[i-step] - r.z[i]
	}
	return float32(math.NaN())
}

// settle leads flat ground to its outlets by the fewest steps, ring by ring from
// the cells beside one that is already directed. Of the low cells, none of which
// lies on the border, only those of closed flats and single pits stay undecided.
func (r *routing) settle(low []int32) {
	var ring []int32
	var way []uint8
	for _, i := range low {
		r.watch.Did(ways)
		for k, step := range r.step {
			j := int(i) + step
			if r.z[j] == r.z[i] && r.dir[j] != undecided {
				ring, way = append(ring, i), append(way, uint8(k))
				break
			}
		}
	}
	for n, i := range ring { // once all are found: a ring must not feed on itself
		r.dir[i] = way[n]
	}
	r.spread(ring)
}

// spread directs the undecided cells of a flat towards those of a queue.
func (r *routing) spread(queue []int32) {
	for n := 0; n < len(queue); n++ {
		r.watch.Did(ways)
		i := int(queue[n])
		for k, step := range r.step {
			if j := i + step; r.dir[j] == undecided && r.z[j] == r.z[i] {
				r.dir[j] = uint8(k ^ 2)
				queue = append(queue, int32(j))
			}
		}
	}
}
