package quality

import (
	"cmp"
	"math"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
)

// flatRun is part of a row whose cells have one height and neighbours of it.
type flatRun struct {
	row, c0, c1 int32 // c0 ≤ col < c1
	root        int32 // index of a run of the same patch
}

// flatRuns are the runs of a grid in reading order, joined into patches.
type flatRuns []flatRun

// findFlats joins neighbouring cells of exactly the same height, four ways.
// Cells unlike all their neighbours are left out.
func findFlats(g *terrain.Grid, watch *beside.Watch) flatRuns {
	var runs flatRuns
	none := make([]float32, g.Cols) // the row beyond the first and the last
	for c := range none {
		none[c] = float32(math.NaN())
	}
	above := none
	first, end := 0, 0 // the runs of the row above
	for r := range g.Rows {
		watch.Did(g.Cols)
		line, below := g.Line(r), none
		if r+1 < g.Rows {
			below = g.Line(r + 1)
		}
		start := len(runs)
		for c := 0; c < len(line); {
			c += unlike(line[c:], above[c:], below[c:])
			z, c1 := line[c], c+1
			for c1 < len(line) && line[c1] == z {
				c1++
			}
			if c1-c > 1 || above[c] == z || below[c] == z {
				i := int32(len(runs))
				runs = append(runs, flatRun{int32(r), int32(c), int32(c1), i})
				for first < end && int(runs[first].c1) <= c {
					first++
				}
				for k := first; k < end && int(runs[k].c0) < c1; k++ {
					if above[runs[k].c0] == z {
						runs.join(int32(k), i)
					}
				}
			}
			c = c1
		}
		above, first, end = line, start, len(runs)
	}
	return runs
}

// unlike is how many cells of a row are surely unlike those to the right, above and below before
// one that may be like one of them, as the last of the row may be. Of nearly all none of the three
// differences is 0, which takes one comparison; voids, and a product that is too small, end it early.
func unlike(line, above, below []float32) int {
	last := len(line) - 1
	right, above, below := line[1:], above[:last], below[:last]
	for c, next := range right {
		z := line[c]
		if d := (next - z) * (above[c] - z) * (below[c] - z); !(d*d > 0) {
			return c
		}
	}
	return last
}

// find returns the patch's earliest run.
func (runs flatRuns) find(i int32) int32 {
	for runs[i].root != i {
		runs[i].root = runs[runs[i].root].root
		i = runs[i].root
	}
	return i
}

func (runs flatRuns) join(a, b int32) {
	a, b = runs.find(a), runs.find(b)
	switch cmp.Compare(a, b) {
	case -1:
		runs[b].root = a
	case 1:
		runs[a].root = b
	}
}

// cells counts the cells of each patch, at the index of its first run.
func (runs flatRuns) cells() []int32 {
	n := make([]int32, len(runs))
	for i := range runs {
		n[runs.find(int32(i))] += runs[i].c1 - runs[i].c0
	}
	return n
}

// FlatAtEdge reports whether dead-flat ground, at least two by three cells of one
// height, or nine that are calm, runs off an edge of the grid: it may be water, most of which lies beyond. It returns an error for a grid that cannot be
// used.
func FlatAtEdge(g *terrain.Grid) (bool, error) {
	if err := g.Check(); err != nil {
		return false, err
	}
	return flatAtEdge(g) || calmAtEdge(g), nil
}

// calmAtEdge reports whether nine cells at an edge are as calm as water.
func calmAtEdge(g *terrain.Grid) bool {
	if g.Cols < 3 || g.Rows < 3 {
		return false
	}
	w, h := g.MiddleCellM()
	s := &calm{Grid: g, most: calmMost(w, h)}
	is := func(c, r int) bool { return s.rangeAt(c, r) <= s.most }
	for c := 1; c < g.Cols-1; c++ {
		if is(c, 1) || is(c, g.Rows-2) {
			return true
		}
	}
	for r := 1; r < g.Rows-1; r++ {
		if is(1, r) || is(g.Cols-2, r) {
			return true
		}
	}
	return false
}

func flatAtEdge(g *terrain.Grid) bool {
	if g.Cols < 3 || g.Rows < 3 {
		return false
	}
	z := func(c, r int) float32 { return g.Z[r*g.Stride+c] }
	for c := range g.Cols - 2 {
		for _, r := range [2]int{0, g.Rows - 2} {
			if a := z(c, r); a == z(c+1, r) && a == z(c+2, r) && a == z(c, r+1) && a == z(c+1, r+1) && a == z(c+2, r+1) {
				return true
			}
		}
	}
	for r := range g.Rows - 2 {
		for _, c := range [2]int{0, g.Cols - 2} {
			if a := z(c, r); a == z(c, r+1) && a == z(c, r+2) && a == z(c+1, r) && a == z(c+1, r+1) && a == z(c+1, r+2) {
				return true
			}
		}
	}
	return false
}
