package coverage

import (
	"slices"

	"github.com/paulmach/orb"
)

// Coverage is a parcel divided into faces by arcs that neighbours share. Faces are
// connected pieces of one mask, or of one class once it is simplified. Polygons
// are a view of it: see [Coverage.Polygons].
type Coverage struct {
	Arcs  []Arc
	Faces []Face

	nodes []node
	spans []span
	parts []part
	moved []moved
	unit  float64
}

// Arc is a line between two faces, or between a face and the outside, from one
// junction to the next or once around.
type Arc struct {
	Vertices    []Vertex // a loop repeats its first vertex at its end
	Left, Right int32    // faces on either side; -1 is outside the parcel
	from, to    int32    // junctions; none for a loop
}

// Face is a connected piece of a parcel.
type Face struct {
	Mask Mask    // of all its cells; once simplified, the classes that may have all of it
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

// finish gives the faces their masks and areas, and moves vertices to where the
// owner has them.
func (c *Coverage) finish(masks []Mask, turn int64) {
	c.Faces = make([]Face, len(masks))
	for i, m := range masks {
		c.Faces[i].Mask = m
	}
	for _, a := range c.Arcs {
		for k := range a.Vertices {
			a.Vertices[k].X -= turn
		}
	}
	c.measure()
	for i := range c.nodes {
		c.nodes[i].spokes = nil // only tracing needs them
	}
}

// measure finds the areas of faces from their outlines.
func (c *Coverage) measure() {
	for i := range c.Faces {
		c.Faces[i].M2 = 0
	}
	for _, a := range c.Arcs {
		var m2 float64
		for k := 1; k < len(a.Vertices); k++ {
			p, q := c.point(a.Vertices[k-1]), c.point(a.Vertices[k])
			m2 += edgeAreaM2(p[0], p[1], q[0], q[1])
		}
		if a.Left >= 0 {
			c.Faces[a.Left].M2 += m2
		}
		if a.Right >= 0 {
			c.Faces[a.Right].M2 -= m2
		}
	}
}

func (c *Coverage) point(v Vertex) orb.Point {
	return orb.Point{float64(v.X) / c.unit, float64(v.Y) / c.unit}
}

// append adds another part of the same parcel, which it does not touch.
func (c *Coverage) append(o *Coverage) {
	if len(c.Faces) == 0 {
		*c = *o
		return
	}
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
	return newView(c, class).polygons(n)
}

// Outline is the parcel as written: the owner's corners, and the vertices where
// lines between faces meet the boundary.
func (c *Coverage) Outline() orb.MultiPolygon {
	return c.Polygons(1, func(Mask) int { return 0 })[0]
}

// view is a coverage with faces sorted into classes.
type view struct {
	cov    *Coverage
	class  []int    // by face
	pieces forest   // faces of one class that share an arc
	seen   []bool   // by half-arc
	place  []int32  // by junction: where it stands on the way, or none
	ring   []Vertex // scratch
	way    []int32  // scratch
	rings  store[orb.Point]
}

func newView(c *Coverage, class func(Mask) int) *view {
	v := &view{
		cov: c, class: make([]int, len(c.Faces)), pieces: newForest(make([]int32, len(c.Faces))),
		seen: make([]bool, 2*len(c.Arcs)), place: make([]int32, len(c.nodes)),
	}
	for i := range v.place {
		v.place[i] = none
	}
	for i, f := range c.Faces {
		v.class[i] = class(f.Mask)
	}
	points := 0
	for a := range c.Arcs {
		l, r := c.Arcs[a].Left, c.Arcs[a].Right
		switch {
		case v.kept(int32(a)):
			for _, face := range [2]int32{l, r} {
				if v.classOf(face) >= 0 {
					points += len(c.Arcs[a].Vertices)
				}
			}
		case l >= 0 && r >= 0:
			v.pieces.union(l, r)
		}
	}
	v.rings.free = make([]orb.Point, 0, points)
	return v
}

func (v *view) classOf(face int32) int {
	if face < 0 {
		return -1
	}
	return v.class[face]
}

// kept reports whether an arc parts two classes.
func (v *view) kept(arc int32) bool {
	a := &v.cov.Arcs[arc]
	return v.classOf(a.Left) != v.classOf(a.Right)
}

// left is the face on the left of a half-arc.
func (v *view) left(h int32) int32 {
	if h&1 == 0 {
		return v.cov.Arcs[h>>1].Left
	}
	return v.cov.Arcs[h>>1].Right
}

// target is the junction at the end of a half-arc, none for a loop.
func (v *view) target(h int32) int32 {
	if h&1 == 0 {
		return v.cov.Arcs[h>>1].to
	}
	return v.cov.Arcs[h>>1].from
}

// next follows the class on the left: at the junction, the first kept half-arc
// clockwise from the way back. Ground that meets only at the junction is thus
// not joined.
func (v *view) next(h int32) int32 {
	j := v.target(h)
	if j == none {
		return h
	}
	arcs := v.cov.nodes[j].arcs
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
func (v *view) polygons(n int) []orb.MultiPolygon {
	out := make([]orb.MultiPolygon, n)
	at := make([]int32, len(v.cov.Faces)) // of each root face: its polygon, counted from 1
	for h := range int32(len(v.seen)) {
		if v.seen[h] || !v.kept(h>>1) || v.classOf(v.left(h)) < 0 {
			continue
		}
		face := v.pieces.root(v.left(h))
		mp := &out[v.class[face]]
		if at[face] == 0 {
			*mp = append(*mp, nil)
			at[face] = int32(len(*mp))
		}
		poly := &(*mp)[at[face]-1]
		v.follow(h, func(way []int32) {
			ring, shell := v.draw(way)
			*poly = append(*poly, ring)
			if last := len(*poly) - 1; shell {
				(*poly)[0], (*poly)[last] = ring, (*poly)[0]
			}
		})
	}
	return out
}

// follow goes along a half-arc and round, and splits the way wherever it comes
// back to a junction, so that each ring is simple.
func (v *view) follow(start int32, ring func(way []int32)) {
	way := v.way[:0] // half-arcs since the last split
	forget := func(way []int32) {
		for _, h := range way {
			if from := v.target(h ^ 1); from != none {
				v.place[from] = none
			}
		}
	}
	for h, first := start, true; first || h != start; h, first = v.next(h), false {
		v.seen[h] = true
		if from := v.target(h ^ 1); from != none {
			if i := v.place[from]; i != none {
				ring(way[i:])
				forget(way[i:])
				way = way[:i]
			}
			v.place[from] = int32(len(way))
		}
		way = append(way, h)
	}
	ring(way)
	forget(way)
	v.way = way
}

// draw strings half-arcs together into a closed ring, and tells whether it is
// wound counter-clockwise.
func (v *view) draw(way []int32) (ring orb.Ring, shell bool) {
	r := v.ring[:0]
	for _, h := range way {
		vs := v.cov.Arcs[h>>1].Vertices
		if h&1 == 0 {
			r = append(r, vs[:len(vs)-1]...)
			continue
		}
		for i := len(vs) - 1; i > 0; i-- {
			r = append(r, vs[i])
		}
	}
	v.ring = r
	ring = orb.Ring(v.rings.room(len(r) + 1))
	for i, w := range r {
		ring[i] = v.cov.point(w)
	}
	ring[len(r)] = ring[0]
	return ring, ccw(r)
}

// ccw reports whether an open simple ring is wound counter-clockwise: exactly,
// by the turn at its leftmost, lowest vertex.
func ccw(ring []Vertex) bool {
	n := len(ring)
	low := 0
	for i := range n {
		if compareVertex(ring[i], ring[low]) < 0 {
			low = i
		}
	}
	return orient(ring[(low+n-1)%n], ring[low], ring[(low+1)%n]) > 0
}
