package sheet

import (
	"image"
	"math"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
	"github.com/acreband/acreband/zoning/text"
)

// Space around a lot's name in pixels, from the middle of the text up and down
// and beyond its ends.
const (
	labelHalf = 10
	labelEnds = 6
)

// labels writes the names of lots inside them, each where its lot is widest; a
// lot too small for its name has none.
func (p *page) labels(v *view, lots []zoning.LotMap, outlines []orb.MultiPolygon) {
	f := newFiller(v.w, v.h, v.pixel)
	left, right := make([]int, v.h), make([]int, v.h)
	for i, lot := range lots {
		name := drawing.Written(text.OneLine(lot.Lot))
		width := smallStyle.width(name) + 2*labelEnds
		top, bottom := math.MaxInt, -1
		f.fill(outlines[i], func(y, from, to int) {
			if y != bottom || to-from > right[y]-left[y] {
				left[y], right[y] = from, to
			}
			top, bottom = min(top, y), y
		})
		if bottom < 0 { // between the middles of pixels
			continue
		}
		widest, at := 0, image.Point{}
		for y := top + labelHalf; y < bottom-labelHalf; y++ {
			from, to := left[y], right[y]
			for _, k := range [2]int{y - labelHalf, y + labelHalf} {
				from, to = max(from, left[k]), min(to, right[k])
			}
			// Rows as wide: the one nearest the middle.
			wide := 4*(to-from) - abs(2*y-top-bottom)
			if to-from >= width && wide > widest {
				widest, at = wide, image.Pt((from+to)/2, y)
			}
		}
		if widest > 0 && name != "" {
			p.label(at.Add(p.ground.Min), name)
		}
	}
}

func (p *page) label(middle image.Point, name string) {
	w := smallStyle.width(name)
	box := image.Rect(middle.X-w/2-labelEnds, middle.Y-labelHalf, middle.X-w/2+w+labelEnds, middle.Y+labelHalf)
	base := middle.Y + (smallStyle.ascent()-smallStyle.descent())/2
	p.names = append(p.names, caption{image.Pt(middle.X-w/2, base), smallStyle, palette.Ink, name, box})
}

func abs(v int) int { return max(v, -v) }
