package coverage

// The second half of noding: in come edges and hot pixels; out go segments.

import (
	"cmp"
	"slices"
)

func (n *noder) bendEdge(e int32) {
	way := n.along(e)
	for i := 1; i < len(way); i++ {
		n.add(way[i-1].vertex, way[i].vertex, 1, none, none, e)
	}
}

// bendSides adds each side of each touched cell once.
func (n *noder) bendSides() {
	for k, id := range n.noded.cells {
		c, r, cols := id%int32(n.mesh.cols), id/int32(n.mesh.cols), int32(n.mesh.cols)
		east, south := func(c, r int32) int32 { return -2 - 2*(r*(cols+1)+c) }, func(c, r int32) int32 { return -3 - 2*(r*(cols+1)+c) }
		n.bendSide(k, cellSides[0], id-cols, id-cols, id, east(c, r)) // eastward: north of it is left
		n.bendSide(k, cellSides[2], id+cols, id, id+cols, east(c, r+1))
		n.bendSide(k, cellSides[1], id-1, id, id-1, south(c, r)) // southward: east of it is left
		n.bendSide(k, cellSides[3], id+1, id+1, id, south(c+1, r))
	}
}

// bendSide adds a side of the kth touched cell, unless it was added with the cell
// beyond it.
func (n *noder) bendSide(k int, side [2]int, beyond, left, right, source int32) {
	if o, ok := n.noded.cellAt.at(beyond); ok && o < int32(k) {
		return
	}
	// What is hot on the side is known in the cells on both sides of it: see vertexPad.
	way := n.through(n.way[:0], n.noded.vertices[n.noded.nodes[k][side[0]]], n.noded.vertices[n.noded.nodes[k][side[1]]], int32(k))
	n.way = way
	slices.SortFunc(way, stop.compare)
	for i := 1; i < len(way); i++ {
		n.add(way[i-1].vertex, way[i].vertex, 0, left, right, source)
	}
}

// stop is a vertex that a segment passes, and how far along it.
type stop struct {
	along  wide
	vertex int32
}

func (s stop) compare(o stop) int {
	if s.along == o.along {
		return cmp.Compare(s.vertex, o.vertex)
	}
	return s.along.minus(o.along).sign()
}

// along lists the hot pixels that an edge passes, each once and in order along it. The list is good
// until the next call.
func (n *noder) along(e int32) []stop {
	way := n.way[:0]
	for _, k := range n.passed[n.passedFrom[e]:n.passedFrom[e+1]] {
		from := len(way)
		found := n.through(way, n.edges[e][0], n.edges[e][1], k)
		way = found[:from]
		for _, s := range found[from:] {
			if n.met[s.vertex] != e+1 {
				n.met[s.vertex] = e + 1
				way = append(way, s)
			}
		}
	}
	n.way = way
	slices.SortFunc(way, stop.compare)
	return way
}

// through adds the hot pixels of a touched cell that segment ab passes.
func (n *noder) through(way []stop, a, b Vertex, cell int32) []stop {
	dx, dy := b.X-a.X, b.Y-a.Y
	west, east, south, north := min(a.X, b.X), max(a.X, b.X), min(a.Y, b.Y), max(a.Y, b.Y)
	for i := n.hot.first[cell]; i != none; i = n.hot.items[i].next {
		id := n.hot.items[i].value
		v := n.noded.vertices[id]
		if v.X >= west && v.X <= east && v.Y >= south && v.Y <= north && hits(a, b, v) {
			way = append(way, stop{product(dx, v.X-a.X).minus(product(dy, a.Y-v.Y)), id})
		}
	}
	return way
}

// add adds the piece from p to q, or what it brings to a piece already there.
func (n *noder) add(p, q, wind, left, right, source int32) {
	a, b := n.noded.vertices[p], n.noded.vertices[q]
	if b.X < a.X || b.X == a.X && b.Y < a.Y {
		p, q, wind, left, right = q, p, -wind, right, left
	}
	i, isNew := n.noded.segmentAt.put(pair(p, q), int32(len(n.noded.segments)))
	if isNew {
		n.noded.segments = append(n.noded.segments, segment{p, q, wind, left, right, source})
		return
	}
	s := &n.noded.segments[i]
	s.wind += wind
	if left != none {
		s.left, s.right = left, right
	}
	s.source = mixed
}

func pair(p, q int32) uint64 { return uint64(uint32(p))<<32 | uint64(uint32(q)) }
