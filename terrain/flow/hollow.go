package flow

import (
	"cmp"
	"slices"

	"github.com/acreband/acreband/terrain/runs"
)

// hollows lists the hollows deep and large enough, in reading order of their
// deepest cells, and their cells.
func (r *routing) hollows(level []float32, o Options) (list []Hollow, in []runs.Run) {
	marked := make([]bool, len(r.z))
	var cells []int32
	for b := basins; b < int32(len(r.pits)); b++ {
		pit := r.pits[b]
		if marked[pit] || float64(level[b])-float64(r.z[pit]) < o.HollowDepthM {
			continue
		}
		cells = r.below(level, pit, marked, cells[:0])
		if h := r.hollow(cells, level[b]); h.AreaM2 >= o.HollowM2 {
			list = append(list, h)
			continue
		}
		for _, i := range cells {
			marked[i] = false
		}
	}
	slices.SortFunc(list, func(a, b Hollow) int {
		return cmp.Or(cmp.Compare(a.Row, b.Row), cmp.Compare(a.Col, b.Col))
	})
	if len(list) > 0 {
		in = runs.Of(r.cols, r.rows, func(i int) bool { return marked[i] })
	}
	return list, in
}

// below appends the connected cells that lie lower than the rim of the
// depression that a cell is in, and marks them. Two neighbours both below a rim
// are below the same: from either, water gets to the other.
func (r *routing) below(level []float32, pit int32, marked []bool, cells []int32) []int32 {
	marked[pit] = true
	cells = append(cells, pit)
	for n := len(cells) - 1; n < len(cells); n++ {
		r.watch.Did(ways)
		for _, step := range r.step { // no such cell lies on the border
			j := int(cells[n]) + step
			if !marked[j] && r.z[j] < level[r.basin[j]] {
				marked[j] = true
				cells = append(cells, int32(j))
			}
		}
	}
	return cells
}

func (r *routing) hollow(cells []int32, rim float32) Hollow {
	deepest, area := cells[0], 0.0
	for _, i := range cells {
		if r.z[i] < r.z[deepest] || r.z[i] == r.z[deepest] && i < deepest {
			deepest = i
		}
		area += r.cellM2(int(i))
	}
	return Hollow{
		Col:    int(deepest) % r.cols,
		Row:    int(deepest) / r.cols,
		DepthM: float64(rim) - float64(r.z[deepest]),
		RimM:   float64(rim) + float64(r.grid.Z0),
		Cells:  len(cells),
		AreaM2: area,
	}
}
