package coverage

// Fourth stage: in come faces; out goes a Coverage of arcs, junctions and the faces' sides.

import "slices"

// tracer walks the lines between faces: half-edges of the arrangement, and
// between untouched cells the sides where labels change. Nodes of the walk are
// vertices of the arrangement, then mesh nodes that are not among them.
type tracer struct {
	mesh  *mesh
	noded *noded
	arr   *arrangement
	faces *faces

	nodeOf  []int32 // mesh node of each vertex of the arrangement, or none
	passed  []bool  // whether a line passes a vertex of the arrangement
	seenSeg []bool
	seenE   bitset // sides going east from a mesh node
	seenS   bitset // sides going south
	keepAll bool
	fan     []spoke // scratch
	none    []int32 // scratch
	line    pen

	spokeStore  store[spoke]
	arcStore    store[int32]
	vertexStore store[Vertex]

	junctionAt map[int32]int32
	cov        *Coverage
}

type bitset []uint64

func (b bitset) has(i int32) bool { return b[i>>6]>>(i&63)&1 != 0 }
func (b bitset) set(i int32)      { b[i>>6] |= 1 << (i & 63) }

// spoke is one way out of a node: a half-edge, or a side between untouched
// cells in direction dir.
type spoke struct {
	half int32 // none for a side
	dir  int32 // east, north, west, south
}

const (
	east int32 = iota
	north
	west
	south
)

func newTracer(f *faces) *tracer {
	t := &tracer{mesh: f.mesh, noded: f.noded, arr: f.arr, faces: f}
	t.nodeOf, t.passed = f.arena.make(len(f.noded.vertices)), f.arena.makeFlags(len(f.noded.vertices))
	for i := range t.nodeOf {
		t.nodeOf[i] = none
	}
	for k, cell := range f.noded.cells {
		c, r := cell%int32(f.mesh.cols), cell/int32(f.mesh.cols)
		for i, d := range cellCorners {
			t.nodeOf[f.noded.nodes[k][i]] = (r+int32(d[1]))*int32(f.mesh.cols+1) + c + int32(d[0])
		}
	}
	return t
}

// coverage traces every arc once. Vertices that only mark where a straight edge
// met a cell side are left out, unless that would lay two arcs on one another.
func (t *tracer) coverage() *Coverage {
	for _, t.keepAll = range []bool{false, true} {
		t.seenSeg = t.faces.arena.makeFlags(len(t.noded.segments))
		words := ((t.mesh.cols+1)*(t.mesh.rows+1) + 63) / 64
		t.seenE, t.seenS = make(bitset, words), make(bitset, words)
		t.junctionAt = map[int32]int32{}
		t.line = pen{keepAll: t.keepAll}
		t.cov = &Coverage{unit: t.mesh.unit}
		t.traceAll()
		if !t.overlaid(t.line.chords) {
			break
		}
	}
	return t.cov
}

func (t *tracer) traceAll() {
	explicit := int32(len(t.noded.vertices))
	for v := range explicit {
		t.addJunction(v)
		t.passed[v] = len(t.fan) == 2
	}
	meets, turns := t.meetsAndTurns()
	for _, i := range meets {
		t.addJunction(explicit + i)
	}
	for j := range t.cov.nodes {
		for k := range t.cov.nodes[j].spokes {
			if t.cov.nodes[j].arcs[k] == none {
				t.walk(t.cov.nodes[j].id, t.cov.nodes[j].spokes[k], int32(j), int32(k))
			}
		}
	}
	// What is left are loops that meet no junction. Begin at a corner, which
	// is never left out.
	for _, corners := range []bool{true, false} {
		for v := range explicit {
			if t.passed[v] && t.noded.corner[v] == corners {
				t.walkLoop(v)
			}
		}
	}
	for _, s := range turns {
		if !t.seen(explicit+s.node, s.spoke) {
			t.walk(explicit+s.node, s.spoke, none, none)
		}
	}
}

// turn is a mesh node where one line turns, and its way along the row.
type turn struct {
	node  int32
	spoke spoke
}

// meetsAndTurns lists the mesh nodes among untouched cells where lines meet, and
// those where one line turns. The rim of the mesh is a margin of outside cells,
// without lines.
func (t *tracer) meetsAndTurns() (meets []int32, turns []turn) {
	turns = t.faces.arena.turns[:0]
	for r := 1; r < t.mesh.rows; r++ {
		above := t.faces.label[(r-1)*t.mesh.cols : r*t.mesh.cols]
		below := t.faces.label[r*t.mesh.cols : (r+1)*t.mesh.cols]
		nw, sw := above[0], below[0]
		for c := 1; c < len(above) && c < len(below); c++ {
			ne, se := above[c], below[c]
			if !(nw == ne && sw == se) && !(nw == sw && ne == se) && nw != edge && ne != edge && sw != edge && se != edge {
				i := int32(r*(t.mesh.cols+1) + c)
				switch {
				case nw == sw && (nw == ne || nw == se):
					turns = append(turns, turn{i, spoke{none, east}})
				case ne == se && (ne == nw || ne == sw):
					turns = append(turns, turn{i, spoke{none, west}})
				default:
					meets = append(meets, i)
				}
			}
			nw, sw = ne, se
		}
	}
	t.faces.arena.turns = turns
	return meets, turns
}

