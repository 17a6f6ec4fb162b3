package drawing

// The arithmetic of lines here is that of golang.org/x/image/vector for large masks,
// Copyright 2016 The Go Authors, under the license in LICENSE-x-image.

import (
	"image"
	"image/color"
	"math"
	"math/bits"
)

// sparse finds how much of each pixel of a large box closed lines cover, and lays paint over it,
// bit for bit as [golang.org/x/image/vector.Rasterizer] does for boxes above 512 pixels. That one
// blends every pixel of the box; a line across a map leaves most of them as they are.
type sparse struct {
	width, height int
	pen, first    [2]float32

	// turns holds by how much the cover of a pixel differs from that of the one before it, row
	// after row; all are 0 between drawings.
	turns []float32
	// touched has a bit for each four of turns, some of which may be other than 0.
	touched []uint64
}

// quad is how many pixels share a bit: sums of four are rounded in an order of their own.
const quad = 4

// reset begins a box of a size, in memory that is asked for once, for the largest there will be.
func (s *sparse) reset(box, largest image.Point) {
	s.width, s.height = box.X, box.Y
	if n := largest.X * largest.Y; n > cap(s.turns) {
		s.turns, s.touched = make([]float32, n), make([]uint64, (n-1)/(quad*64)+1)
	}
	s.turns = s.turns[:box.X*box.Y]
}

// MoveTo begins a line.
func (s *sparse) MoveTo(x, y float32) {
	s.pen = [2]float32{x, y}
	s.first = s.pen
}

// ClosePath leads the line back to where it began.
func (s *sparse) ClosePath() { s.LineTo(s.first[0], s.first[1]) }

// LineTo goes down or up a line, row by row.
func (s *sparse) LineTo(bx, by float32) {
	ax, ay := s.pen[0], s.pen[1]
	s.pen = [2]float32{bx, by}
	down := float32(1)
	if ay > by {
		down, ax, ay, bx, by = -1, bx, by, ax, ay
	}
	if by-ay <= 0.000001 {
		return // level, as far as can be told
	}
	slant := (bx - ax) / (by - ay)
	last := min(ceil(by), s.height)
	x := ax
	for y := floor(ay); y < last; y++ {
		tall := min(float32(y+1), by) - max(float32(y), ay)
		next := x + float32(tall*slant)
		if y >= 0 {
			s.cross(y, x, next, float32(tall*down))
		}
		x = next
	}
}

func floor(v float32) int {
	i := int(int32(v))
	if float32(i) > v {
		i--
	}
	return i
}

func ceil(v float32) int {
	i := int(int32(v))
	if float32(i) < v {
		i++
	}
	return i
}

// cross notes a line's part in a row, from x to next, as tall as it goes down. Products are
// rounded before they are added, on every processor.
func (s *sparse) cross(y int, x, next, tall float32) {
	from, to := min(x, next), max(x, next)
	left, right := floor(from), ceil(to)
	if right <= left+1 {
		share := float32(0.5*(x+next)) - float32(left)
		s.add(y, left, tall-float32(tall*share))
		s.add(y, left+1, float32(tall*share))
		return
	}
	slope := 1 / (to - from)
	in := from - float32(left)
	beyond := 1 - in
	a0 := float32(0.5 * slope * beyond * beyond)
	out := to - float32(right) + 1
	am := float32(0.5 * slope * out * out)
	s.add(y, left, float32(tall*a0))
	if right == left+2 {
		s.add(y, left+1, float32(tall*(1-a0-am)))
	} else {
		a1 := float32(slope * (1.5 - in))
		s.add(y, left+1, float32(tall*(a1-a0)))
		each := float32(tall * slope)
		for i := left + 2; i < right-1; i++ {
			s.add(y, i, each)
		}
		a2 := a1 + float32(slope*float32(right-left-3))
		s.add(y, right-1, float32(tall*(1-a2-am)))
	}
	s.add(y, right, float32(tall*am))
}

// add adds to a pixel's turn. What lies left of the box counts from its first column on, what
// lies right of it from the next row on.
func (s *sparse) add(y, x int, turn float32) {
	i := y*s.width + max(0, min(x, s.width))
	if i < len(s.turns) {
		s.turns[i] += turn
		s.touched[i/(quad*64)] |= 1 << (i / quad % 64)
	}
}

// draw lays a colour over what is covered, the box's corner lying at a place, and is as it was
// before the first line.
func (s *sparse) draw(img *image.RGBA, at image.Point, over color.Color) {
	red, green, blue, alpha := over.RGBA()
	b := blender{img, at, s.width, red, green, blue, alpha}
	sum, done := float32(0), 0 // as far as pixels are drawn
	for w, word := range s.touched {
		for ; word != 0; word &= word - 1 {
			i := (w*64 + bits.TrailingZeros64(word)) * quad
			b.blend(done, i, maskOf(sum))
			turns := s.turns[i:min(i+quad, len(s.turns))]
			for k, cover := range sums(turns, sum) {
				if k < len(turns) {
					b.blend(i+k, i+k+1, maskOf(cover))
					sum = cover
				}
			}
			clear(turns)
			done = i + len(turns)
		}
		s.touched[w] = 0
	}
	b.blend(done, len(s.turns), maskOf(sum))
}

// sums are the covers of up to four pixels after one of a cover. A whole four is added in pairs,
// as vector instructions do.
func sums(turns []float32, before float32) (out [quad]float32) {
	if len(turns) < quad {
		for k, t := range turns {
			before += t
			out[k] = before
		}
		return out
	}
	first := turns[0] + turns[1]
	return [quad]float32{turns[0] + before, first + before, turns[1] + turns[2] + turns[0] + before, turns[2] + turns[3] + first + before}
}

// maskOf is a cover as a share of 0xFFFF.
func maskOf(cover float32) uint32 {
	const almost = 255.99998 * 256 // so that all is 0xFFFF
	cover = float32(math.Abs(float64(cover)))
	if !(cover < 1) {
		cover = 1
	}
	return uint32(cover * almost)
}

// blender lays one colour over pixels that are counted row after row of a box.
type blender struct {
	img                     *image.RGBA
	at                      image.Point
	width                   int
	red, green, blue, alpha uint32 // to 0xFFFF, times alpha
}

// blend lays the colour over the pixels from ≤ i < to, by a mask.
func (b *blender) blend(from, to int, mask uint32) {
	if mask == 0 {
		return
	}
	keep := 0xFFFF - b.alpha*mask/0xFFFF
	red, green, blue, alpha := b.red*mask, b.green*mask, b.blue*mask, b.alpha*mask
	for from < to {
		y, x := from/b.width, from%b.width
		n := min(to-from, b.width-x)
		pix := b.img.Pix[b.img.PixOffset(b.at.X+x, b.at.Y+y):][:4*n]
		for i := 0; i+4 <= len(pix); i += 4 {
			p := (*[4]uint8)(pix[i:])
			p[0] = uint8((uint32(p[0])*0x101*keep + red) / 0xFFFF >> 8)
			p[1] = uint8((uint32(p[1])*0x101*keep + green) / 0xFFFF >> 8)
			p[2] = uint8((uint32(p[2])*0x101*keep + blue) / 0xFFFF >> 8)
			p[3] = uint8((uint32(p[3])*0x101*keep + alpha) / 0xFFFF >> 8)
		}
		from += n
	}
}
