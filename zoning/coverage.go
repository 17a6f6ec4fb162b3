package zoning

import (
	"slices"

	"github.com/paulmach/orb"
)

// Coverage is a parcel divided into faces, connected pieces of one mask, by
// arcs that neighbours share. Polygons are a view of it: see
// [Coverage.Polygons].
type Coverage struct {
	Arcs  []Arc
	Faces []Face

	nodes []node
	spans []span
	parts []part
	unit  float64
}

// Arc is a line between two faces, or between a face and the outside, from one
// junction to the next or once around.
type Arc struct {
	Vertices    []Vertex // a loop repeats its first vertex at its end
	Left, Right int32    // faces on either side; -1 is outside the parcel
	from, to    int32    // junctions; none for a loop
}

// Face is a connected piece of a parcel whose cells have one mask.
type Face struct {
	Mask Mask
	M2   float64 // plan area of the outline as written, square metres
}

// node is a junction of arcs. Its spokes run counter-clockwise from east; arcs
// has for each the half-arc that leaves along it, 2a forward and 2a+1 back.
type node struct {
	id     int32
	spokes []spoke
	arcs   []int32
}

// span is a stretch of a row whose cells lie inside whole, part a cell with the
// share of it that does. Both count cells as the masks did.
type span struct{ row, from, to int }

type part struct {
	col, row int
	share    float64
}

// EachCell calls visit for every cell that lies inside the parcel, with the
// share of it that does. Columns and rows count from the window of masks that
// was cut, and lie outside of it where the parcel does.
func (c *Coverage) EachCell(visit func(col, row int, share float64)) {
	for _, s := range c.spans {
		for col := s.from; col < s.to; col++ {
			visit(col, s.row, 1)
		}
	}
	for _, p := range c.parts {
		visit(p.col, p.row, p.share)
	}
}

// finish measures the faces and moves vertices to where the owner has them.
func (c *Coverage) finish(masks []Mask, turn int64) {
	c.Faces = make([]Face, len(masks))
	for i, m := range masks {
		c.Faces[i].Mask = m
	}
	for i := range c.Arcs {
		a := &c.Arcs[i]
		var m2 float64
		for k := range a.Vertices {
			a.Vertices[k].X -= turn
			if k > 0 {
				p, q := c.point(a.Vertices[k-1]), c.point(a.Vertices[k])
				m2 += edgeAreaM2(p[0], p[1], q[0], q[1])
			}
		}
		if a.Left >= 0 {
			c.Faces[a.Left].M2 += m2
		}
		if a.Right >= 0 {
			c.Faces[a.Right].M2 -= m2
		}
	}
	for i := range c.nodes {
		c.nodes[i].spokes = nil // only tracing needs them
	}
}

func (c *Coverage) point(v Vertex) orb.Point {
	return orb.Point{float64(v.X) / c.unit, float64(v.Y) / c.unit}
}

// append adds another part of the same parcel, which it does not touch.
func (c *Coverage) append(o *Coverage) {
	faces, nodes, arcs := int32(len(c.Faces)), int32(len(c.nodes)), int32(len(c.Arcs))
	shift := func(v *int32, by int32) {
		if *v != none {
			*v += by
		}
	}
	for _, a := range o.Arcs {
		shift(&a.Left, faces)
		shift(&a.Right, faces)
		shift(&a.from, nodes)
		shift(&a.to, nodes)
		c.Arcs = append(c.Arcs, a)
	}
	for _, n := range o.nodes {
		for i := range n.arcs {
			n.arcs[i] += 2 * arcs
		}
		c.nodes = append(c.nodes, n)
	}
	c.Faces = append(c.Faces, o.Faces...)
	c.spans = append(c.spans, o.spans...)
	c.parts = append(c.parts, o.parts...)
}

// M2 is the plan area of the parcel as written, in square metres.
func (c *Coverage) M2() float64 {
	var sum float64
	for _, f := range c.Faces {
		sum += f.M2
	}
	return sum
}

// Polygons draws the coverage sorted into n classes: class gives each mask one
// of 0 to n-1, or -1 to leave it out. Element i holds the ground of class i,
// valid by OGC rules and wound by RFC 7946: shells counter-clockwise, holes
// clockwise, the first point repeated at the end. Faces of one class that share
// an edge are joined.
func (c *Coverage) Polygons(n int, class func(Mask) int) []orb.MultiPolygon {
	v := newView(c, class)
	out := make([]orb.MultiPolygon, n)
	for _, p := range v.polygons() {
		poly := make(orb.Polygon, len(p.rings))
		for i, r := range p.rings {
			poly[i] = make(orb.Ring, len(r))
			for k, w := range r {
				poly[i][k] = c.point(w)
			}
		}
		out[p.class] = append(out[p.class], poly)
	}
	return out
}

// Outline is the parcel as written: the owner's corners, and the vertices where
// lines between faces meet the boundary.
func (c *Coverage) Outline() orb.MultiPolygon {
	return c.Polygons(1, func(Mask) int { return 0 })[0]
}

// view is a coverage with faces sorted into classes.
type view struct {
	*Coverage
	class  []int   // by face
	parent []int32 // joins faces of one class that share an arc
	seen   []bool  // by half-arc
}

