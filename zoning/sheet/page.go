package sheet

import (
	"image"
	"image/color"

	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// page is a picture as data: everything on it but the ground itself.
type page struct {
	size     image.Point
	ground   image.Rectangle // where the map goes
	texts    []caption
	names    []caption // of lots, in the ground
	swatches []swatch
	bars     []bar
	north    image.Point // middle of the north arrow
}

// swatch is a sample of a band in the legend.
type swatch struct {
	box  image.Rectangle
	band int
}

// bar is a filled rectangle.
type bar struct {
	box    image.Rectangle
	colour color.RGBA
}

// Measures of a page in pixels.
const (
	margin     = 28
	gap        = 26
	headHeight = 64 // title and the line below it
	footHeight = 34 // the caution
	panelWidth = 408
	northSize  = 58 // height of the north arrow
)

// put places a line of text with its baseline's left end at (x, y), shortened to
// a width, and returns where it ends.
func (p *page) put(x, y, width int, s style, c color.RGBA, words string) int {
	words = s.fitted(drawing.Written(words), width)
	w := s.width(words)
	p.texts = append(p.texts, caption{image.Pt(x, y), s, c, words,
		image.Rect(x, y-s.ascent(), x+w, y+s.descent())})
	return x + w
}

// putRight places a line of text that ends at x.
func (p *page) putRight(x, y int, s style, c color.RGBA, words string) {
	words = drawing.Written(words)
	w := s.width(words)
	p.put(x-w, y, w, s, c, words)
}
