package flow

import "math"

// Basins that are no depressions.
const (
	nowhere = int32(iota)
	outside // what drains out, and voids
	basins  // the first depression
)

// label gives each cell the basin in whose pit its water ends. The cells of a
// closed flat are one pit.
func (r *routing) label(low []int32) {
	r.pits = make([]int32, basins)
	var flat []int32
	for _, i := range low {
		if r.dir[i] != undecided || r.basin[i] != nowhere {
			continue
		}
		b := int32(len(r.pits))
		r.pits = append(r.pits, i)
		r.basin[i] = b
		flat = append(flat[:0], i)
		for n := 0; n < len(flat); n++ {
			r.watch.Did(ways)
			for _, step := range r.step {
				j := flat[n] + int32(step)
				if r.dir[j] == undecided && r.basin[j] == nowhere && r.z[j] == r.z[i] {
					r.basin[j] = b
					flat = append(flat, j)
				}
			}
		}
	}
	for i := range r.basin {
		if i%r.cols == 0 {
			r.watch.Did(2 * r.cols)
		}
		b, j := r.basin[i], i
		for b == nowhere {
			if r.dir[j] >= ways {
				b = outside
				break
			}
			j += r.step[r.dir[j]]
			b = r.basin[j]
		}
		for j = i; r.basin[j] == nowhere; j += r.step[r.dir[j]] {
			r.basin[j] = b
			if r.dir[j] >= ways {
				break
			}
		}
	}
}

// pass is where water would spill from one basin into another: over a cell and
// its neighbour, or out.
type pass struct {
	cell    int32
	way     uint8
	z, foot float32 // the higher of the two heights, and the other
}

func newPass(i int, way uint8, a, b float32) pass {
	if a > b || b != b { // a void is lower than all ground
		a, b = b, a
	}
	if a != a {
		a = float32(math.Inf(-1))
	}
	return pass{int32(i), way, b, a}
}

// lower orders passes by height, those over one cell by their feet, equal ones as
// they come in reading order.
func (p pass) lower(q pass) bool {
	switch {
	case p.z != q.z:
		return p.z < q.z
	case p.foot != q.foot:
		return p.foot < q.foot
	case p.cell != q.cell:
		return p.cell < q.cell
	}
	return p.way < q.way
}

// ends returns the basins on either side of a pass.
func (r *routing) ends(p pass) (a, b int32) {
	if p.way == out {
		return r.basin[p.cell], outside
	}
	return r.basin[p.cell], r.basin[int(p.cell)+r.step[p.way]]
}

// passes lists where basins meet; where the same two meet several times in a row,
// the lowest alone. Where there are many, those that are certain not to be of the
// minimum spanning tree are dropped on the way, which bounds the list.
func (r *routing) passes() []pass {
	most := max(len(r.z)/8, 2*len(r.pits))
	list := make([]pass, 0, most+1)
	var lastA, lastB int32
	add := func(p pass) {
		a, b := r.ends(p)
		if a > b {
			a, b = b, a
		}
		if a != lastA || b != lastB {
			if len(list) > most {
				list = append(list[:0], r.lowest(list)...)
			}
			lastA, lastB = a, b
			list = append(list, p)
		} else if last := &list[len(list)-1]; p.lower(*last) {
			*last = p
		}
	}
	onward := [...]uint8{east, southWest, south, southEast}
	meet := func(i, col, row int) {
		if r.onBorder(col, row) && r.basin[i] != outside {
			add(newPass(i, out, r.z[i], float32(math.NaN())))
		}
		for _, k := range onward {
			j := i + r.step[k]
			if r.within(col+stepCols[k], row+stepRows[k]) && r.basin[i] != r.basin[j] {
				add(newPass(i, k, r.z[i], r.z[j]))
			}
		}
	}
	for row := range r.rows {
		r.watch.Did(r.cols)
		at := row * r.cols
		if row+1 == r.rows || r.cols < 3 {
			for col := range r.cols {
				meet(at+col, col, row)
			}
			continue
		}
		meet(at, 0, row)
		line, below := r.basin[at:at+r.cols], r.basin[at+r.cols:][:r.cols]
		for col := 1; col+1 < r.cols; col++ {
			b := line[col]
			if row == 0 || b != line[col+1] || b != below[col-1] || b != below[col] || b != below[col+1] {
				meet(at+col, col, row)
			}
		}
		meet(at+r.cols-1, r.cols-1, row)
	}
	return list
}