func (t *tracer) walkLoop(node int32) {
	t.fan = t.spokes(node, t.fan[:0])
	for _, s := range t.fan {
		if !t.seen(node, s) {
			t.walk(node, s, none, none)
			return
		}
	}
}

// labels are those of the cells north-west, north-east, south-west and
// south-east of a mesh node off the rim.
func (t *tracer) labels(c, r int32) (nw, ne, sw, se Mask) {
	i := (r-1)*int32(t.mesh.cols) + c - 1
	j := i + int32(t.mesh.cols)
	return t.faces.label[i], t.faces.label[i+1], t.faces.label[j], t.faces.label[j+1]
}

// spokes lists the ways out of a node along which faces differ, counter-
// clockwise from east.
func (t *tracer) spokes(node int32, to []spoke) []spoke {
	explicit := int32(len(t.noded.vertices))
	mesh := node - explicit
	if node < explicit {
		for _, h := range t.arr.out[t.arr.first[node]:t.arr.first[node+1]] {
			if t.faces.halfLabel[h] != t.faces.halfLabel[h^1] {
				to = append(to, spoke{h, 0})
			}
		}
		mesh = t.nodeOf[node]
		if mesh == none {
			return to
		}
	}
	c, r := mesh%int32(t.mesh.cols+1), mesh/int32(t.mesh.cols+1)
	nw, ne, sw, se := t.labels(c, r)
	sides := len(to)
	for dir, pair := range [4][2]Mask{{ne, se}, {nw, ne}, {sw, nw}, {se, sw}} {
		if pair[0] != pair[1] && pair[0] != edge && pair[1] != edge {
			to = append(to, spoke{none, int32(dir)})
		}
	}
	if sides > 0 && len(to) > sides {
		slices.SortFunc(to, func(a, b spoke) int { return compareTurn(t.heading(node, a), t.heading(node, b)) })
	}
	return to
}

func (t *tracer) heading(node int32, s spoke) Vertex {
	p, q := t.vertexOf(node), t.vertexOf(t.end(node, s))
	return Vertex{q.X - p.X, q.Y - p.Y}
}

// vertexOf is a node's vertex.
func (t *tracer) vertexOf(node int32) Vertex {
	if node < int32(len(t.noded.vertices)) {
		return t.noded.vertices[node]
	}
	i := int(node) - len(t.noded.vertices)
	return t.mesh.node(i%(t.mesh.cols+1), i/(t.mesh.cols+1))
}

// meshNode is the mesh node of a node of the walk.
func (t *tracer) meshNode(node int32) int32 {
	if explicit := int32(len(t.noded.vertices)); node >= explicit {
		return node - explicit
	}
	return t.nodeOf[node]
}

// end is the node at the other end of a spoke.
func (t *tracer) end(node int32, s spoke) int32 {
	if s.half != none {
		return t.arr.origin(s.half ^ 1)
	}
	stride := int32(t.mesh.cols + 1)
	i := t.meshNode(node) + [4]int32{1, -stride, -1, stride}[s.dir]
	c, r := i%stride, i/stride
	if nw, ne, sw, se := t.labels(c, r); nw == edge || ne == edge || sw == edge || se == edge {
		v, _ := t.noded.nodeAt.at(i)
		return v
	}
	return int32(len(t.noded.vertices)) + i
}

// back is the spoke seen from its other end.
func (s spoke) back() spoke {
	if s.half != none {
		return spoke{s.half ^ 1, 0}
	}
	return spoke{none, s.dir ^ 2}
}

// side is where a side is remembered: in which set, and at which mesh node.
func (t *tracer) side(node int32, dir int32) (bitset, int32) {
	i := t.meshNode(node)
	switch dir {
	case east:
		return t.seenE, i
	case west:
		return t.seenE, i - 1
	case south:
		return t.seenS, i
	}
	return t.seenS, i - int32(t.mesh.cols+1)
}

func (t *tracer) seen(node int32, s spoke) bool {
	if s.half != none {
		return t.seenSeg[s.half>>1]
	}
	set, i := t.side(node, s.dir)
	return set.has(i)
}

