package sheet

import (
	"image"
	"math"
)

// strokes gathers lines as how near each pixel is to the nearest of them, so
// that joints are round and lines drawn twice look the same as once.
type strokes struct {
	w, h  int
	reach float64 // farthest distance that matters, pixels
	near  []uint8 // atLine·(1 − distance²/reach²); 0 beyond reach
}

const atLine = 0xFF

// newStrokes prepares for lines that are drawn at most halfW to either side.
func newStrokes(w, h int, halfW float64) *strokes {
	return &strokes{w, h, halfW + 0.5, make([]uint8, w*h)}
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
	if l := math.Hypot(x1-x0, y1-y0); l > longest {
		n := math.Ceil(l / longest)
		dx, dy := (x1-x0)/n, (y1-y0)/n
		for i := 0.0; i < n; i++ {
			s.piece(x0+i*dx, y0+i*dy, dx, dy)
		}
		return
	}
	s.piece(x0, y0, x1-x0, y1-y0)
}

func (s *strokes) piece(x0, y0, dx, dy float64) {
	// The pixels whose middles lie within reach of the piece's box.
	left, right := within(min(x0, x0+dx)-s.reach, max(x0, x0+dx)+s.reach, s.w)
	top, bottom := within(min(y0, y0+dy)-s.reach, max(y0, y0+dy)+s.reach, s.h)
	inv := 0.0
	if l := dx*dx + dy*dy; l > 0 {
		inv = 1 / l
	}
	scale := atLine / (s.reach * s.reach)
	for y := top; y < bottom; y++ {
		v := float64(y) + 0.5 - y0
		row := s.near[y*s.w:][:s.w]
		for x := left; x < right; x++ {
			u := float64(x) + 0.5 - x0
			t := min(max((u*dx+v*dy)*inv, 0), 1)
			ex, ey := u-t*dx, v-t*dy
			if n := int(atLine + 0.5 - scale*(ex*ex+ey*ey)); n > int(row[x]) {
				row[x] = uint8(n)
			}
		}
	}
}

// within are the pixels of a line of n whose middles lie between two places.
func within(low, high float64, n int) (from, to int) {
	return max(int(math.Ceil(low-0.5)), 0), min(int(math.Floor(high-0.5))+1, n)
}

// pen is a line drawn half its width to either side, laid on with a strength of
// 0 to 1.
type pen struct {
	halfW    float64
	brush    *brush
	strength float64
}

// covers are a pen's steps of cover by how near a line is.
func (s *strokes) covers(p pen) (steps [atLine + 1]int) {
	for n := 1; n <= atLine; n++ {
		away := s.reach * math.Sqrt(1-float64(n)/atLine)
		steps[n] = cover(min(max(p.halfW+0.5-away, 0), 1) * p.strength)
	}
	return steps
}

// draw lays a pen over the rows from ≤ y < to of an image; at is where the
// lines' corner lies.
func (s *strokes) draw(img *image.Paletted, at image.Point, from, to int, p pen) {
	steps := s.covers(p)
	for y := from; y < to; y++ {
		line := img.Pix[img.PixOffset(at.X, at.Y+y):][:s.w]
		for x, n := range s.near[y*s.w:][:s.w] {
			if n > 0 {
				line[x] = p.brush.over(line[x], steps[n])
			}
		}
	}
}