// groups are disjoint sets of basins.
type groups []int32

func newGroups(n int) groups {
	g := make(groups, n)
	for i := range g {
		g[i] = int32(i)
	}
	return g
}

func (g groups) find(i int32) int32 {
	for g[i] != i {
		g[i] = g[g[i]]
		i = g[i]
	}
	return i
}

// lowest returns the passes of the minimum spanning tree, by Borůvka's method:
// each group of basins takes its lowest pass, until none is left between two
// groups. It uses up list.
func (r *routing) lowest(list []pass) []pass {
	n := len(r.pits)
	g := newGroups(n)
	tree := make([]pass, 0, n)
	best := make([]int32, n)
	for len(list) > 0 {
		for b := range best {
			best[b] = -1
		}
		kept := list[:0]
		for _, p := range list {
			r.watch.Did(2)
			a, b := r.ends(p)
			a, b = g.find(a), g.find(b)
			if a == b {
				continue
			}
			at := int32(len(kept))
			kept = append(kept, p)
			for _, side := range [2]int32{a, b} {
				if best[side] < 0 || p.lower(kept[best[side]]) {
					best[side] = at
				}
			}
		}
		for _, at := range best {
			if at < 0 {
				continue
			}
			p := kept[at]
			a, b := r.ends(p)
			if a, b = g.find(a), g.find(b); a != b {
				g[max(a, b)] = min(a, b)
				tree = append(tree, p)
			}
		}
		list = kept
	}
	return tree
}

// flood fills the basins from outside, each through the lowest pass on its way,
// and directs their water over it. It returns the height to which each basin
// fills before it spills.
func (r *routing) flood(tree []pass) (level []float32) {
	// The passes of basin b are at[from[b]:from[b+1]].
	from := make([]int32, len(r.pits)+1)
	for _, p := range tree {
		a, b := r.ends(p)
		from[a]++
		from[b]++
	}
	for b := 1; b < len(from); b++ {
		from[b] += from[b-1]
	}
	at := make([]int32, 2*len(tree))
	for k, p := range tree {
		a, b := r.ends(p)
		from[a]--
		from[b]--
		at[from[a]], at[from[b]] = int32(k), int32(k)
	}

	level = make([]float32, len(r.pits))
	level[outside] = float32(math.Inf(-1))
	entered := make([]bool, len(r.pits))
	entered[outside] = true
	for queue := []int32{outside}; len(queue) > 0; queue = queue[1:] {
		r.watch.Did(ways)
		b := queue[0]
		for _, k := range at[from[b]:from[b+1]] {
			p := tree[k]
			in, beyond := r.ends(p)
			cell, way, back := p.cell, p.way, in == b
			if back {
				in = beyond
			}
			if entered[in] {
				continue
			}
			if back {
				cell, way = p.cell+int32(r.step[p.way]), p.way^2
			}
			entered[in] = true
			level[in] = max(level[b], p.z)
			r.carve(int(cell), way)
			queue = append(queue, in)
		}
	}
	return level
}

// carve turns the way from a cell to its pit round, so that the basin drains
// over that cell (Cordonnier, Bovy and Braun 2019). A pit that is a flat is led
// to where that way entered it.
func (r *routing) carve(i int, way uint8) {
	if way < ways && r.dir[i+r.step[way]] == void {
		way = out
	}
	for {
		was := r.dir[i]
		r.dir[i] = way
		if was == undecided {
			break
		}
		i += r.step[was]
		way = was ^ 2
	}
	r.spread([]int32{int32(i)})
}
