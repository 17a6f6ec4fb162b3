package sheet

import (
	"image"
	"image/draw"

	"golang.org/x/image/font"
	"golang.org/x/image/math/fixed"
)

// typeset is a face that draws each letter once at each of four places within a
// pixel, and then uses it again: cautions are thousands of letters.
type typeset struct {
	font.Face
	glyphs map[glyphAt]*glyph
}

type glyphAt struct {
	letter rune
	x, y   fixed.Int26_6 // within a pixel
}

type glyph struct {
	box     image.Rectangle // about a dot in the first pixel
	mask    *image.Alpha
	advance fixed.Int26_6
	ok      bool
}

// quarter is a fourth of a pixel.
const quarter = 16

// Glyph is that of [font.Face], the dot moved to the nearest quarter of a pixel. A letter
// that the font does not hold has no mask, where a face of the library gives an empty box.
func (t *typeset) Glyph(dot fixed.Point26_6, r rune) (image.Rectangle, image.Image, image.Point, fixed.Int26_6, bool) {
	x, y := (dot.X+quarter/2)&^(quarter-1), (dot.Y+quarter/2)&^(quarter-1)
	at := glyphAt{r, x & 63, y & 63}
	g, known := t.glyphs[at]
	if !known {
		g = &glyph{}
		box, mask, from, advance, ok := t.Face.Glyph(fixed.Point26_6{X: at.x, Y: at.y}, r)
		if g.advance, g.ok = advance, ok; ok {
			g.box = box
			// The face's own mask lasts until its next letter only.
			g.mask = image.NewAlpha(image.Rect(0, 0, box.Dx(), box.Dy()))
			draw.Draw(g.mask, g.mask.Rect, mask, from, draw.Src)
		}
		t.glyphs[at] = g
	}
	if !g.ok {
		return image.Rectangle{}, nil, image.Point{}, g.advance, false
	}
	return g.box.Add(image.Pt(x.Floor(), y.Floor())), g.mask, image.Point{}, g.advance, g.ok
}
