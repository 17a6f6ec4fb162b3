package drawing

import (
	"image"
	"image/color"
	"image/draw"
	"math"
	"slices"

	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"
)

// Pixels draws a page on white, scale pixels to a point.
func Pixels(p Page, scale float64) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, int(math.Round(p.Width*scale)), int(math.Round(p.Height*scale))))
	draw.Draw(img, img.Rect, image.White, image.Point{}, draw.Src)
	c := &canvas{img: img, scale: scale, faces: map[faceSize]font.Face{}}
	c.makeRoom(p)
	for _, s := range p.Shapes {
		switch s := s.(type) {
		case Path:
			c.path(s)
		case Text:
			c.text(s)
		case Picture:
			c.picture(s)
		}
	}
	return img
}

type canvas struct {
	img   *image.RGBA
	scale float64
	faces map[faceSize]font.Face

	// Both used again for every path: memory touched for the first time costs more than drawing there.
	rings  rings
	raster vector.Rasterizer
}

type faceSize struct {
	size float64
	bold bool
}

// makeRoom has the rasterizer ask for memory once, for the largest path of a page: paths often
// come in growing sizes.
func (c *canvas) makeRoom(p Page) {
	var most image.Rectangle
	for _, s := range p.Shapes {
		path, ok := s.(Path)
		if !ok {
			continue
		}
		box, points := nowhere, 0
		for _, line := range path.Lines {
			points += len(line)
			for _, at := range line {
				box = box.with(at)
			}
		}
		on := c.pixelsOf(box.Inset(-path.Width))
		if on.Dx()*on.Dy() > most.Dx()*most.Dy() {
			most = on
		}
		perPoint := 1
		if path.Stroke.Opacity > 0 {
			perPoint = corners(path.Width/2*c.scale) + 4
		}
		c.rings.points = slices.Grow(c.rings.points, points*perPoint)
		c.rings.ends = slices.Grow(c.rings.ends, 2*points)
	}
	c.raster.Reset(most.Dx(), most.Dy())
	c.raster.Draw(c.img, image.Rectangle{}, image.Transparent, image.Point{})
}

// pixelsOf are the pixels of the canvas that a box touches.
func (c *canvas) pixelsOf(box Box) image.Rectangle {
	if !(box.Left <= box.Right) {
		return image.Rectangle{}
	}
	at := image.Pt(int(math.Floor(box.Left*c.scale)), int(math.Floor(box.Top*c.scale)))
	far := image.Pt(int(math.Ceil(box.Right*c.scale))+1, int(math.Ceil(box.Bottom*c.scale))+1)
	// What lies beyond the page is left out: the rasterizer draws there, and fails.
	return image.Rectangle{at, far}.Intersect(c.img.Rect)
}

func (c *canvas) path(p Path) {
	if p.Fill.Opacity > 0 {
		c.cover(p.Fill, func(add func(...Point)) {
			for _, line := range p.Lines {
				add(line...)
			}
		})
	}
	if p.Stroke.Opacity > 0 && p.Width > 0 {
		c.cover(p.Stroke, func(add func(...Point)) {
			for _, line := range p.Lines {
				if p.Closed && len(line) > 0 {
					line = append(line[:len(line):len(line)], line[0])
				}
				for _, piece := range dashes(line, p.Dash) {
					outline(piece, p.Width/2, c.scale, add)
				}
			}
		})
	}
}

// rings are closed lines one after another, in memory that is used again.
type rings struct {
	points []Point
	ends   []int // of each ring among the points
}

func (r *rings) add(ring ...Point) {
	r.points = append(r.points, ring...)
	r.ends = append(r.ends, len(r.points))
}

// cover lays paint over the inside of rings, by nonzero winding. Only the pixels
// of their box are looked at.
func (c *canvas) cover(paint Paint, draw func(add func(...Point))) {
	c.rings.points, c.rings.ends = c.rings.points[:0], c.rings.ends[:0]
	draw(c.rings.add)
	box := nowhere
	for _, p := range c.rings.points {
		box = box.with(p)
	}
	on := c.pixelsOf(box)
	if on.Empty() {
		return
	}
	c.raster.Reset(on.Dx(), on.Dy())
	from := 0
	for _, end := range c.rings.ends {
		for i, p := range c.rings.points[from:end] {
			x, y := float32(p.X*c.scale-float64(on.Min.X)), float32(p.Y*c.scale-float64(on.Min.Y))
			if i == 0 {
				c.raster.MoveTo(x, y)
			} else {
				c.raster.LineTo(x, y)
			}
		}
		c.raster.ClosePath()
		from = end
	}
	colour := paint.Colour
	over := image.NewUniform(color.NRGBA{colour.R, colour.G, colour.B, uint8(paint.Opacity*0xFF + 0.5)})
	c.raster.Draw(c.img, on, over, image.Point{})
}

// picture draws the nearest pixel of an image.
func (c *canvas) picture(p Picture) {
	b := image.Rect(int(math.Round(p.Box.Left*c.scale)), int(math.Round(p.Box.Top*c.scale)),
		int(math.Round(p.Box.Right*c.scale)), int(math.Round(p.Box.Bottom*c.scale)))
	from := p.Image.Rect
	var colours [256]color.RGBA
	for i, q := range p.Image.Palette {
		colours[i] = color.RGBAModel.Convert(q).(color.RGBA)
	}
	in := b.Intersect(c.img.Rect)
	for y := in.Min.Y; y < in.Max.Y; y++ {
		row := p.Image.Pix[((2*(y-b.Min.Y)+1)*from.Dy()/(2*b.Dy()))*p.Image.Stride:]
		for x := in.Min.X; x < in.Max.X; x++ {
			c.img.SetRGBA(x, y, colours[row[(2*(x-b.Min.X)+1)*from.Dx()/(2*b.Dx())]])
		}
	}
}

// text draws a line in the Go fonts, and outlines of what is beyond them.
func (c *canvas) text(t Text) {
	pieces := t.pieces()
	if pieces == nil {
		c.plainText(t)
	}
	for _, p := range pieces {
		if p.plain {
			c.plainText(p.Text)
			continue
		}
		c.cover(Solid(p.Colour), func(add func(...Point)) {
			for _, g := range p.glyphs {
				if c.seen(g) {
					for _, line := range g.Lines {
						add(line...)
					}
				}
			}
		})
	}
}

// seen reports whether a path has a point on the canvas: a name of 10,000 letters takes no
// more memory than the canvas does.
func (c *canvas) seen(p Path) bool {
	page := Box{0, 0, float64(c.img.Rect.Dx()) / c.scale, float64(c.img.Rect.Dy()) / c.scale}
	for _, line := range p.Lines {
		if slices.ContainsFunc(line, page.Has) {
			return true
		}
	}
	return false
}

// plainText draws a line in the Go fonts.
func (c *canvas) plainText(t Text) {
	key := faceSize{t.Size, t.Bold}
	face := c.faces[key]
	if face == nil {
		var err error
		face, err = opentype.NewFace(faceOf(t.Bold).font, &opentype.FaceOptions{Size: t.Size * c.scale, DPI: 72})
		if err != nil {
			panic(err) // the fonts are compiled in
		}
		c.faces[key] = face
	}
	at := fixed.Point26_6{X: fixed.Int26_6(t.left() * c.scale * 64), Y: fixed.Int26_6(t.At.Y * c.scale * 64)}
	d := font.Drawer{Dst: c.img, Src: image.NewUniform(t.Colour), Face: face, Dot: at}
	d.DrawString(Written(t.Words))
}
