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

	box    image.Rectangle // that was traced; nothing outside it is looked at
	raster vector.Rasterizer
}

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
	if !t.box.Empty() {
		t.raster.Reset(t.box.Dx(), t.box.Dy())
		from := 0
		for _, end := range t.ends {
			t.ring(t.points[from:end])
			from = end
		}
	}
	t.points, t.ends = t.points[:0], t.ends[:0]
}

func (t *tracer) ring(points []Point) {
	for i, p := range points {
		x, y := float32(p.X*t.scale-float64(t.box.Min.X)), float32(p.Y*t.scale-float64(t.box.Min.Y))
		if i == 0 {
			t.raster.MoveTo(x, y)
		} else {
			t.raster.LineTo(x, y)
		}
	}
	t.raster.ClosePath()
}

// draw lays paint over what was traced.
func (t *tracer) draw(img *image.RGBA, paint Paint) {
	if t.box.Empty() {
		return
	}
	colour := paint.Colour
	over := image.NewUniform(color.NRGBA{colour.R, colour.G, colour.B, uint8(paint.Opacity*0xFF + 0.5)})
	t.raster.Draw(img, t.box, over, image.Point{})
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

// makeRoom has the rasterizer ask for memory once, for the largest of shapes but the one left
// out: paths often come in growing sizes.
func (t *tracer) makeRoom(shapes []Shape, leftOut int) {
	var most image.Rectangle
	for i, s := range shapes {
		p, ok := s.(Path)
		if !ok || i == leftOut {
			continue
		}
		box := nowhere
		for _, line := range p.Lines {
			for _, at := range line {
				box = box.with(at)
			}
		}
		if on := t.pixelsOf(box.Inset(-p.Width)); on.Dx()*on.Dy() > most.Dx()*most.Dy() {
			most = on
		}
	}
	t.raster.Reset(most.Dx(), most.Dy())
	t.raster.Draw(image.NewRGBA(image.Rectangle{}), image.Rectangle{}, image.Transparent, image.Point{})
}
