package coverage

// In come cycles that no segment joins to others; out goes what ground lies around them.

import "slices"

// settleIslands finds the ground around what no segment joins to the rest:
// rings that lie in the middle of a cell.
func (a *arrangement) settleIslands() error {
	type island struct {
		low   int32 // leftmost, then lowest vertex
		outer int32 // cycle around the outside
	}
	var islands []island
	seen := make([]bool, len(a.start))
	for c := range int32(len(a.start)) {
		if a.known[c] || seen[c] {
			continue
		}
		low := a.origin(a.start[c])
		seen[c] = true
		for queue := []int32{c}; len(queue) > 0; {
			k := queue[len(queue)-1]
			queue = queue[:len(queue)-1]
			for h, first := a.start[k], true; first || h != a.start[k]; h, first = a.next(h), false {
				if v, w := a.noded.vertices[a.origin(h)], a.noded.vertices[low]; v.X < w.X || v.X == w.X && v.Y < w.Y {
					low = a.origin(h)
				}
				if o := a.cycle[h^1]; !seen[o] {
					seen[o] = true
					queue = append(queue, o)
				}
			}
		}
		// Everything at the leftmost vertex leads east; the ground to its west
		// lies on the left of the way that leads farthest counter-clockwise.
		fan := a.out[a.first[low]:a.first[low+1]]
		top := fan[0]
		for _, h := range fan[1:] {
			if orient(Vertex{}, a.direction(top), a.direction(h)) > 0 {
				top = h
			}
		}
		islands = append(islands, island{low, a.cycle[top]})
	}
	slices.SortFunc(islands, func(i, j island) int {
		p, q := a.noded.vertices[i.low], a.noded.vertices[j.low]
		return compareVertex(p, q)
	})
	if islands == nil {
		return nil
	}
	rows := a.inRows()
	for _, i := range islands {
		v := a.noded.vertices[i.low]
		if !a.work.try(len(rows.at(v.Y))) {
			return &fault{errCrowded, v}
		}
		h, ok := a.westward(v, rows.at(v.Y))
		if !ok || !a.known[a.cycle[h]] {
			return &fault{errUndecided, v}
		}
		c := a.cycle[h]
		a.settle(i.outer, a.wind[c], a.cell[c])
		a.links = append(a.links, [2]int32{i.outer, c})
	}
	return nil
}

func compareVertex(p, q Vertex) int {
	switch {
	case p.X < q.X || p.X == q.X && p.Y < q.Y:
		return -1
	case p == q:
		return 0
	}
	return 1
}

// westward finds the first segment due west of v (a hair above v where that
// meets a vertex), of segments that come to its height, and returns its half-edge with
// v's side on the left.
func (a *arrangement) westward(v Vertex, segments []int32) (half int32, found bool) {
	var lowBest, highBest Vertex
	for _, s := range segments {
		p, q := a.noded.vertices[a.noded.segments[s].from], a.noded.vertices[a.noded.segments[s].to]
		down := 2*s + 1 // from q to p
		if p.Y > q.Y {
			p, q, down = q, p, 2*s
		}
		if p.Y > v.Y || q.Y <= v.Y || orient(p, q, v) >= 0 {
			continue // not across the way west, or not west of v
		}
		if found && !eastOf(p, q, lowBest, highBest) {
			continue
		}
		lowBest, highBest, half, found = p, q, down, true
	}
	return half, found
}

// rows are segments by the heights they come to, so that an island is not held against
// all of a boundary.
type rows struct {
	south, tall int64 // where the first begins, and how tall each is
	segments    [][]int32
}

// at are the segments that come to the row of a height.
func (r rows) at(y int64) []int32 { return r.segments[(y-r.south)/r.tall] }

// inRows sorts the segments into as many rows as the mesh has.
func (a *arrangement) inRows() rows {
	south, north := a.noded.vertices[0].Y, a.noded.vertices[0].Y
	for _, v := range a.noded.vertices {
		south, north = min(south, v.Y), max(north, v.Y)
	}
	r := rows{south: south, tall: (north-south)/int64(a.mesh.rows) + 1}
	r.segments = make([][]int32, (north-south)/r.tall+1)
	for s := range a.noded.segments {
		p, q := a.noded.vertices[a.noded.segments[s].from].Y, a.noded.vertices[a.noded.segments[s].to].Y
		for k := (min(p, q) - south) / r.tall; k <= (max(p, q)-south)/r.tall; k++ {
			r.segments[k] = append(r.segments[k], int32(s))
		}
	}
	return r
}

// eastOf reports whether pq lies east of lh at a height that both span, lower end
// first; they do not cross.
func eastOf(p, q, l, h Vertex) bool {
	// The lower end that is higher lies strictly on one side of the other
	// segment, or on it; then the way up decides.
	if p.Y >= l.Y {
		if o := orient(l, h, p); o != 0 {
			return o < 0
		}
		return orient(l, h, q) < 0
	}
	if o := orient(p, q, l); o != 0 {
		return o > 0
	}
	return orient(p, q, h) > 0
}
