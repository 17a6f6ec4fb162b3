package sheet

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// room keeps what is written on a map from lying on other writing.
type room struct {
	within drawing.Box
	taken  []drawing.Box
}

// take reserves a box where it is free and within bounds, and tells whether it
// did.
func (r *room) take(b drawing.Box) bool {
	if !r.within.Holds(b) || slices.ContainsFunc(r.taken, b.Meets) {
		return false
	}
	r.taken = append(r.taken, b)
	return true
}

// patch is the pixels of a piece of ground, for finding room in it.
type patch struct {
	box            pixelBox // of pixels
	sum            []int32
	middleX        float64
	middleY        float64
	perRow, pixels int
	most           float64 // share of a box that may be other ground
}

// pixelBox is a box of pixels, its right and lower rims left out.
type pixelBox struct{ x0, y0, x1, y1 int }

// patches makes patches one after the other, each in the memory of the one before.
type patches struct {
	filler *filler
	runs   []pixelRun
	sum    []int32
}

// pixelRun is pixels of a row, from ≤ x < to.
type pixelRun struct{ y, from, to int }

// patch counts the pixels of a polygon that lie in a view: sum[y][x] are those
// above and left of a corner (a summed-area table, Crow 1984). It lasts until the next call.
func (f *patches) patch(poly orb.Polygon) *patch {
	runs := f.runs[:0]
	p := &patch{box: pixelBox{math.MaxInt, math.MaxInt, 0, 0}}
	f.filler.fill(orb.MultiPolygon{poly}, func(y, from, to int) {
		runs = append(runs, pixelRun{y, from, to})
		p.box = pixelBox{min(p.box.x0, from), min(p.box.y0, y), max(p.box.x1, to), max(p.box.y1, y+1)}
		p.pixels += to - from
		p.middleX += float64(to-from) * float64(from+to) / 2
		p.middleY += float64(to-from) * (float64(y) + 0.5)
	})
	f.runs = runs
	if p.pixels == 0 {
		return nil
	}
	p.middleX, p.middleY = p.middleX/float64(p.pixels), p.middleY/float64(p.pixels)
	p.perRow = p.box.x1 - p.box.x0 + 1
	f.sum = slices.Grow(f.sum[:0], p.perRow*(p.box.y1-p.box.y0+1))
	p.sum = f.sum[:p.perRow*(p.box.y1-p.box.y0+1)]
	clear(p.sum)
	for _, r := range runs {
		for x := r.from; x < r.to; x++ {
			p.sum[(r.y-p.box.y0+1)*p.perRow+x-p.box.x0+1] = 1
		}
	}
	for i := p.perRow; i < len(p.sum); i += p.perRow {
		left := int32(0)
		for x := 1; x < p.perRow; x++ {
			left += p.sum[i+x]
			p.sum[i+x] = left + p.sum[i+x-p.perRow]
		}
	}
	return p
}

// newPatch is a patch that lasts.
func newPatch(f *filler, poly orb.Polygon) *patch { return (&patches{filler: f}).patch(poly) }

// holds reports whether a box of pixels lies in the patch.
func (p *patch) holds(b pixelBox) bool {
	if b.x0 < p.box.x0 || b.y0 < p.box.y0 || b.x1 > p.box.x1 || b.y1 > p.box.y1 {
		return false
	}
	at := func(x, y int) int32 { return p.sum[(y-p.box.y0)*p.perRow+x-p.box.x0] }
	here := at(b.x1, b.y1) - at(b.x0, b.y1) - at(b.x1, b.y0) + at(b.x0, b.y0)
	return float64(here) >= (1-p.most)*float64((b.x1-b.x0)*(b.y1-b.y0))
}

// spot finds where a box of points fits into the patch, the farthest from its
// sides, and takes that room.
func (r *room) spot(p *patch, width, height float64) (at drawing.Point, found bool) {
	w, h := int(math.Ceil(width*reliefPx/2)), int(math.Ceil(height*reliefPx/2))
	const step = 3
	best := -1.0
	for y := p.box.y0 + h; y <= p.box.y1-h; y += step {
		for x := p.box.x0 + w; x <= p.box.x1-w; x += step {
			free := 0
			for _, m := range [...]int{0, 3, 6, 12, 20, 30, 45, 65} {
				if !p.holds(pixelBox{x - w - m, y - h - m, x + w + m, y + h + m}) {
					break
				}
				free = m + 1
			}
			if free == 0 {
				continue
			}
			score := float64(free) - math.Hypot(float64(x)-p.middleX, float64(y)-p.middleY)/100
			if score <= best {
				continue
			}
			c := drawing.Point{X: float64(x) / reliefPx, Y: float64(y) / reliefPx}
			if b := drawing.Around(c, width, height); r.within.Holds(b) && !slices.ContainsFunc(r.taken, b.Meets) {
				at, found, best = c, true, score
			}
		}
	}
	return at, found && r.take(drawing.Around(at, width, height))
}

// beside finds room for a box next to a point: right, left, below, above, and at
// its corners.
func (r *room) beside(p drawing.Point, away, width, height float64) (middle drawing.Point, found bool) {
	dx, dy := away+width/2, away+height/2
	for _, d := range [8][2]float64{{dx, 0}, {-dx, 0}, {0, dy}, {0, -dy}, {dx, dy}, {-dx, dy}, {dx, -dy}, {-dx, -dy}} {
		c := drawing.Point{X: p.X + d[0], Y: p.Y + d[1]}
		if r.take(drawing.Around(c, width, height)) {
			return c, true
		}
	}
	return p, false
}
