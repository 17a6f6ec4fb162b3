package coverage

// First stage of simplifying: in comes a coverage by label; out goes one by class.

// joined is the coverage with the faces of one class made one and the arcs
// between them left out; what is left of an arc runs from one junction of three
// arcs or more to the next. The mask of a face holds the classes that may have
// all of it. All vertices belong to the new coverage.
func (c *Coverage) joined(class func(Mask) int) *Coverage {
	j := &joiner{
		view: newView(c, class),
		out:  &Coverage{spans: c.spans, parts: c.parts, unit: c.unit},
		part: make([]int32, 2*len(c.Arcs)),
	}
	j.faces()
	j.arcs()
	j.junctions()
	j.out.measure()
	return j.out
}

type joiner struct {
	view *view
	out  *Coverage
	face []int32 // by old face: the new one
	part []int32 // by old half-arc: the new half-arc that begins with it
}

func (j *joiner) faces() {
	j.face = make([]int32, len(j.view.cov.Faces))
	for f := range j.view.cov.Faces {
		root := j.view.pieces.root(int32(f)) // the first face of its piece
		if int(root) == f {
			j.face[f] = int32(len(j.out.Faces))
			j.out.Faces = append(j.out.Faces, Face{Mask: j.view.cov.Faces[f].Mask})
			continue
		}
		j.face[f] = j.face[root]
		j.out.Faces[j.face[f]].Mask &= j.view.cov.Faces[f].Mask
	}
	for _, m := range j.view.cov.moved {
		m.from, m.to = j.face[m.from], j.face[m.to]
		j.out.moved = append(j.out.moved, m)
	}
}

// meets reports whether three kept arcs or more end at a node.
func (j *joiner) meets(node int32) bool {
	kept := 0
	for _, h := range j.view.cov.nodes[node].arcs {
		if j.view.kept(h >> 1) {
			kept++
		}
	}
	return kept > 2
}

// arcs strings half-arcs together: from each junction, then around what meets
// none.
func (j *joiner) arcs() {
	for n := range j.view.cov.nodes {
		if !j.meets(int32(n)) {
			continue
		}
		for _, h := range j.view.cov.nodes[n].arcs {
			if j.view.kept(h>>1) && !j.view.seen[h] {
				j.chain(h)
			}
		}
	}
	for h := int32(0); int(h) < len(j.view.seen); h += 2 {
		if j.view.kept(h>>1) && !j.view.seen[h] {
			j.chain(h)
		}
	}
}

// chain makes one arc of a half-arc and those that go on from it.
func (j *joiner) chain(start int32) {
	a := int32(len(j.out.Arcs))
	arc := Arc{from: none, to: none}
	side := func(face int32) int32 {
		if face < 0 {
			return face
		}
		return j.face[face]
	}
	arc.Left, arc.Right = side(j.view.left(start)), side(j.view.left(start^1))
	h := start
	for {
		j.view.seen[h], j.view.seen[h^1] = true, true
		arc.Vertices = j.appendHalf(arc.Vertices, h)
		n := j.view.target(h)
		if n == none || j.meets(n) {
			break
		}
		next := j.view.next(h)
		if next == start {
			break
		}
		h = next
	}
	j.part[start], j.part[h^1] = 2*a, 2*a+1
	j.out.Arcs = append(j.out.Arcs, arc)
}

// appendHalf appends the vertices of a half-arc to those of the one before it.
func (j *joiner) appendHalf(to []Vertex, h int32) []Vertex {
	vs := j.view.cov.Arcs[h>>1].Vertices
	if len(to) > 0 {
		to = to[:len(to)-1] // the node they share
	}
	if h&1 == 0 {
		return append(to, vs...)
	}
	for i := len(vs) - 1; i >= 0; i-- {
		to = append(to, vs[i])
	}
	return to
}

// junctions lists the new half-arcs around each node that is still a junction, in
// the order of the old.
func (j *joiner) junctions() {
	for n := range j.view.cov.nodes {
		if !j.meets(int32(n)) {
			continue
		}
		id := int32(len(j.out.nodes))
		var around node
		for _, h := range j.view.cov.nodes[n].arcs {
			if !j.view.kept(h >> 1) {
				continue
			}
			g := j.part[h]
			around.arcs = append(around.arcs, g)
			if a := &j.out.Arcs[g>>1]; g&1 == 0 {
				a.from = id
			} else {
				a.to = id
			}
		}
		j.out.nodes = append(j.out.nodes, around)
	}
}