type polygon struct {
	class int
	rings [][]Vertex // the shell, then the holes
}

func newView(c *Coverage, class func(Mask) int) *view {
	v := &view{c, make([]int, len(c.Faces)), make([]int32, len(c.Faces)), make([]bool, 2*len(c.Arcs))}
	for i, f := range c.Faces {
		v.class[i], v.parent[i] = class(f.Mask), int32(i)
	}
	for a := range c.Arcs {
		if l, r := c.Arcs[a].Left, c.Arcs[a].Right; !v.kept(int32(a)) && l >= 0 && r >= 0 {
			l, r = v.root(l), v.root(r)
			v.parent[max(l, r)] = min(l, r)
		}
	}
	return v
}

func (v *view) root(f int32) int32 {
	for v.parent[f] != f {
		v.parent[f] = v.parent[v.parent[f]]
		f = v.parent[f]
	}
	return f
}

func (v *view) classOf(face int32) int {
	if face < 0 {
		return -1
	}
	return v.class[face]
}

// kept tells whether an arc parts two classes.
func (v *view) kept(arc int32) bool {
	a := &v.Arcs[arc]
	return v.classOf(a.Left) != v.classOf(a.Right)
}

// left is the face on the left of a half-arc.
func (v *view) left(h int32) int32 {
	if h&1 == 0 {
		return v.Arcs[h>>1].Left
	}
	return v.Arcs[h>>1].Right
}

// target is the junction at the end of a half-arc, none for a loop.
func (v *view) target(h int32) int32 {
	if h&1 == 0 {
		return v.Arcs[h>>1].to
	}
	return v.Arcs[h>>1].from
}

// next follows the class on the left: at the junction, the first kept half-arc
// clockwise from the way back. Ground that meets only at the junction is thus
// not joined.
func (v *view) next(h int32) int32 {
	j := v.target(h)
	if j == none {
		return h
	}
	arcs := v.nodes[j].arcs
	at := slices.Index(arcs, h^1)
	for i := 1; ; i++ {
		if g := arcs[(at-i+len(arcs))%len(arcs)]; v.kept(g >> 1) {
			return g
		}
	}
}

// polygons traces the rings and gives every hole its shell. The rings of one
// face of the view are exactly one shell and the holes in it, since a face is
// connected, so no point need be looked for in any ring.
func (v *view) polygons() []polygon {
	type ringOf struct {
		face int32
		ring []Vertex
	}
	var rings []ringOf
	for h := range int32(len(v.seen)) {
		if v.seen[h] || !v.kept(h>>1) || v.classOf(v.left(h)) < 0 {
			continue
		}
		face := v.root(v.left(h))
		for _, r := range v.ringsFrom(h) {
			rings = append(rings, ringOf{face, r})
		}
	}
	slices.SortStableFunc(rings, func(a, b ringOf) int { return int(a.face) - int(b.face) })
	var out []polygon
	for i := 0; i < len(rings); {
		p := polygon{class: v.class[rings[i].face]}
		j := i
		for ; j < len(rings) && rings[j].face == rings[i].face; j++ {
			p.rings = append(p.rings, rings[j].ring)
			if last := len(p.rings) - 1; ccw(rings[j].ring) {
				p.rings[0], p.rings[last] = p.rings[last], p.rings[0]
			}
		}
		out = append(out, p)
		i = j
	}
	return out
}

// ringsFrom follows a half-arc around and splits the way wherever it comes back
// to a junction, so that each ring is simple.
func (v *view) ringsFrom(start int32) [][]Vertex {
	var out [][]Vertex
	var way []int32          // half-arcs since the last split
	place := map[int32]int{} // junction to its place in way
	for h, first := start, true; first || h != start; h, first = v.next(h), false {
		v.seen[h] = true
		if from := v.target(h ^ 1); from != none {
			if i, again := place[from]; again {
				out = append(out, v.ring(way[i:]))
				for _, g := range way[i:] {
					delete(place, v.target(g^1))
				}
				way = way[:i]
			}
			place[from] = len(way)
		}
		way = append(way, h)
	}
	return append(out, v.ring(way))
}

// ring strings half-arcs together, closed.
func (v *view) ring(way []int32) []Vertex {
	n := 1
	for _, h := range way {
		n += len(v.Arcs[h>>1].Vertices) - 1
	}
	r := make([]Vertex, 0, n)
	for _, h := range way {
		vs := v.Arcs[h>>1].Vertices
		if h&1 == 0 {
			r = append(r, vs[:len(vs)-1]...)
			continue
		}
		for i := len(vs) - 1; i > 0; i-- {
			r = append(r, vs[i])
		}
	}
	return append(r, r[0])
}

// ccw tells whether a closed simple ring is wound counter-clockwise: exactly,
// by the turn at its leftmost, lowest vertex.
func ccw(ring []Vertex) bool {
	n := len(ring) - 1
	low := 0
	for i := range n {
		if compareVertex(ring[i], ring[low]) < 0 {
			low = i
		}
	}
	return orient(ring[(low+n-1)%n], ring[low], ring[(low+1)%n]) > 0
}
