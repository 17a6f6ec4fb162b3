package sheet

import (
	"math"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// ringApart is how near together corners of a line are seen as one, in points.
const ringApart = 0.5

// rings are the rings of polygons, without corners nearer together than can be seen. Where
// they run along the antimeridian, at which ground is cut only to be written, they are left
// open: closed is then false, and each other ring ends where it began. What they enclose is
// the same, for all that is left out lies on one line.
func (m *groundMap) rings(ground orb.MultiPolygon) (lines [][]drawing.Point, closed bool) {
	closed = true
	for _, poly := range ground {
		for _, r := range poly {
			closed = closed && seamAt(r) < 0
		}
	}
	for _, poly := range ground {
		for _, r := range poly {
			if at := seamAt(r); at >= 0 {
				lines = append(lines, m.besideSeam(r, at)...)
				continue
			}
			var ring []drawing.Point
			for _, p := range r[:max(len(r)-1, 0)] {
				ring = m.corner(ring, p)
			}
			if len(ring) > 2 {
				if !closed {
					ring = append(ring, ring[0])
				}
				lines = append(lines, ring)
			}
		}
	}
	return lines, closed
}

// corner adds a corner to a line, unless it cannot be told from the last.
func (m *groundMap) corner(line []drawing.Point, p orb.Point) []drawing.Point {
	at := m.at(p)
	if n := len(line); n > 0 && math.Abs(at.X-line[n-1].X)+math.Abs(at.Y-line[n-1].Y) < ringApart {
		return line
	}
	return append(line, at)
}

// besideSeam are the stretches of a ring between its edges along the antimeridian, of
// which one begins at a corner.
func (m *groundMap) besideSeam(r orb.Ring, at int) (lines [][]drawing.Point) {
	n := len(r) - 1
	var line []drawing.Point
	for k := 1; k <= n; k++ {
		p, next := r[(at+k)%n], r[(at+k+1)%n]
		if onSeam(p, next) {
			line = append(line, m.at(p))
			if len(line) > 1 {
				lines = append(lines, line)
			}
			line = nil
			continue
		}
		line = m.corner(line, p)
	}
	return lines
}

// seamAt is the corner at which a ring's first edge along the antimeridian begins; -1 where
// there is none.
func seamAt(r orb.Ring) int {
	for i := range max(len(r)-1, 0) {
		if onSeam(r[i], r[i+1]) {
			return i
		}
	}
	return -1
}

// onSeam reports whether an edge lies along the antimeridian.
func onSeam(from, to orb.Point) bool { return from[0] == to[0] && math.Abs(from[0]) == 180 }