func (t *tracer) see(node int32, s spoke) {
	if s.half != none {
		t.seenSeg[s.half>>1] = true
		return
	}
	set, i := t.side(node, s.dir)
	set.set(i)
}

// leftFace is the face on the left of a spoke.
func (t *tracer) leftFace(node int32, s spoke) int32 {
	if s.half != none {
		return t.faces.face(s.half)
	}
	i := t.meshNode(node)
	c, r := i%int32(t.mesh.cols+1), i/int32(t.mesh.cols+1)
	d := [4][2]int32{{0, -1}, {-1, -1}, {-1, 0}, {0, 0}}[s.dir]
	return t.faces.cellFace((r+d[1])*int32(t.mesh.cols) + c + d[0])
}

// addJunction notes a node where three lines or more meet.
func (t *tracer) addJunction(id int32) {
	t.fan = t.spokes(id, t.fan[:0])
	if len(t.fan) < 3 {
		return
	}
	t.junctionAt[id] = int32(len(t.cov.nodes))
	n := node{id: id, spokes: t.spokeStore.keep(t.fan)}
	t.none = t.none[:0]
	for range t.fan {
		t.none = append(t.none, none)
	}
	n.arcs = t.arcStore.keep(t.none)
	t.cov.nodes = append(t.cov.nodes, n)
}

// walk follows one arc from a node to the next junction, or around a loop.
func (t *tracer) walk(from int32, s spoke, junction, slot int32) {
	cov := t.cov
	a := int32(len(cov.Arcs))
	arc := Arc{Left: t.leftFace(from, s), from: junction, to: none}
	line := &t.line
	line.start(t.vertexOf(from))
	at := from
	for {
		if next, on, how, ok := t.onward(at, s); ok && next != from {
			t.see(at, s)
			line.pass(t.vertexOf(next), how)
			at, s = next, on
			continue
		}
		t.see(at, s)
		next := t.end(at, s)
		back := s.back()
		t.fan = t.spokes(next, t.fan[:0])
		if len(t.fan) > 2 {
			arc.Right = t.leftFace(next, back)
			arc.to = t.junctionAt[next]
			end := &cov.nodes[arc.to]
			end.arcs[slices.Index(end.spokes, back)] = 2*a + 1
			line.keep(t.vertexOf(next))
			break
		}
		if next == from {
			arc.Right = t.leftFace(next, back)
			line.keep(t.vertexOf(next))
			break
		}
		on := t.fan[0]
		if on == back {
			on = t.fan[1]
		}
		line.pass(t.vertexOf(next), t.straight(next, s, on))
		at, s = next, on
	}
	arc.Vertices = t.vertexStore.keep(line.vertices)
	cov.Arcs = append(cov.Arcs, arc)
	if junction != none {
		cov.nodes[junction].arcs[slot] = 2 * a
	}
}

// onward follows a side to a node among untouched cells where the line just
// goes on or turns: by far the most common step, taken without a list of
// spokes. The four cells there, seen along the way, tell how.
func (t *tracer) onward(at int32, s spoke) (next int32, on spoke, how manner, ok bool) {
	if s.half != none {
		return 0, spoke{}, 0, false
	}
	stride := int32(t.mesh.cols + 1)
	i := t.meshNode(at) + [4]int32{1, -stride, -1, stride}[s.dir]
	nw, ne, sw, se := t.labels(i%stride, i/stride)
	if nw == edge || ne == edge || sw == edge || se == edge {
		return 0, spoke{}, 0, false
	}
	var left, right, aheadLeft, aheadRight Mask
	switch s.dir {
	case east:
		left, right, aheadLeft, aheadRight = nw, sw, ne, se
	case north:
		left, right, aheadLeft, aheadRight = sw, se, nw, ne
	case west:
		left, right, aheadLeft, aheadRight = se, ne, sw, nw
	default:
		left, right, aheadLeft, aheadRight = ne, nw, se, sw
	}
	next = int32(len(t.noded.vertices)) + i
	switch {
	case aheadLeft == left && aheadRight == right:
		return next, s, alongRow, true
	case aheadLeft == right && aheadRight == right:
		return next, spoke{none, (s.dir + 1) & 3}, turns, true
	case aheadLeft == left && aheadRight == left:
		return next, spoke{none, (s.dir + 3) & 3}, turns, true
	}
	return 0, spoke{}, 0, false
}

func (t *tracer) straight(node int32, in, out spoke) manner {
	switch {
	case in.half == none && out.half == none && in.dir == out.dir && node >= int32(len(t.noded.vertices)):
		return alongRow
	case in.half != none && out.half != none && !t.noded.corner[node]:
		if src := t.noded.segments[in.half>>1].source; src != mixed && src == t.noded.segments[out.half>>1].source {
			return along
		}
	}
	return turns
}
