package sheet

import (
	"image"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning/palette"
)

// Lines cover pixels by how far their middles lie from them: fully within half
// the width less half a pixel, and less and less over the next pixel.
func TestStrokesCoverByDistance(t *testing.T) {
	const w, h = 70, 60
	p := paintsFor(3)
	inked := p.brush(palette.Ink)
	for _, halfW := range []float64{thinHalf, strongHalf, casingHalf} {
		s := newStrokes(w, h, halfW)
		x0, y0, x1, y1 := 12.3, 9.1, 55.2, 47.7
		s.line(x0, y0, x1, y1)
		s.line(x1, y1, x0, y0)     // twice is as once
		s.line(x0, y0, x0, y0)     // a point of itself
		s.line(-90, 10, -20, 50)   // off the picture
		s.line(30, -400, 500, -20) // and again
		img := image.NewPaletted(image.Rect(0, 0, w, h), p.palette())
		s.draw(img, image.Point{}, 0, h/2, pen{halfW, inked, 1})
		s.draw(img, image.Point{}, h/2, h, pen{halfW, inked, 1})
		long := math.Hypot(x1-x0, y1-y0)
		for y := range h {
			for x := range w {
				u, v := float64(x)+0.5-x0, float64(y)+0.5-y0
				along := min(max((u*(x1-x0)+v*(y1-y0))/long, 0), long)
				away := math.Hypot(u-along*(x1-x0)/long, v-along*(y1-y0)/long)
				cover := min(max(halfW+0.5-away, 0), 1)
				want := luma(palette.Mix(palette.Paper, palette.Ink, cover))
				// A step of cover is 14 of 255; a distance is kept to 0.06 pixels or better.
				assert.InDelta(t, want, luma(p.colours[img.ColorIndexAt(x, y)]), 22, "width %g, pixel %d, %d", 2*halfW, x, y)
			}
		}
	}
}
