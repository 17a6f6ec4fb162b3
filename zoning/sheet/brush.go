package sheet

import (
	"image"
	"image/color"
	"sync/atomic"

	"github.com/acreband/acreband/zoning/palette"
)

// brush lays one colour over what is painted already. Goroutines may share it.
type brush struct {
	*paints
	colour color.RGBA
	found  [covers + 1][maxColours]atomic.Uint32 // one more than the paint; 0 where not sought yet
}

// covers is how many steps of a brush's cover are told apart.
const covers = 16

// cover is the step of a cover of 0 to 1.
func cover(share float64) int { return int(share*covers + 0.5) }

func (p *paints) brush(c color.RGBA) *brush { return &brush{paints: p, colour: c} }

// over is the paint that results where a brush covers another.
func (b *brush) over(under uint8, cover int) uint8 {
	known := &b.found[cover][under]
	n := known.Load()
	if n == 0 {
		n = uint32(b.nearest(palette.Mix(b.colours[under], b.colour, float64(cover)/covers))) + 1
		known.Store(n)
	}
	return uint8(n - 1)
}

// fill paints a box.
func (p *paints) fill(img *image.Paletted, box image.Rectangle, c color.RGBA) {
	n := p.nearest(c)
	for y := box.Min.Y; y < box.Max.Y; y++ {
		line := img.Pix[img.PixOffset(box.Min.X, y):][:box.Dx()]
		for x := range line {
			line[x] = n
		}
	}
}

// outline draws a thin line just inside a box.
func (p *paints) outline(img *image.Paletted, box image.Rectangle) {
	for _, side := range [4]image.Rectangle{
		{box.Min, image.Pt(box.Max.X, box.Min.Y+1)}, {image.Pt(box.Min.X, box.Max.Y-1), box.Max},
		{box.Min, image.Pt(box.Min.X+1, box.Max.Y)}, {image.Pt(box.Max.X-1, box.Min.Y), box.Max},
	} {
		p.fill(img, side, palette.Ink)
	}
}
