package coverage

// In come the nodes of one line; out go the vertices it is written with.

import (
	"cmp"
	"math"
	"slices"
)

// manner is how a line goes through a node.
type manner int

const (
	turns    manner = iota // a vertex of the outline
	along                  // straight on along one boundary edge
	alongRow               // straight on along a row or column of cells
)

// store keeps many small slices in few large ones.
type store[T any] struct {
	free []T
	size int // of the large slice last made
}

func (s *store[T]) keep(v []T) []T {
	out := s.room(len(v))
	copy(out, v)
	return out
}

// room is a slice of n, not yet written.
func (s *store[T]) room(n int) []T {
	if n > cap(s.free) {
		s.size = max(1<<8, min(2*s.size, 1<<12), n)
		s.free = make([]T, 0, s.size)
	}
	out := s.free[:n:n]
	s.free = s.free[n:cap(s.free)][:0]
	return out
}

// pen collects the vertices of one arc after another.
type pen struct {
	keepAll  bool
	vertices []Vertex
	waiting  []Vertex    // since the last kept vertex, straight along a row
	passing  bool        // whether a vertex was left out since the last kept one
	chords   [][2]Vertex // of all arcs: edges from which vertices were left out
}

// longest straight run written as one edge, in cells.
const longestRun = 64

func (p *pen) start(v Vertex) { p.vertices = append(p.vertices[:0], v) }

func (p *pen) pass(v Vertex, how manner) {
	switch {
	case how == along && !p.keepAll:
		p.passing = true
	case how == alongRow && len(p.waiting) < longestRun:
		p.waiting = append(p.waiting, v)
	default:
		p.keep(v)
	}
}

func (p *pen) keep(v Vertex) {
	p.flush(v)
	if p.passing {
		chord := [2]Vertex{p.vertices[len(p.vertices)-1], v}
		if compareVertex(chord[0], chord[1]) > 0 {
			chord[0], chord[1] = chord[1], chord[0]
		}
		p.chords = append(p.chords, chord)
		p.passing = false
	}
	p.vertices = append(p.vertices, v)
}

// flush leaves out what lies within a rounding of the straight way to v: cell
// sides in a row that only rounding or the curve of a grid line bends.
func (p *pen) flush(v Vertex) {
	if len(p.waiting) == 0 {
		return
	}
	a := p.vertices[len(p.vertices)-1]
	length := math.Hypot(float64(v.X-a.X), float64(v.Y-a.Y))
	if slices.ContainsFunc(p.waiting, func(w Vertex) bool {
		return math.Abs(cross(a, v, w).float()) > 0.75*length
	}) {
		p.vertices = append(p.vertices, p.waiting...)
	}
	p.waiting = p.waiting[:0]
}

// overlaid reports whether a chord, an edge from which vertices were left out,
// lies on another chord or on a segment. Nothing else can go wrong: a chord
// joins two pixels that its boundary edge passes, and so does not change sides
// with any vertex that the edge does not pass.
func (t *tracer) overlaid(chords [][2]Vertex) bool {
	slices.SortFunc(chords, func(a, b [2]Vertex) int {
		return cmp.Or(compareVertex(a[0], b[0]), compareVertex(a[1], b[1]))
	})
	for i, c := range chords {
		if i > 0 && c == chords[i-1] {
			return true
		}
		p, _ := t.noded.vertexAt.at(c[0])
		q, _ := t.noded.vertexAt.at(c[1])
		s, ok := t.noded.segmentAt.at(pair(p, q))
		if ok && t.faces.halfLabel[2*s] != t.faces.halfLabel[2*s+1] {
			return true
		}
	}
	return false
}
