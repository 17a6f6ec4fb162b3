package coverage

// First stage: in come a mesh and rings, directed; out go segments that meet only at
// their ends (noded): the boundary's, and those of the sides of the cells it touches.

import (
	"cmp"
	"slices"
	"sync"
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

// noded is the parcel's boundary and the sides of the cells it touches, in segments
// that meet only at their ends.
type noded struct {
	cells  []int32    // touched cells, in order of their first touch
	cellAt places     // place in cells, by row*cols+col
	nodes  [][4]int32 // vertices at the corners of each of cells: north-west, north-east, south-west, south-east

	vertices []Vertex
	vertexAt *table[Vertex]
	nodeAt   places // vertex, by row*(cols+1)+col of the mesh node
	corner   []bool // whether a vertex is a corner of the parcel

	segments  []segment
	segmentAt *table[uint64] // by both ends
}

// noder makes segments of a boundary by snap rounding (Guibas and Marimont 1998, Rounding
// arrangements dynamically): every corner, node and crossing makes the unit
// pixel it falls in hot, and every segment is bent through the centres of the
// hot pixels it passes. Rounded this way, segments never cross anew, so what
// is built on them is valid as written.
type noder struct {
	mesh  *mesh
	noded noded       // what it hands on
	edges [][2]Vertex // directed, the parcel on their left

	within     lists   // edges touching each cell
	hot        lists   // vertices in each cell
	passed     []int32 // places among the cells that edges touch, edge after edge
	passedFrom []int32 // where those of each edge begin

	way   []stop  // scratch
	met   []int32 // by vertex, the edge that met it last, counted from 1
	work  work
	arena arena // for what is built on the segments
}

// noders are those of earlier cuts: an acre lot's takes 300 kB, which would have to be
// made and cleared away for each.
var noders = sync.Pool{New: func() any {
	return &noder{noded: noded{
		cellAt: newPlaces(), nodeAt: newPlaces(), vertexAt: newTable(0, hashVertex), segmentAt: newTable(0, hashPair),
	}}
}}

// mostKeptCells is how many touched cells a noder may have had to be used again.
const mostKeptCells = 1 << 12

// release lets go of a noder, of which nothing may be in use.
func (n *noder) release() {
	if len(n.noded.cells) <= mostKeptCells {
		noders.Put(n)
	}
}

// The corners of a cell, in the order of noder.nodes.
var cellCorners = [4][2]int{{0, 0}, {1, 0}, {0, 1}, {1, 1}}

func newNoder(m *mesh, rings [][]Vertex) *noder {
	n := noders.Get().(*noder)
	n.mesh = m
	n.noded.cellAt.empty(2*(m.cols+m.rows), m.cols*m.rows)
	n.edges, n.noded.cells, n.passed, n.passedFrom = n.edges[:0], n.noded.cells[:0], n.passed[:0], n.passedFrom[:0]
	n.noded.vertices, n.noded.corner, n.noded.segments, n.work = n.noded.vertices[:0], n.noded.corner[:0], n.noded.segments[:0], work{}
	n.within.reset()
	n.hot.reset()
	n.arena.reset()
	for _, ring := range rings {
		for i, v := range ring {
			n.edges = append(n.edges, [2]Vertex{v, ring[(i+1)%len(ring)]})
		}
	}
	for e, ab := range n.edges {
		n.passedFrom = append(n.passedFrom, int32(len(n.passed)))
		n.mesh.trace(ab[0], ab[1], func(col, row int) { n.touch(int32(e), col, row) })
	}
	n.passedFrom = append(n.passedFrom, int32(len(n.passed)))
	return n
}

func (n *noder) touch(e int32, col, row int) {
	id := int32(row*n.mesh.cols + col)
	k, isNew := n.noded.cellAt.put(id, int32(len(n.noded.cells)))
	if isNew {
		n.noded.cells = append(n.noded.cells, id)
		n.within.begin()
		n.hot.begin()
	}
	if n.within.endsWith(k, e) {
		return
	}
	n.within.add(k, e)
	n.passed = append(n.passed, k)
}

// work counts what one cut takes.
type work struct{ tried int }

// try counts pairs of edges, corners and crossings that are held against each other
// because they lie in one cell, and reports whether there are few enough to go on: of a
// boundary whose corners crowd in a few cells it is their square.
func (w *work) try(pairs int) bool {
	w.tried += pairs
	return w.tried <= maxTries
}

// crossingTries is what a crossing counts as: it makes a vertex that is kept.
const crossingTries = 64

// run returns the segments. They are good until the noder is released.
func (n *noder) run() (*noded, error) {
	// A touched cell brings about two nodes, two sides and a crossing.
	cells := len(n.noded.cells)
	n.noded.vertexAt.empty(4 * cells)
	n.noded.nodeAt.empty(3*cells, (n.mesh.cols+1)*(n.mesh.rows+1))
	n.noded.segmentAt.empty(6 * cells)
	n.noded.vertices, n.noded.corner = slices.Grow(n.noded.vertices, 4*cells), slices.Grow(n.noded.corner, 4*cells)
	n.noded.segments, n.hot.items = slices.Grow(n.noded.segments, 6*cells), slices.Grow(n.hot.items, 8*cells)
	n.heatCorners()
	n.heatNodes()
	if err := n.heatCrossings(); err != nil {
		return nil, err
	}
	bends, most := n.bends()
	if !n.work.try(bends) {
		return nil, n.crowded(most)
	}
	n.met = n.arena.make(len(n.noded.vertices))
	for e := range n.edges {
		n.bendEdge(int32(e))
	}
	n.bendSides()
	return &n.noded, nil
}

// crowded is the fault of the kth touched cell.
func (n *noder) crowded(k int) error {
	return &fault{errCrowded, n.noded.vertices[n.noded.nodes[k][0]]}
}

// bends is how many hot vertices are held against edges in all, and at which touched
// cell the most are.
func (n *noder) bends() (sum, most int) {
	mostHere := 0
	for k := range n.noded.cells {
		edges, hot := 0, 0
		for i := n.within.first[k]; i != none; i = n.within.items[i].next {
			edges++
		}
		for i := n.hot.first[k]; i != none; i = n.hot.items[i].next {
			hot++
		}
		sum += edges * hot
		if edges*hot > mostHere {
			mostHere, most = edges*hot, k
		}
	}
	return sum, most
}

// heat makes the pixel of v hot in the touched cells around it.
func (n *noder) heat(v Vertex, col, row float64) int32 {
	id, isNew := n.number(v)
	if isNew {
		around(col, row, func(c, r int) { n.heatIn(c, r, id) })
	}
	return id
}

// heatNode is heat of the north-west corner of a cell.
func (n *noder) heatNode(col, row int) int32 {
	id, isNew := n.number(n.mesh.node(col, row))
	if isNew {
		for _, d := range cellCorners {
			n.heatIn(col-1+d[0], row-1+d[1], id)
		}
	}
	return id
}

// number gives a vertex a number unless it has one, and tells which it has.
func (n *noder) number(v Vertex) (id int32, isNew bool) {
	id, isNew = n.noded.vertexAt.put(v, int32(len(n.noded.vertices)))
	if isNew {
		n.noded.vertices = append(n.noded.vertices, v)
		n.noded.corner = append(n.noded.corner, false)
	}
	return id, isNew
}

// heatIn makes the pixel of a vertex hot in a cell, if that is touched.
func (n *noder) heatIn(col, row int, id int32) {
	if k, ok := n.noded.cellAt.at(int32(row*n.mesh.cols + col)); ok {
		n.hot.add(k, id)
	}
}

func (n *noder) heatCorners() {
	for _, ab := range n.edges {
		col, row := n.mesh.place(ab[0])
		n.noded.corner[n.heat(ab[0], col, row)] = true
	}
}

func (n *noder) heatNodes() {
	n.noded.nodes = slices.Grow(n.noded.nodes[:0], len(n.noded.cells))[:len(n.noded.cells)]
	for k, id := range n.noded.cells {
		for i, d := range cellCorners {
			c, r := int(id)%n.mesh.cols+d[0], int(id)/n.mesh.cols+d[1]
			at := int32(r*(n.mesh.cols+1) + c)
			v, ok := n.noded.nodeAt.at(at)
			if !ok {
				v = n.heatNode(c, r)
				n.noded.nodeAt.put(at, v)
			}
			n.noded.nodes[k][i] = v
		}
	}
}

// cellSides are the sides of a cell, each from one of its corners to another.
var cellSides = [4][2]int{{0, 1}, {0, 2}, {2, 3}, {1, 3}}

// heatCrossings finds where boundary edges properly cross cell sides and each
// other; an error where too many pairs would have to be tried. Touching is left to
// bending: the touching end's pixel is hot already.
func (n *noder) heatCrossings() error {
	var edges []int32
	for k, id := range n.noded.cells {
		c, r := float64(int(id)%n.mesh.cols), float64(int(id)/n.mesh.cols)
		edges = edges[:0]
		for i := n.within.first[k]; i != none; i = n.within.items[i].next {
			edges = append(edges, n.within.items[i].value)
		}
		var corners [4]Vertex
		for i, v := range n.noded.nodes[k] {
			corners[i] = n.noded.vertices[v]
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
		if !n.crossEdges(edges) {
			return n.crowded(k)
		}
	}
	return nil
}

// partWay is how far from p to q a vertex lies, in parts of the way.
func partWay(p, q, v Vertex) float64 {
	if abs(q.X-p.X) > abs(q.Y-p.Y) {
		return float64(v.X-p.X) / float64(q.X-p.X)
	}
	return float64(v.Y-p.Y) / float64(q.Y-p.Y)
}

// crossEdges tries the pairs of edges in one cell whose boxes overlap, and reports whether
// there are few enough.
func (n *noder) crossEdges(byX []int32) bool {
	if len(byX) < 2 {
		return true
	}
	low := func(e int32) int64 { return min(n.edges[e][0].X, n.edges[e][1].X) }
	slices.SortFunc(byX, func(e, f int32) int { return cmp.Compare(low(e), low(f)) })
	for i, e := range byX {
		a, b := n.edges[e][0], n.edges[e][1]
		tried := 0
		for _, f := range byX[i+1:] {
			if low(f) > max(a.X, b.X) {
				break
			}
			tried++
			p, q := n.edges[f][0], n.edges[f][1]
			if max(p.Y, q.Y) >= min(a.Y, b.Y) && min(p.Y, q.Y) <= max(a.Y, b.Y) {
				if v, ok := crossing(a, b, p, q); ok {
					col, row := n.mesh.place(v)
					n.heat(v, col, row)
					tried += crossingTries
				}
			}
		}
		if !n.work.try(tried) {
			return false
		}
	}
	return true
}
