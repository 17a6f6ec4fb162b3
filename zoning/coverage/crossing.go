package coverage

// In come cycles and their winding numbers; out comes whether a ring crosses itself.

import "math"

// crossing finds ground that a ring goes around the wrong way, or that rings go around
// more often than there are shells, as where a ring crosses itself.
// A strip that is nowhere wider than what rounding moves a line by is none.
func (f *faces) crossing(shells int32) error {
	var ring []Vertex
	for c, w := range f.arr.wind {
		if w >= 0 && w <= shells {
			continue
		}
		h := f.arr.start[c]
		ring = append(ring[:0], f.noded.vertices[f.arr.origin(h)])
		for g := f.arr.next(h); g != h; g = f.arr.next(g) {
			ring = append(ring, f.noded.vertices[f.arr.origin(g)])
		}
		if isWide(ring) {
			return &fault{ErrCrossesItself, ring[0]}
		}
	}
	return nil
}

// isWide reports whether a ring is wider than the few units by which rounding moves its
// lines apart or across each other.
func isWide(ring []Vertex) bool {
	const roundedUnits = 4
	var around float64
	prev := ring[len(ring)-1]
	for _, v := range ring {
		around += math.Hypot(float64(v.X-prev.X), float64(v.Y-prev.Y))
		prev = v
	}
	return math.Abs(doubleArea(ring)) > roundedUnits*around
}
