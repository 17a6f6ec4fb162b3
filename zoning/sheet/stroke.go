package sheet

import (
	"image"
	"image/color"
	"math"
)

// strokes gathers lines as each pixel's distance from the nearest of them, so
// that joints are round and lines drawn twice look the same as once.
type strokes struct {
	w, h  int
	reach float64 // farthest distance that matters, pixels
	away  []float32
}

func newStrokes(w, h int, reach float64) *strokes {
	s := &strokes{w, h, reach, make([]float32, w*h)}
	for i := range s.away {
		s.away[i] = math.MaxFloat32
	}
	return s
}

// line adds a line from one spot to another, in pixels.
func (s *strokes) line(x0, y0, x1, y1 float64) {
	// Off the picture altogether: also keeps the number of pieces small.
	if max(x0, x1) < -s.reach || min(x0, x1) > float64(s.w)+s.reach ||
		max(y0, y1) < -s.reach || min(y0, y1) > float64(s.h)+s.reach {
		return
	}
	// In short pieces, whose boxes hold few pixels far from the line.
	const longest = 12
	n := max(1, math.Ceil(math.Hypot(x1-x0, y1-y0)/longest))
	dx, dy := (x1-x0)/n, (y1-y0)/n
	for i := 0.0; i < n; i++ {
		s.piece(x0+i*dx, y0+i*dy, dx, dy)
	}
}

func (s *strokes) piece(x0, y0, dx, dy float64) {
	left := max(int(math.Floor(min(x0, x0+dx)-s.reach)), 0)
	right := min(int(math.Ceil(max(x0, x0+dx)+s.reach)), s.w)
	top := max(int(math.Floor(min(y0, y0+dy)-s.reach)), 0)
	bottom := min(int(math.Ceil(max(y0, y0+dy)+s.reach)), s.h)
	inv := 0.0
	if l := dx*dx + dy*dy; l > 0 {
		inv = 1 / l
	}
	for y := top; y < bottom; y++ {
		v := float64(y) + 0.5 - y0
		for x := left; x < right; x++ {
			u := float64(x) + 0.5 - x0
			t := min(max((u*dx+v*dy)*inv, 0), 1)
			ex, ey := u-t*dx, v-t*dy
			if d := float32(ex*ex + ey*ey); d < s.away[y*s.w+x] {
				s.away[y*s.w+x] = d // squared
			}
		}
	}
}

// pen is a line drawn half its width to either side, its colour laid on with a
// strength of 0 to 1.
type pen struct {
	halfW    float64
	colour   color.RGBA
	strength float64
}

// draw lays pens over an image, in order; at is where the lines' corner lies.
func (s *strokes) draw(img *image.RGBA, at image.Point, pens ...pen) {
	limit := float32(s.reach * s.reach)
	for y := range s.h {
		row := s.away[y*s.w : (y+1)*s.w]
		for x, d := range row {
			if d >= limit {
				continue
			}
			away := math.Sqrt(float64(d))
			px := img.Pix[img.PixOffset(at.X+x, at.Y+y):][:3]
			for _, p := range pens {
				cover := min(max(p.halfW+0.5-away, 0), 1) * p.strength
				px[0] = blend(px[0], p.colour.R, cover)
				px[1] = blend(px[1], p.colour.G, cover)
				px[2] = blend(px[2], p.colour.B, cover)
			}
		}
	}
}

func blend(under, over uint8, cover float64) uint8 {
	return uint8(float64(under) + (float64(over)-float64(under))*cover + 0.5)
}
