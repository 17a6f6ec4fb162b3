package zoning

import (
	"cmp"
	"slices"
)

// segment is an elementary piece of the arrangement: it meets others only at
// its ends. From is the lexicographically smaller end. wind is the parcel's
// winding number on its left less that on its right. Where it is part of a cell
// side, left and right are the cells there; otherwise both are none.
type segment struct {
	from, to    int32
	wind        int32
	left, right int32
	source      int32 // boundary edge (≥ 0) or cell side (< 0) that made it; mixed if several
}

const (
	none  int32 = -1
	mixed int32 = -1 << 31
)

// noder makes the arrangement of the parcel's boundary and the sides of the
// cells it touches, by snap rounding (Guibas and Marimont 1998, Rounding
// arrangements dynamically): every corner, node and crossing makes the unit
// pixel it falls in hot, and every segment is bent through the centres of the
// hot pixels it passes. Rounded this way, segments never cross anew, so what
// is built on them is valid as written.
type noder struct {
	mesh
	edges [][2]Vertex // directed, the parcel on their left

	cells      []int32       // touched cells, in order of their first touch
	cellAt     *table[int32] // place in cells, by row*cols+col
	nodes      [][4]int32    // vertices at the corners of each of cells: north-west, north-east, south-west, south-east
	within     lists         // edges touching each of cells
	hot        lists         // vertices in each of cells
	passed     []int32       // places in cells that edges touch, edge after edge
	passedFrom []int32       // where those of each edge begin

	vertices []Vertex
	vertexAt *table[Vertex]
	nodeAt   *table[int32] // vertex, by row*(cols+1)+col of the mesh node
	corner   []bool        // whether a vertex is a corner of the parcel

	segments  []segment
	segmentAt *table[uint64] // by both ends
	way       []stop         // scratch
}

// The corners of a cell, in the order of noder.nodes.
var cellCorners = [4][2]int{{0, 0}, {1, 0}, {0, 1}, {1, 1}}

func newNoder(m mesh, rings [][]Vertex) *noder {
	n := &noder{mesh: m, cellAt: newTable(2*(m.cols+m.rows), hashInt)}
	for _, ring := range rings {
		for i, v := range ring {
			n.edges = append(n.edges, [2]Vertex{v, ring[(i+1)%len(ring)]})
		}
	}
	for e, ab := range n.edges {
		n.passedFrom = append(n.passedFrom, int32(len(n.passed)))
		n.trace(ab[0], ab[1], func(col, row int) { n.touch(int32(e), col, row) })
	}
	n.passedFrom = append(n.passedFrom, int32(len(n.passed)))
	return n
}

func (n *noder) touch(e int32, col, row int) {
	id := int32(row*n.cols + col)
	k, isNew := n.cellAt.put(id, int32(len(n.cells)))
	if isNew {
		n.cells = append(n.cells, id)
		n.within.begin()
		n.hot.begin()
	}
	if n.within.endsWith(k, e) {
		return
	}
	n.within.add(k, e)
	n.passed = append(n.passed, k)
}

func (n *noder) run() {
	// A touched cell brings about two nodes, two sides and a crossing.
	n.vertexAt = newTable(4*len(n.cells), hashVertex)
	n.nodeAt = newTable(3*len(n.cells), hashInt)
	n.segmentAt = newTable(6*len(n.cells), hashPair)
	n.vertices = make([]Vertex, 0, 4*len(n.cells))
	n.corner = make([]bool, 0, 4*len(n.cells))
	n.segments = make([]segment, 0, 6*len(n.cells))
	n.hot.items = make([]listed, 0, 8*len(n.cells))
	n.heatCorners()
	n.heatNodes()
	n.heatCrossings()
	for e := range n.edges {
		n.bendEdge(int32(e))
	}
	n.bendSides()
}

// heat makes the pixel of v hot in the touched cells around it.
func (n *noder) heat(v Vertex, col, row float64) int32 {
	id, isNew := n.vertexAt.put(v, int32(len(n.vertices)))
	if !isNew {
		return id
	}
	n.vertices = append(n.vertices, v)
	n.corner = append(n.corner, false)
	around(col, row, func(c, r int) {
		if k, ok := n.cellAt.at(int32(r*n.cols + c)); ok {
			n.hot.add(k, id)
		}
	})
	return id
}

func (n *noder) heatCorners() {
	for _, ab := range n.edges {
		col, row := n.place(ab[0])
		n.corner[n.heat(ab[0], col, row)] = true
	}
}

func (n *noder) heatNodes() {
	n.nodes = make([][4]int32, len(n.cells))
	for k, id := range n.cells {
		for i, d := range cellCorners {
			c, r := int(id)%n.cols+d[0], int(id)/n.cols+d[1]
			at := int32(r*(n.cols+1) + c)
			v, ok := n.nodeAt.at(at)
			if !ok {
				v = n.heat(n.node(c, r), float64(c), float64(r))
				n.nodeAt.put(at, v)
			}
			n.nodes[k][i] = v
		}
	}
}

// cellSides are the sides of a cell, each from one of its corners to another.
var cellSides = [4][2]int{{0, 1}, {0, 2}, {2, 3}, {1, 3}}

