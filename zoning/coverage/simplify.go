package coverage

// Simplifying begins here. In comes a coverage and the cells it was cut from; out goes
// another by class, with fewer vertices.

import (
	"math"
	"slices"
)

// Simplify draws the lines between classes with fewer vertices. It returns a new
// coverage, whose faces are the connected pieces of one of n classes ([Mask.Class])
// and whose masks hold the classes that may have all of a face; cells
// are the ones that were cut. A tolerance that is not positive changes nothing
// and returns c.
//
// Every new line lies within the tolerance, in metres on the ground, of the old
// one and the old one within it of the new (Hausdorff distance). Its vertices
// are among the old ones. Junctions, the parcel's boundary and the lines around
// unknown and closed ground stay as they are, and no line comes to cross or touch
// another.
//
// Of two classes only the lower gives ground, for it may not have the other's. A
// later class gets ground only where it may have every cell of which it gets a part.
// Ground may also go to no class: that is safe. What is no deeper in a cell than the rounding of
// vertices brings a line, two units of the ninth decimal or a ten-thousandth of
// the cell, is not taken for ground.
//
// The areas of faces are those of the new outlines. [Coverage.EachCell] still
// counts cells as the masks did; [Coverage.EachMoved] tells the difference.
//
// Of all such lines it takes one with the fewest vertices, by shortest path over
// the shortcuts (Imai and Iri 1988, Polygonal approximations of a curve), and of
// those the one that moves least ground. That a shortcut leaves no vertex of any
// line on its wrong side keeps the lines apart whatever the others do (de Berg,
// van Kreveld and Schirra 1998, Topologically correct subdivision simplification
// using the bandwidth criterion).
func (c *Coverage) Simplify(cells *Window, n int, toleranceM float64) *Coverage {
	if !(toleranceM > 0) {
		return c
	}
	out := c.joined(func(m Mask) int { return m.Class(n) })
	out.startLoopsWhereTheyStay(n)
	s := newSimplifier(out, cells, n, toleranceM)
	drawn := make([][]Vertex, len(out.Arcs)) // all by the old lines, whatever the order
	for a := range out.Arcs {
		drawn[a] = out.Arcs[a].Vertices
		if giver, receiver, ok := out.parties(int32(a), n); ok {
			l := s.line(int32(a), giver, receiver)
			way := l.simplified()
			drawn[a] = l.along(way)
			out.moved = l.appendMoved(out.moved, way, giver, receiver)
		}
	}
	for a := range out.Arcs {
		out.Arcs[a].Vertices = drawn[a]
	}
	s.maskMoved()
	out.measure()
	return out
}

// parties tells who may give ground along an arc and to whom, as faces; not ok
// where the arc must stay.
func (c *Coverage) parties(arc int32, n int) (giver, receiver int32, ok bool) {
	a := c.Arcs[arc]
	if a.Left < 0 || a.Right < 0 {
		return 0, 0, false
	}
	l, r := c.Faces[a.Left].Mask.Class(n), c.Faces[a.Right].Mask.Class(n)
	if l > n+2 || r > n+2 || len(a.Vertices) == 2 {
		return 0, 0, false
	}
	if l < r {
		return a.Left, a.Right, true
	}
	return a.Right, a.Left, true
}

// startLoopsWhereTheyStay turns loops to begin at a vertex that no shortcut is
// likely to pass over, since the first stays: the lowest that juts into the
// ground that is given, where there is one.
func (c *Coverage) startLoopsWhereTheyStay(n int) {
	for i := range c.Arcs {
		a := &c.Arcs[i]
		giver, _, ok := c.parties(int32(i), n)
		if !ok || a.from != none {
			continue
		}
		ring := a.Vertices[:len(a.Vertices)-1]
		juts := func(k int) bool {
			o := orient(ring[(k+len(ring)-1)%len(ring)], ring[k], ring[(k+1)%len(ring)])
			return o < 0 && giver == a.Left || o > 0 && giver == a.Right
		}
		best := 0
		for k := range ring {
			if j, b := juts(k), juts(best); j != b && j || j == b && compareVertex(ring[k], ring[best]) < 0 {
				best = k
			}
		}
		turned := append(slices.Clone(ring[best:]), ring[:best]...)
		a.Vertices = append(turned, turned[0])
	}
}

// longestShortcut bounds the edges that one shortcut may replace, and with it the
// time for each vertex.
const longestShortcut = 128

// line is one arc, the ground that is given on its left.
type line struct {
	by       *simplifier
	arc      int32
	flipped  bool
	vertices []Vertex
	at       [][2]float64 // cell coordinates
	receiver Mask         // the class that gets ground; 0 where none does
	whole    bool         // whether a shortcut may join its ends
}

func (s *simplifier) line(arc, giver, receiver int32) *line {
	a := s.cov.Arcs[arc]
	l := &line{by: s, arc: arc, flipped: a.Left != giver, vertices: a.Vertices, at: s.at[arc]}
	if l.flipped {
		l.vertices, l.at = slices.Clone(l.vertices), slices.Clone(l.at)
		slices.Reverse(l.vertices)
		slices.Reverse(l.at)
	}
	if m := s.cov.Faces[receiver].Mask.First(); m >= 0 {
		l.receiver = 1 << m
	}
	l.whole = a.from != a.to && s.straight[ends(a)] == 1
	return l
}

