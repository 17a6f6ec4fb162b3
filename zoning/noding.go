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

	cells  []int32         // touched cells, in order of their first touch
	cellAt map[int32]int32 // place in cells, by row*cols+col
	within [][]int32       // edges touching each of cells
	passed [][]int32       // places in cells that each edge touches
	hot    [][]int32       // vertices in each of cells

	vertices []Vertex
	vertexAt map[Vertex]int32
	corner   []bool // whether a vertex is a corner of the parcel

	segments  []segment
	segmentAt map[[2]int32]int32
}

func newNoder(m mesh, rings [][]Vertex) *noder {
	n := &noder{
		mesh:   m,
		cellAt: map[int32]int32{},
	}
	for _, ring := range rings {
		for i, v := range ring {
			n.edges = append(n.edges, [2]Vertex{v, ring[(i+1)%len(ring)]})
		}
	}
	n.passed = make([][]int32, len(n.edges))
	for e, ab := range n.edges {
		n.trace(ab[0], ab[1], func(col, row int) { n.touch(int32(e), col, row) })
	}
	return n
}

func (n *noder) touch(e int32, col, row int) {
	id := int32(row*n.cols + col)
	k, ok := n.cellAt[id]
	if !ok {
		k = int32(len(n.cells))
		n.cellAt[id] = k
		n.cells = append(n.cells, id)
		n.within = append(n.within, nil)
		n.hot = append(n.hot, nil)
	}
	if w := n.within[k]; len(w) > 0 && w[len(w)-1] == e {
		return
	}
	n.within[k] = append(n.within[k], e)
	n.passed[e] = append(n.passed[e], k)
}

func (n *noder) run() {
	// A touched cell brings about two nodes, two sides and a crossing.
	n.vertexAt = make(map[Vertex]int32, 4*len(n.cells))
	n.segmentAt = make(map[[2]int32]int32, 6*len(n.cells))
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
	if id, ok := n.vertexAt[v]; ok {
		return id
	}
	id := int32(len(n.vertices))
	n.vertexAt[v] = id
	n.vertices = append(n.vertices, v)
	n.corner = append(n.corner, false)
	around(col, row, func(c, r int) {
		if k, ok := n.cellAt[int32(r*n.cols+c)]; ok {
			n.hot[k] = append(n.hot[k], id)
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
	for _, id := range n.cells {
		c, r := int(id)%n.cols, int(id)/n.cols
		for _, d := range [4][2]int{{0, 0}, {1, 0}, {0, 1}, {1, 1}} {
			n.heat(n.node(c+d[0], r+d[1]), float64(c+d[0]), float64(r+d[1]))
		}
	}
}

// heatCrossings finds where boundary edges properly cross cell sides and each
// other. Touching is left to bending: the touching end's pixel is hot already.
func (n *noder) heatCrossings() {
	at := func(a, b, p, q Vertex) {
		if v, ok := crossing(a, b, p, q); ok {
			col, row := n.place(v)
			n.heat(v, col, row)
		}
	}
	for k, id := range n.cells {
		c, r := int(id)%n.cols, int(id)/n.cols
		nw, ne, sw, se := n.node(c, r), n.node(c+1, r), n.node(c, r+1), n.node(c+1, r+1)
		for _, e := range n.within[k] {
			a, b := n.edges[e][0], n.edges[e][1]
			at(a, b, nw, ne)
			at(a, b, nw, sw)
			at(a, b, sw, se)
			at(a, b, ne, se)
		}
		n.crossEdges(n.within[k], at)
	}
}

// crossEdges tries the pairs of edges in one cell whose boxes overlap.
func (n *noder) crossEdges(edges []int32, at func(a, b, p, q Vertex)) {
	if len(edges) < 2 {
		return
	}
	byX := slices.Clone(edges)
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
				at(a, b, p, q)
			}
		}
	}
}

func (n *noder) bendEdge(e int32) {
	var bins [][]int32
	for _, k := range n.passed[e] {
		bins = append(bins, n.hot[k])
	}
	a, b := n.edges[e][0], n.edges[e][1]
	way := n.through(a, b, bins)
	for i := 1; i < len(way); i++ {
		n.add(way[i-1], way[i], 1, none, none, e)
	}
}

// bendSides adds each side of each touched cell once.
func (n *noder) bendSides() {
	side := func(k int32, c0, r0, c1, r1, lc, lr, rc, rr int) {
		bins := [][]int32{n.hot[k]}
		left, right := int32(lr*n.cols+lc), int32(rr*n.cols+rc)
		for _, id := range []int32{left, right} {
			if o, ok := n.cellAt[id]; ok && o != k {
				if o < k {
					return // added with the other cell
				}
				bins = append(bins, n.hot[o])
			}
		}
		source := -2 - 2*int32(r0*(n.cols+1)+c0)
		if c0 == c1 {
			source--
		}
		way := n.through(n.node(c0, r0), n.node(c1, r1), bins)
		for i := 1; i < len(way); i++ {
			n.add(way[i-1], way[i], 0, left, right, source)
		}
	}
	for k, id := range n.cells {
		c, r, k := int(id)%n.cols, int(id)/n.cols, int32(k)
		side(k, c, r, c+1, r, c, r-1, c, r)     // eastward: north of it is left
		side(k, c, r+1, c+1, r+1, c, r, c, r+1) //
		side(k, c, r, c, r+1, c, r, c-1, r)     // southward: east of it is left
		side(k, c+1, r, c+1, r+1, c+1, r, c, r) //
	}
}

// through lists the hot pixels that segment ab passes, in order along it.
func (n *noder) through(a, b Vertex, bins [][]int32) []int32 {
	var way []int32
	for _, bin := range bins {
		for _, id := range bin {
			if hits(a, b, n.vertices[id]) {
				way = append(way, id)
			}
		}
	}
	dx, dy := b.X-a.X, b.Y-a.Y
	slices.SortFunc(way, func(i, j int32) int {
		p, q := n.vertices[i], n.vertices[j]
		s := product(dx, p.X-q.X)
		t := product(dy, q.Y-p.Y)
		if c := s.minus(t).sign(); c != 0 {
			return c
		}
		return cmp.Compare(i, j)
	})
	return slices.Compact(way)
}

// add adds the piece from p to q, or what it brings to a piece already there.
func (n *noder) add(p, q, wind, left, right, source int32) {
	a, b := n.vertices[p], n.vertices[q]
	if b.X < a.X || b.X == a.X && b.Y < a.Y {
		p, q, wind, left, right = q, p, -wind, right, left
	}
	key := [2]int32{p, q}
	i, ok := n.segmentAt[key]
	if !ok {
		n.segmentAt[key] = int32(len(n.segments))
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
