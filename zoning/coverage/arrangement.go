package coverage

// Second stage: in come segments; out go cycles around pieces of ground, each with its
// winding number and its touched cell where a neighbor's is known.

import "slices"

// arrangement adds directions to segments that are noded. Segment s is two
// half-edges: 2s from its from end, 2s+1 back. Half-edges of one cycle have the
// same piece of ground on their left.
type arrangement struct {
	mesh  *mesh
	noded *noded
	work  *work
	arena *arena

	first []int32 // where each vertex's half-edges begin in out
	out   []int32 // half-edges by origin, counter-clockwise from east
	at    []int32 // place of each half-edge in out

	cycle []int32 // by half-edge
	start []int32 // one half-edge of each cycle
	wind  []int32 // winding number of the parcel there, by cycle
	cell  []int32 // touched cell that holds it, by cycle; none outside of those
	known []bool  // by cycle

	// links joins the cycles around one piece of ground that no segment joins:
	// the outer cycle of a ring that lies in the middle of a cell, and the
	// cycle around it.
	links [][2]int32
}

func arrange(m *mesh, n *noded, w *work, scratch *arena) *arrangement {
	a := &arrangement{mesh: m, noded: n, work: w, arena: scratch}
	halves := 2 * len(n.segments)
	a.first = scratch.make(len(n.vertices) + 1)
	for h := range halves {
		a.first[a.origin(int32(h))+1]++
	}
	for i := 1; i < len(a.first); i++ {
		a.first[i] += a.first[i-1]
	}
	a.out, a.at = scratch.make(halves), scratch.make(halves)
	fill := scratch.make(len(a.first))
	copy(fill, a.first)
	for h := range int32(halves) {
		o := a.origin(h)
		a.out[fill[o]] = h
		fill[o]++
	}
	for v := range n.vertices {
		fan := a.out[a.first[v]:a.first[v+1]]
		if len(fan) > 1 {
			slices.SortFunc(fan, func(g, h int32) int { return compareTurn(a.direction(g), a.direction(h)) })
		}
	}
	for i, h := range a.out {
		a.at[h] = int32(i)
	}
	a.findCycles()
	return a
}

func (a *arrangement) origin(h int32) int32 {
	if h&1 == 0 {
		return a.noded.segments[h>>1].from
	}
	return a.noded.segments[h>>1].to
}

func (a *arrangement) direction(h int32) Vertex {
	p, q := a.noded.vertices[a.origin(h)], a.noded.vertices[a.origin(h^1)]
	return Vertex{q.X - p.X, q.Y - p.Y}
}

// compareTurn orders directions counter-clockwise from east.
func compareTurn(d, e Vertex) int {
	lower := func(v Vertex) int {
		if v.Y > 0 || v.Y == 0 && v.X > 0 {
			return 0
		}
		return 1
	}
	if c := lower(d) - lower(e); c != 0 {
		return c
	}
	return -orient(Vertex{}, d, e)
}

// next follows the ground on the left of h: at h's end, the first half-edge
// clockwise from the way back.
func (a *arrangement) next(h int32) int32 {
	back := h ^ 1
	v := a.origin(back)
	if i := a.at[back]; i > a.first[v] {
		return a.out[i-1]
	}
	return a.out[a.first[v+1]-1]
}

func (a *arrangement) findCycles() {
	a.cycle = a.arena.make(2 * len(a.noded.segments))
	for h := range a.cycle {
		a.cycle[h] = none
	}
	for h := range int32(len(a.cycle)) {
		if a.cycle[h] != none {
			continue
		}
		c := int32(len(a.start))
		a.start = append(a.start, h)
		for g := h; a.cycle[g] == none; g = a.next(g) {
			a.cycle[g] = c
		}
	}
	a.wind = a.arena.make(len(a.start))
	a.cell = a.arena.make(len(a.start))
	a.known = a.arena.makeFlags(len(a.start))
}

// leftCell is the cell on the left of a half-edge that is part of a cell side,
// or none.
func (a *arrangement) leftCell(h int32) int32 {
	if h&1 == 0 {
		return a.noded.segments[h>>1].left
	}
	return a.noded.segments[h>>1].right
}

func (a *arrangement) touched(cell int32) bool {
	_, ok := a.noded.cellAt.at(cell)
	return ok
}

// settle spreads a known winding number and cell over all that is joined to a
// cycle by segments.
func (a *arrangement) settle(cycle, wind, cell int32) {
	if a.known[cycle] {
		return
	}
	a.known[cycle], a.wind[cycle], a.cell[cycle] = true, wind, cell
	for queue := []int32{cycle}; len(queue) > 0; {
		c := queue[len(queue)-1]
		queue = queue[:len(queue)-1]
		for h, first := a.start[c], true; first || h != a.start[c]; h, first = a.next(h), false {
			o := a.cycle[h^1]
			if a.known[o] {
				continue
			}
			w := a.noded.segments[h>>1].wind
			if h&1 == 1 {
				w = -w
			}
			a.known[o], a.wind[o], a.cell[o] = true, a.wind[c]-w, a.cell[c]
			if cell := a.leftCell(h ^ 1); cell != none {
				a.cell[o] = none
				if a.touched(cell) {
					a.cell[o] = cell
				}
			}
			queue = append(queue, o)
		}
	}
}

// westSide is the half-edge up the west side of a cell: its left is the cell to
// the west.
func (a *arrangement) westSide(cell int32) (int32, bool) {
	at := cell + cell/int32(a.mesh.cols) // of its north-west corner among the nodes
	p, ok := a.noded.nodeAt.at(at + int32(a.mesh.cols+1))
	q, ok2 := a.noded.nodeAt.at(at)
	if !ok || !ok2 {
		return 0, false
	}
	for _, h := range a.out[a.first[p]:a.first[p+1]] {
		if a.origin(h^1) == q {
			return h, true
		}
	}
	return 0, false
}