// simplified lists the vertices that are left of a line.
func (l *line) simplified() []int {
	last := len(l.vertices) - 1
	way := l.fewest(0, last, l.whole)
	if a := l.by.cov.Arcs[l.arc]; a.from != a.to || len(way) > 3 {
		return way
	}
	// Two shortcuts around would lie on one another: one of them has to bend.
	if m := way[1]; m > 1 {
		return append(l.fewest(0, m, false), last)
	}
	return append([]int{0}, l.fewest(1, last, false)...)
}

// along returns vertices of the line in the order the arc has them.
func (l *line) along(way []int) []Vertex {
	out := make([]Vertex, len(way))
	for k, i := range way {
		if l.flipped {
			k = len(way) - 1 - k
		}
		out[k] = l.vertices[i]
	}
	return out
}

// step is the best way to a vertex: the vertex before it, the edges so far, and
// twice the ground moved so far in square units.
type step struct {
	from, edges int
	moved       float64
}

// better prefers fewer edges, then less ground moved, then the earlier vertex.
func (s step) better(o step) bool {
	if s.edges != o.edges {
		return s.edges < o.edges
	}
	if s.moved != o.moved {
		return s.moved < o.moved
	}
	return s.from < o.from
}

// fewest lists the vertices of the best way from one vertex to another; whole
// tells whether it may be one shortcut.
func (l *line) fewest(from, to int, whole bool) []int {
	best := append(l.by.best[:0], make([]step, to-from+1)...)
	area := l.areas(from, to)
	shortcuts := l.by.shortcuts
	for j := from + 1; j <= to; j++ {
		shortcuts = shortcuts[:0]
		l.candidates(from, j, func(i int) {
			if i == from && j == to && !whole {
				return
			}
			b := best[i-from]
			moved := area[j-from] - area[i-from] + l.doubled(j, i)
			shortcuts = append(shortcuts, step{i, b.edges + 1, b.moved + moved})
		})
		b := best[j-1-from]
		edge := step{j - 1, b.edges + 1, b.moved}
		for {
			k := -1
			for i, s := range shortcuts {
				if s.better(edge) && (k < 0 || s.better(shortcuts[k])) {
					k = i
				}
			}
			if k < 0 {
				best[j-from] = edge
				break
			}
			if l.holds(shortcuts[k].from, j) {
				best[j-from] = shortcuts[k]
				break
			}
			shortcuts = slices.Delete(shortcuts, k, k+1)
		}
	}
	l.by.best, l.by.shortcuts = best, shortcuts
	way := []int{to}
	for i := to; i > from; {
		i = best[i-from].from
		way = append(way, i)
	}
	slices.Reverse(way)
	return way
}

// areas sums what is doubled of the edges from one vertex up to each other.
func (l *line) areas(from, to int) []float64 {
	sum := append(l.by.sums[:0], make([]float64, to-from+1)...)
	for k := from + 1; k <= to; k++ {
		sum[k-from] = sum[k-1-from] + l.doubled(k-1, k)
	}
	l.by.sums = sum
	return sum
}

// doubled is twice the signed area between an edge and the line's first vertex.
func (l *line) doubled(i, j int) float64 {
	o, p, q := l.vertices[0], l.vertices[i], l.vertices[j]
	return float64(float64(p.X-o.X)*float64(q.Y-o.Y)) - float64(float64(q.X-o.X)*float64(p.Y-o.Y))
}

// candidates goes back from vertex j and visits those from which a shortcut to
// j may hold: no vertex on the way strays to its left, and none is farther than
// the tolerance from its line. A vertex that must not be left aside ends the
// search.
func (l *line) candidates(from, j int, visit func(i int)) {
	w := l.vertices[j]
	right := l.vertices[j-1] // the ray from j farthest to the right so far
	var limit ray            // the shortcut must lie to the left of this one, from j
	for i := j - 1; i >= max(from, j-longestShortcut); i-- {
		v := l.vertices[i]
		r := l.by.ray(w, v)
		if limit.cross(r) < 0 {
			return
		}
		if i < j-1 && !strays(v, w, right) {
			visit(i)
		}
		if orient(w, right, v) < 0 {
			right = v
		}
		if l.receiver != 0 && !l.passable(i) {
			return
		}
		if low, ok := r.turnedBy(l.by.toleranceM); ok && (limit == ray{} || limit.cross(low) > 0) {
			limit = low
		}
	}
}

// ray is a way on the ground, in metres.
type ray struct{ x, y float64 }

func (r ray) cross(o ray) float64 { return float64(r.x*o.y) - float64(r.y*o.x) }

// turnedBy turns a ray clockwise until its end is tol from where it was led; not
// ok where it is no longer than tol.
func (r ray) turnedBy(tol float64) (ray, bool) {
	length := math.Hypot(r.x, r.y)
	if length <= tol {
		return ray{}, false
	}
	sin := tol / length
	cos := math.Sqrt(1 - sin*sin)
	return ray{float64(r.x*cos) + float64(r.y*sin), float64(r.y*cos) - float64(r.x*sin)}, true
}
