package drawing

import "github.com/acreband/acreband/zoning/sheet/internal/scripts"

// bolder is how far apart bold letters beyond the Go fonts are drawn twice, in parts of
// their size: their fonts come in one weight.
const bolder = 0.03

// piece is a part of a line of text that is drawn alike, at its left end.
type piece struct {
	Text
	width    float64
	leftward bool   // its letters run from right to left
	glyphs   []Path // of letters beyond the Go fonts
	plain    bool   // of the Go fonts
}

// pieces are the parts of a line from the left; nil where all of it is of the Go fonts.
func (t Text) pieces() []piece {
	words, _, wide := spell(t.Words)
	if !wide {
		return nil
	}
	runs, width := setWide(words, t.Bold)
	x := t.At.X - float64(t.Anchor)/2*width*t.Size
	var out []piece
	for _, r := range runs {
		p := piece{t, r.Width * t.Size, r.Leftward, nil, r.Plain}
		p.Words, p.Anchor, p.At.X = r.Words, Left, x
		for _, g := range r.Glyphs() {
			p.glyphs = append(p.glyphs, p.glyph(g))
		}
		out = append(out, p)
		x += p.width
	}
	return out
}

// setWide is a line with letters beyond the Go fonts: its runs from the left, and how wide
// they are in all, in parts of their size.
func setWide(words string, isBold bool) (runs []scripts.Run, width float64) {
	runs = scripts.Set(words, plain)
	for i := range runs {
		if runs[i].Plain {
			runs[i].Width = faceOf(isBold).width(runs[i].Words)
		}
		width += runs[i].Width
	}
	return runs, width
}

// glyph is a glyph of the piece in its place.
func (p piece) glyph(g scripts.Glyph) Path {
	shifts := []float64{0}
	if p.Bold {
		shifts = []float64{-bolder / 2, bolder / 2}
	}
	out := Path{Closed: true, Fill: Solid(p.Colour), fine: true}
	for _, shift := range shifts {
		for _, ring := range g {
			line := make([]Point, len(ring))
			for i, at := range ring {
				line[i] = Point{p.At.X + (at.X+shift)*p.Size, p.At.Y + at.Y*p.Size}
			}
			out.Lines = append(out.Lines, line)
		}
	}
	return out
}
