package scripts

import (
	"math"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
)

// Point is a place in parts of the letters' size, y down from the baseline.
type Point struct{ X, Y float64 }

// Glyph is closed lines, filled by nonzero winding.
type Glyph [][]Point

// flat is how far a chord may leave its curve: a hundredth of a point in letters of ten.
const flat = 1.0 / 1000

// glyphOf is an outline of a font of em units, its origin at a place.
func glyphOf(outline font.GlyphOutline, em float64, at Point) Glyph {
	point := func(p opentype.SegmentPoint) Point { return Point{at.X + float64(p.X)/em, at.Y - float64(p.Y)/em} }
	var out Glyph
	for _, s := range outline.Segments {
		a := point(s.Args[0])
		if s.Op == opentype.SegmentOpMoveTo || len(out) == 0 {
			out = append(out, []Point{a})
			continue
		}
		line := &out[len(out)-1]
		from := (*line)[len(*line)-1]
		switch s.Op {
		case opentype.SegmentOpLineTo:
			*line = append(*line, a)
		case opentype.SegmentOpQuadTo: // as the cubic curve that it is
			to := point(s.Args[1])
			*line = curve(*line, from, between(from, a, 2.0/3), between(to, a, 2.0/3), to)
		case opentype.SegmentOpCubeTo:
			*line = curve(*line, from, a, point(s.Args[1]), point(s.Args[2]))
		}
	}
	return out
}

// between is the place a part of the way from one to another.
func between(a, b Point, part float64) Point {
	return Point{a.X + (b.X-a.X)*part, a.Y + (b.Y-a.Y)*part}
}

// curve adds chords of a Bézier curve that leave it by no more than flat: by the second
// derivative, a curve leaves n chords by at most 3/4 of its bend over n².
func curve(line []Point, a, b, c, d Point) []Point {
	bend := max(math.Hypot(a.X-2*b.X+c.X, a.Y-2*b.Y+c.Y), math.Hypot(b.X-2*c.X+d.X, b.Y-2*c.Y+d.Y))
	n := max(1, int(math.Ceil(math.Sqrt(0.75*bend/flat))))
	for i := 1; i <= n; i++ {
		t := float64(i) / float64(n)
		u := 1 - t
		wa, wb, wc, wd := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
		line = append(line, Point{wa*a.X + wb*b.X + wc*c.X + wd*d.X, wa*a.Y + wb*b.Y + wc*c.Y + wd*d.Y})
	}
	return line
}
