package drawing

import (
	"image"
	"image/color"
	"math"
	"slices"

	"golang.org/x/image/vector"
)

// tracer finds which pixels of a canvas rings cover, by nonzero winding. Its memory is used
// again for the next rings: to touch memory for the first time costs more than to draw there.
type tracer struct {
	on    image.Rectangle // the canvas
	scale float64

	points []Point // of rings, one after another
	ends   []int   // of each ring among the points

	box   image.Rectangle // that was traced; nothing outside it is looked at
	large sparse          // of boxes of more than mostDense pixels a side
	small vector.Rasterizer
}

// mostDense is how many pixels are along a side of the largest box that is all looked at.
const mostDense = 512

func (t *tracer) isLarge() bool { return t.box.Dx() > mostDense || t.box.Dy() > mostDense }

// add adds a ring to those that are traced next.
func (t *tracer) add(ring ...Point) {
	t.points = append(t.points, ring...)
	t.ends = append(t.ends, len(t.points))
}

// stroke traces a path's line.
func (t *tracer) stroke(p Path) {
	t.makeRoomFor(p)
	for _, line := range p.Lines {
		if p.Closed && len(line) > 0 {
			line = append(line[:len(line):len(line)], line[0])
		}
		for _, piece := range dashes(line, p.Dash) {
			outline(piece, p.Width/2, t.scale, t.add)
		}
	}
	t.trace()
}

// trace traces the rings that were added.
func (t *tracer) trace() {
	box := nowhere
	for _, p := range t.points {
		box = box.with(p)
	}
	t.box = t.pixelsOf(box)
	switch {
	case t.box.Empty():
	case t.isLarge():
		t.large.reset(t.box.Size(), t.on.Size())
		t.trail(&t.large)
	default:
		t.small.Reset(t.box.Dx(), t.box.Dy())
		t.trail(&t.small)
	}
	t.points, t.ends = t.points[:0], t.ends[:0]
}

// pen draws closed lines.
type pen interface {
	MoveTo(x, y float32)
	LineTo(x, y float32)
	ClosePath()
}

// trail leads a pen along the rings.
func (t *tracer) trail(p pen) {
	from := 0
	for _, end := range t.ends {
		for i, at := range t.points[from:end] {
			x, y := float32(at.X*t.scale-float64(t.box.Min.X)), float32(at.Y*t.scale-float64(t.box.Min.Y))
			if i == 0 {
				p.MoveTo(x, y)
			} else {
				p.LineTo(x, y)
			}
		}
		p.ClosePath()
		from = end
	}
}

// draw lays paint over what was traced.
func (t *tracer) draw(img *image.RGBA, paint Paint) {
	if t.box.Empty() {
		return
	}
	colour := paint.Colour
	over := image.NewUniform(color.NRGBA{colour.R, colour.G, colour.B, uint8(paint.Opacity*0xFF + 0.5)})
	if t.isLarge() {
		t.large.draw(img, t.box.Min, over)
	} else {
		t.small.Draw(img, t.box, over, image.Point{})
	}
}

// pixelsOf are the pixels of the canvas that a box touches.
func (t *tracer) pixelsOf(box Box) image.Rectangle {
	if !(box.Left <= box.Right) {
		return image.Rectangle{}
	}
	at := image.Pt(int(math.Floor(box.Left*t.scale)), int(math.Floor(box.Top*t.scale)))
	far := image.Pt(int(math.Ceil(box.Right*t.scale))+1, int(math.Ceil(box.Bottom*t.scale))+1)
	// What lies beyond the page is left out: the rasterizer draws there, and fails.
	return image.Rectangle{at, far}.Intersect(t.on)
}

// makeRoomFor has memory for the rings round a path's line asked for at once.
func (t *tracer) makeRoomFor(p Path) {
	n := p.points()
	t.points = slices.Grow(t.points, n*(corners(p.Width/2*t.scale)+4))
	t.ends = slices.Grow(t.ends, 2*n)
}
