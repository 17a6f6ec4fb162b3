package sheet

import (
	"fmt"
	"image"
	"iter"
	"math"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/terrain/relief"
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// Sizes on an overview map, in pixels.
const (
	leastLot   = 3   // side of the square as which a lot too small to see is drawn
	leastLined = 8   // side of lots that get a line round them
	lotHalf    = 1.2 // half the width of lines round lots that bear their full weight
	fullLined  = 32  // side of lots, on the whole, that get lines of ink; others get fainter ones
)

// What a pixel of the map holds, beside one more than failedLot and a lot's need:
// where lots lie over each other the one that asks most is seen.
const (
	noLot     = 0
	failedLot = 1
)

// draw draws lots one by one into one picture, and the names that fit into them.
func (m *overviewMap) draw(lots iter.Seq2[OverviewLot, error]) (drawing.Picture, error) {
	w, h := int(m.frame.Right*reliefPx), int(m.frame.Bottom*reliefPx)
	kinds := make([]uint8, w*h)
	weight, strength := m.lineWeight()
	outlines := newStrokes(w, h, lotHalf*weight)
	f := newFiller(w, h, m.pixel)
	for lot, err := range lots {
		if err != nil {
			return drawing.Picture{}, err
		}
		if err := m.o.checkLot(lot); err != nil {
			return drawing.Picture{}, err
		}
		kind := uint8(failedLot)
		if lot.Failure == "" {
			kind += 1 + uint8(lotNeed(lot.LotMap, len(m.o.fleet)))
		}
		m.lot(lot, kind, f, kinds, outlines)
	}
	ps := m.paints()
	img := image.NewPaletted(image.Rect(0, 0, w, h), ps.palette())
	lit := make([]float32, w)
	for i := range lit {
		lit[i] = float32(relief.FlatLit)
	}
	for y := range h {
		for x := 0; x < w; x += tileSide {
			n := min(tileSide, w-x)
			ps.run(img.Pix[img.PixOffset(x, y):], kinds[y*w+x:][:n], lit[:n], y%tileSide*tileSide)
		}
	}
	outlines.draw(img, image.Point{}, 0, h, pen{lotHalf * weight, ps.brush(palette.Ink), strength})
	return drawing.Picture{Box: m.frame, Image: img}, nil
}

// paints are those of ground outside, of lots that failed, and of lots by need.
func (m *overviewMap) paints() *paints {
	n := len(m.o.fleet)
	ps := paintsFor(n)
	ps.kinds = ps.kinds[:1] // outside
	ps.addKind(failedGround, failedPattern.tile(), palette.ZoneRelief)
	for k := range needs(n) {
		g, p, _ := need(k).ground(n)
		ps.addKind(g, p.tile(), palette.ZoneRelief)
	}
	return ps
}

// lineWeight is the width and strength of the lines round lots: those of small lots must
// not hide what colour the lots are.
func (m *overviewMap) lineWeight() (weight, strength float64) {
	t := totals{acres: m.o.acres, lots: max(m.o.mapped, 1)}
	side := math.Sqrt(t.acres/float64(t.lots)*terrain.SquareMetresPerAcre) / m.metres
	return t.lineWeight(m.metres), min(max(side/fullLined, 0.2), 1)
}

// lot draws a lot.
func (m *overviewMap) lot(lot OverviewLot, kind uint8, f *filler, kinds []uint8, outlines *strokes) {
	box, ok := m.o.boxes.of(lot.Outline)
	if !ok {
		return
	}
	x0, y0 := m.pixel(orb.Point{box.Min[0], box.Max[1]})
	x1, y1 := m.pixel(orb.Point{box.Max[0], box.Min[1]})
	if x1 < 0 || y1 < 0 || x0 > float64(f.w) || y0 > float64(f.h) || box.Max[0]-box.Min[0] > 180 {
		m.beyond++
		return
	}
	paint := func(y, from, to int) {
		for x := y*f.w + from; x < y*f.w+to; x++ {
			kinds[x] = max(kinds[x], kind)
		}
	}
	if max(x1-x0, y1-y0) < leastLot {
		m.small++
		from, to := within((x0+x1-leastLot)/2, (x0+x1+leastLot)/2, f.w)
		top, bottom := within((y0+y1-leastLot)/2, (y0+y1+leastLot)/2, f.h)
		for y := top; y < bottom; y++ {
			paint(y, from, to)
		}
		return
	}
	f.fill(lot.Outline, paint)
	if max(x1-x0, y1-y0) >= leastLined {
		projection(m.pixel).edges(lot.Outline, 0.5, outlines.line)
	}
	m.name(lot, f, x1-x0, y1-y0)
}

// name writes a lot's name into it where it fits.
func (m *overviewMap) name(lot OverviewLot, f *filler, wide, tall float64) {
	if lot.name() == "" {
		return
	}
	name, _ := legibleName(lot.Lot, lot.Place) // the list of lots has both
	var ground *patch
	for _, n := range []*lotNames{&m.wide, &m.narrow} {
		w, h := plateSize(lotSize*n.text, 1, []string{"1"})
		if wide < w*reliefPx || tall < h*reliefPx {
			return
		}
		if ground == nil {
			if ground = largestPatch(f, lot.Outline); ground == nil {
				return
			}
		}
		acres := "no map"
		if lot.Failure == "" {
			acres = m.o.totals().shortAreaText(lot.Acres)
		}
		n.shapes = append(n.shapes, n.lotName(ground, name, acres, n.text)...)
	}
}

// cuts draws the strips that were left out, with how wide they are, and keeps names off
// those words.
func (m *overviewMap) cuts(n *lotNames) []drawing.Shape {
	var out []drawing.Shape
	size := lotSize * n.text
	draw := func(lines [2][]drawing.Point, middle drawing.Point, words string) {
		out = append(out, drawing.Path{Lines: lines[:], Stroke: drawing.Solid(palette.Ink), Width: 0.7, Dash: []float64{4, 2.5}})
		w, h := plateSize(size, 0, []string{words})
		inner := m.frame.Inset(6)
		middle.X = min(max(middle.X, inner.Left+w/2), inner.Right-w/2)
		middle.Y = min(max(middle.Y, inner.Top+h/2), inner.Bottom-h/2)
		n.taken = append(n.taken, drawing.Around(middle, w, h))
		out = append(out, plate(middle, size, 0, []string{words})...)
	}
	for i, c := range m.x.cuts {
		from, to := m.x.sides(c, m.left, m.metres)
		draw([2][]drawing.Point{{{X: from}, {X: from, Y: m.frame.Bottom}}, {{X: to}, {X: to, Y: m.frame.Bottom}}},
			drawing.Point{X: (from + to) / 2, Y: m.frame.Bottom - float64(i)*2*size}, distanceText(m.o.units, c.to-c.from)+" left out")
	}
	for i, c := range m.y.cuts {
		from, to := m.y.sides(c, m.top, m.metres)
		draw([2][]drawing.Point{{{Y: from}, {X: m.frame.Right, Y: from}}, {{Y: to}, {X: m.frame.Right, Y: to}}},
			drawing.Point{X: float64(i) * 20 * size, Y: (from + to) / 2}, distanceText(m.o.units, c.to-c.from)+" left out")
	}
	return out
}

// sides are where a strip that was left out begins and ends on the map, in points, the
// axis beginning at a pixel.
func (a *axis) sides(c span, origin, metres float64) (from, to float64) {
	from, to = (origin+a.at(c.from)/metres)/reliefPx, (origin+a.at(c.to)/metres)/reliefPx
	third := (to - from) / 3
	return from + third, to - third
}

// distanceText writes a distance in feet, or in miles from half of one on; or in meters and
// kilometers.
func distanceText(u measure.Units, m float64) string {
	switch long := u.Miles(m); {
	case long < 0.5:
		return grouped(math.Round(u.Feet(m)/10)*10, 0) + " " + u.Either("feet", "meters")
	case long < 10:
		return fmt.Sprintf("%.1f %s", long, u.LongLengths())
	default:
		return grouped(long, 0) + " " + u.LongLengths()
	}
}
