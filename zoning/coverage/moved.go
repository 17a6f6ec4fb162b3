package coverage

// In comes a line and what is left of it; out go the shares of cells that changed hands.

import "math"

// moved is the share of a cell that went from one face to another.
type moved struct {
	col, row int
	share    float64
	from, to int32
}

// EachMoved calls visit for every cell of which a share went from one band to
// another when the coverage was simplified, with the masks of the faces that
// gave and got it. Columns and rows are those of [Coverage.EachCell]. A cell may
// come more than once.
func (c *Coverage) EachMoved(visit func(col, row int, share float64, from, to Mask)) {
	for _, m := range c.moved {
		visit(m.col, m.row, m.share, c.Faces[m.from].Mask, c.Faces[m.to].Mask)
	}
}

// appendMoved appends the ground between a line and what is left of it.
func (l *line) appendMoved(to []moved, way []int, giver, receiver int32) []moved {
	for k := 1; k < len(way); k++ {
		if way[k] == way[k-1]+1 {
			continue
		}
		rim := l.around(way[k-1], way[k])
		l.eachCell(rim, func(col, row int) bool {
			if share := l.by.share(rim, col, row); share > leastShare && l.gives(giver, col, row) {
				to = append(to, moved{col, row, share, giver, receiver})
			}
			return true
		})
	}
	return to
}

// gives reports whether a cell is of the class of a giver. The rim touches cells of
// the receiver's own, and rounding makes a sliver of them.
func (l *line) gives(giver int32, col, row int) bool {
	return l.by.cells.Masks[row*l.by.cells.Cols+col].Class(l.by.classes) == l.by.cov.Faces[giver].Mask.Class(l.by.classes)
}

// maskMoved takes from the masks of faces the classes that may not have all of
// what they got.
func (s *simplifier) maskMoved() {
	for _, m := range s.cov.moved {
		if f := &s.cov.Faces[m.to]; f.Mask.First() >= 0 {
			f.Mask &= s.cells.Masks[m.row*s.cells.Cols+m.col]
		}
	}
}

// leastShare is less of a cell than any ground has that is deeper than a hair,
// and more than rounding makes of none.
const leastShare = 1e-9

// share is how much of a cell lies within a rim.
func (s *simplifier) share(rim [][2]float64, col, row int) float64 {
	p, q := s.pieces[0], s.pieces[1]
	p = clip(p[:0], rim, 1, float64(row), 1)
	q = clip(q[:0], p, 1, float64(row+1), -1)
	p = clip(p[:0], q, 0, float64(col), 1)
	q = clip(q[:0], p, 0, float64(col+1), -1)
	s.pieces = [2][][2]float64{p, q}
	return areaOf(q)
}

// clip appends to dst what a ring has where a coordinate is not less than a
// bound, or with sign -1 not greater (Sutherland and Hodgman 1974, Reentrant
// polygon clipping). A ring that is not convex may be left with edges that run
// back on themselves; they hold no area.
func clip(dst, ring [][2]float64, axis int, bound, sign float64) [][2]float64 {
	for i, q := range ring {
		p := ring[(i+len(ring)-1)%len(ring)]
		dp, dq := sign*(p[axis]-bound), sign*(q[axis]-bound)
		if dp < 0 && dq > 0 || dp > 0 && dq < 0 {
			t := dp / (dp - dq)
			dst = append(dst, [2]float64{p[0] + float64(t*(q[0]-p[0])), p[1] + float64(t*(q[1]-p[1]))})
		}
		if dq >= 0 {
			dst = append(dst, q)
		}
	}
	return dst
}

// areaOf is the area of a ring.
func areaOf(ring [][2]float64) float64 {
	var sum float64
	for i := range ring {
		o, p, q := ring[0], ring[i], ring[(i+1)%len(ring)]
		sum += float64((p[0]-o[0])*(q[1]-o[1])) - float64((q[0]-o[0])*(p[1]-o[1]))
	}
	return math.Abs(sum) / 2
}
