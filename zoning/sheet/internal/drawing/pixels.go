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

	"github.com/acreband/acreband/terrain/beside"
)

// Pixels draws a page on white, scale pixels to a point.
func Pixels(p Page, scale float64) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, int(math.Round(p.Width*scale)), int(math.Round(p.Height*scale))))
	draw.Draw(img, img.Rect, image.White, image.Point{}, draw.Src)
	c := &canvas{img: img, scale: scale, faces: map[faceSize]font.Face{}, tracer: tracer{on: img.Rect, scale: scale}}
	// The longest line is traced while all that lies under it is drawn.
	var longest beside.Group
	defer longest.Wait()
	first := tracer{on: img.Rect, scale: scale}
	at := longestLine(p.Shapes)
	if at >= 0 {
		longest.Go(func() { first.stroke(p.Shapes[at].(Path)) })
	}
	c.tracer.makeRoom(p.Shapes, at)
	for i, s := range p.Shapes {
		switch s := s.(type) {
		case Path:
			if i == at {
				longest.Wait()
				first.draw(img, s.Stroke)
				continue
			}
			c.path(s)
		case Text:
			c.text(s)
		case Picture:
			c.picture(s)
		}
	}
	return img
}

// longestLine is the path with the most points of those that are only a line, if it has enough
// to trace it beside others; else -1.
func longestLine(shapes []Shape) int {
	at, most := -1, 1000
	for i, s := range shapes {
		if p, ok := s.(Path); ok && p.isStroked() && p.Fill.Opacity <= 0 {
			if n := p.points(); n > most {
				at, most = i, n
			}
		}
	}
	return at
}

func (p Path) isStroked() bool { return p.Stroke.Opacity > 0 && p.Width > 0 }

func (p Path) points() (n int) {
	for _, line := range p.Lines {
		n += len(line)
	}
	return n
}

type canvas struct {
	img    *image.RGBA
	scale  float64
	faces  map[faceSize]font.Face
	tracer tracer
}

type faceSize struct {
	size float64
	bold bool
}

func (c *canvas) path(p Path) {
	if p.Fill.Opacity > 0 {
		for _, line := range p.Lines {
			c.tracer.add(line...)
		}
		c.tracer.trace()
		c.tracer.draw(c.img, p.Fill)
	}
	if p.isStroked() {
		c.tracer.stroke(p)
		c.tracer.draw(c.img, p.Stroke)
	}
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
	columns := make([]int, in.Dx())
	for x := range columns {
		columns[x] = (2*(in.Min.X+x-b.Min.X) + 1) * from.Dx() / (2 * b.Dx())
	}
	for y := in.Min.Y; y < in.Max.Y; y++ {
		row := p.Image.Pix[((2*(y-b.Min.Y)+1)*from.Dy()/(2*b.Dy()))*p.Image.Stride:]
		to := c.img.Pix[c.img.PixOffset(in.Min.X, y):]
		for x, column := range columns {
			q := colours[row[column]]
			to[4*x], to[4*x+1], to[4*x+2], to[4*x+3] = q.R, q.G, q.B, q.A
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
		for _, g := range p.glyphs {
			if c.seen(g) {
				for _, line := range g.Lines {
					c.tracer.add(line...)
				}
			}
		}
		c.tracer.trace()
		c.tracer.draw(c.img, Solid(p.Colour))
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