// heatCrossings finds where boundary edges properly cross cell sides and each
// other. Touching is left to bending: the touching end's pixel is hot already.
func (n *noder) heatCrossings() {
	var edges []int32
	for k, id := range n.cells {
		c, r := float64(int(id)%n.cols), float64(int(id)/n.cols)
		edges = edges[:0]
		for i := n.within.first[k]; i != none; i = n.within.items[i].next {
			edges = append(edges, n.within.items[i].value)
		}
		var corners [4]Vertex
		for i, v := range n.nodes[k] {
			corners[i] = n.vertices[v]
		}
		for _, e := range edges {
			a, b := n.edges[e][0], n.edges[e][1]
			var turn [4]int
			for i, v := range corners {
				turn[i] = orient(a, b, v)
			}
			for _, s := range cellSides {
				if turn[s[0]]*turn[s[1]] >= 0 {
					continue
				}
				p, q := corners[s[0]], corners[s[1]]
				if v, ok := crossing(a, b, p, q); ok {
					// A side is straight in the cells' coordinates too, far within vertexPad.
					t := partWay(p, q, v)
					from, to := cellCorners[s[0]], cellCorners[s[1]]
					n.heat(v, c+float64(from[0])+t*float64(to[0]-from[0]), r+float64(from[1])+t*float64(to[1]-from[1]))
				}
			}
		}
		n.crossEdges(edges)
	}
}

// partWay is how far from p to q a vertex lies, in parts of the way.
func partWay(p, q, v Vertex) float64 {
	if abs(q.X-p.X) > abs(q.Y-p.Y) {
		return float64(v.X-p.X) / float64(q.X-p.X)
	}
	return float64(v.Y-p.Y) / float64(q.Y-p.Y)
}

// crossEdges tries the pairs of edges in one cell whose boxes overlap.
func (n *noder) crossEdges(byX []int32) {
	if len(byX) < 2 {
		return
	}
	low := func(e int32) int64 { return min(n.edges[e][0].X, n.edges[e][1].X) }
	slices.SortFunc(byX, func(e, f int32) int { return cmp.Compare(low(e), low(f)) })
	for i, e := range byX {
		a, b := n.edges[e][0], n.edges[e][1]
		for _, f := range byX[i+1:] {
			if low(f) > max(a.X, b.X) {
				break
			}
			p, q := n.edges[f][0], n.edges[f][1]
			if max(p.Y, q.Y) >= min(a.Y, b.Y) && min(p.Y, q.Y) <= max(a.Y, b.Y) {
				if v, ok := crossing(a, b, p, q); ok {
					col, row := n.place(v)
					n.heat(v, col, row)
				}
			}
		}
	}
}

func (n *noder) bendEdge(e int32) {
	way := n.through(n.edges[e][0], n.edges[e][1], n.passed[n.passedFrom[e]:n.passedFrom[e+1]])
	for i := 1; i < len(way); i++ {
		n.add(way[i-1].vertex, way[i].vertex, 1, none, none, e)
	}
}

// bendSides adds each side of each touched cell once.
func (n *noder) bendSides() {
	for k, id := range n.cells {
		c, r, cols := id%int32(n.cols), id/int32(n.cols), int32(n.cols)
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
	if o, ok := n.cellAt.at(beyond); ok && o < int32(k) {
		return
	}
	// What is hot on the side is known in the cells on both sides of it: see vertexPad.
	way := n.through(n.vertices[n.nodes[k][side[0]]], n.vertices[n.nodes[k][side[1]]], []int32{int32(k)})
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
	return cmp.Or(cmp.Compare(s.along.hi, o.along.hi), cmp.Compare(s.along.lo, o.along.lo), cmp.Compare(s.vertex, o.vertex))
}

// through lists the hot pixels of touched cells that segment ab passes, in order
// along it. The list is good until the next call.
func (n *noder) through(a, b Vertex, cells []int32) []stop {
	way := n.way[:0]
	dx, dy := b.X-a.X, b.Y-a.Y
	for _, k := range cells {
		for i := n.hot.first[k]; i != none; i = n.hot.items[i].next {
			id := n.hot.items[i].value
			if v := n.vertices[id]; hits(a, b, v) {
				way = append(way, stop{product(dx, v.X-a.X).minus(product(dy, a.Y-v.Y)), id})
			}
		}
	}
	n.way = way
	if len(way) == 2 && way[0].compare(way[1]) < 0 {
		return way // of a side that nothing meets, as most are
	}
	slices.SortFunc(way, stop.compare)
	return slices.CompactFunc(way, func(p, q stop) bool { return p.vertex == q.vertex })
}

// add adds the piece from p to q, or what it brings to a piece already there.
func (n *noder) add(p, q, wind, left, right, source int32) {
	a, b := n.vertices[p], n.vertices[q]
	if b.X < a.X || b.X == a.X && b.Y < a.Y {
		p, q, wind, left, right = q, p, -wind, right, left
	}
	i, isNew := n.segmentAt.put(pair(p, q), int32(len(n.segments)))
	if isNew {
		n.segments = append(n.segments, segment{p, q, wind, left, right, source})
		return
	}
	s := &n.segments[i]
	s.wind += wind
	if left != none {
		s.left, s.right = left, right
	}
	s.source = mixed
}

func pair(p, q int32) uint64 { return uint64(uint32(p))<<32 | uint64(uint32(q)) }
