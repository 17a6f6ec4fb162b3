package sheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
	groundside "github.com/acreband/acreband/zoning/section"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
	"github.com/acreband/acreband/zoning/text"
)

// Measures of the picture of a danger from the side, in points.
const (
	sideWidest    = 330.0
	sideTallest   = 70.0 // of the ground itself
	sideHead      = 22.0 // over it: the danger's sign, and the machine
	sideBand      = 7.0  // under the surface: whose limit the slope meets
	sideFoot      = 13.0 // lengths
	sideKeyWide   = 204.0
	sideLeastWide = 120.0
	sideMinTall   = 26.0
)

// sideFrame is where meters lie in the picture.
type sideFrame struct{ left, base, low, scale float64 }

func (f sideFrame) at(alongM, heightM float64) drawing.Point {
	return drawing.Point{X: f.left + alongM*f.scale, Y: f.base - (heightM-f.low)*f.scale}
}

// figures are the danger from the side, and beside it the key of the limits that its ground
// meets.
func (s *dangerSide) figures(fleet zoning.Fleet) []*figure {
	low, high, known := s.rangeM()
	if !known {
		low, high = 0, 0
	}
	scale := sideWidest / s.LengthM()
	if high > low {
		scale = min(scale, sideTallest/(high-low))
	}
	f := sideFrame{0, sideHead + max((high-low)*scale, sideMinTall), low, scale}
	page := &drawing.Page{}
	for _, shapes := range [][]drawing.Shape{s.unknown(f), s.ground(f, fleet), s.standing(f, fleet), s.sign(f), s.lengths(f)} {
		page.Add(shapes...)
	}
	key := &column{page: &drawing.Page{}, y: 2, width: sideKeyWide, scale: 1}
	key.paragraph(sideKeyWords, ladderText, true, 0)
	key.gap(1)
	names := ""
	for i, band := range s.limitsMet() {
		name := limitName(fleet, band)
		key.keyEntry(keyEntry{zoneSwatch(band, len(fleet)), name, "", "", s.units}, ladderText)
		if names += name; i < len(s.limitsMet())-1 {
			names += "; "
		}
	}
	return []*figure{
		{Width: max(s.LengthM()*scale, sideLeastWide), Height: f.base + sideBand + sideFoot, Words: strings.Join(append([]string{s.words + "."}, s.tells(fleet)...), " "), shapes: page.Shapes},
		{Width: sideKeyWide, Height: key.y, Words: sideKeyWords + ": " + names, shapes: key.page.Shapes},
	}
}

const sideKeyWords = "Under the surface: whose limit the slope meets"

// limitName is a machine with its limit, or what no machine's limit is.
func limitName(fleet zoning.Fleet, band int) string {
	switch {
	case fleet.IsMachine(band):
		return fmt.Sprintf("%s, %s", text.OneLine(fleet[band].Name), limitText(fleet[band].SteepestPct()))
	case band == fleet.UnknownBand():
		return "slope not known"
	}
	return "above every machine's limit"
}

// limitsMet are the bands of the line's limits, in the fleet's order.
func (s *dangerSide) limitsMet() []int {
	met := map[int]bool{}
	most := 0
	for _, b := range s.Limits {
		met[b], most = true, max(most, b)
	}
	var out []int
	for b := range most + 1 {
		if met[b] {
			out = append(out, b)
		}
	}
	return out
}

// stretches are the places from a first to a last in which a thing is the same, where the
// height is known.
func (s *dangerSide) stretches(of func(i int) int) (all [][2]int) {
	from := -1
	for i := range len(s.HeightsM) + 1 {
		ends := i == len(s.HeightsM) || math.IsNaN(s.HeightsM[i])
		if from >= 0 && (ends || of(i) != of(from)) {
			last := i - 1
			if !ends {
				last = i // up to where the next begins
			}
			all = append(all, [2]int{from, last})
			from = -1
		}
		if !ends && from < 0 {
			from = i
		}
	}
	return all
}

// surface is the ground's line over a stretch, so many points lower.
func (s *dangerSide) surface(f sideFrame, stretch [2]int, down float64) (line []drawing.Point) {
	for i := stretch[0]; i <= stretch[1]; i++ {
		p := f.at(s.DistancesM[i], s.HeightsM[i])
		line = append(line, drawing.Point{X: p.X, Y: p.Y + down})
	}
	return line
}

// ground is the band of limits under the surface, and the surface.
func (s *dangerSide) ground(f sideFrame, fleet zoning.Fleet) []drawing.Shape {
	var out []drawing.Shape
	for _, st := range s.stretches(func(i int) int { return s.Limits[i] }) {
		band := s.Limits[st[0]]
		upper, lower := s.surface(f, st, 0), s.surface(f, st, sideBand)
		ring := append([]drawing.Point{}, upper...)
		box := drawing.Box{Left: upper[0].X, Right: upper[len(upper)-1].X, Top: math.Inf(1), Bottom: math.Inf(-1)}
		for i := range lower {
			ring = append(ring, lower[len(lower)-1-i])
			box.Top, box.Bottom = min(box.Top, upper[i].Y), max(box.Bottom, lower[i].Y)
		}
		g, h := palette.GroundOf(band, len(fleet)), hatchingOf(band, len(fleet))
		out = append(out, drawing.Path{Lines: [][]drawing.Point{ring}, Closed: true, Fill: drawing.Solid(flatTint(g))},
			drawing.Path{Lines: h.in(box, hatchPt, func(p drawing.Point) bool {
				z := s.HeightAt((p.X - f.left) / f.scale)
				under := p.Y - f.at(0, z).Y
				return p.X >= box.Left && p.X <= box.Right && under >= 0 && under <= sideBand
			}), Stroke: drawing.Solid(g.Hatch), Width: h.widthPx * hatchPt})
	}
	for _, st := range s.stretches(func(int) int { return 0 }) {
		out = append(out, drawing.Path{Lines: [][]drawing.Point{s.surface(f, st, 0)}, Stroke: drawing.Solid(palette.Ink), Width: 1})
	}
	return out
}

// unknown are dots where there is no elevation: nothing leads over it.
func (s *dangerSide) unknown(f sideFrame) []drawing.Shape {
	box := drawing.Box{Left: f.left, Right: f.left + s.LengthM()*f.scale, Top: sideHead, Bottom: f.base + sideBand}
	lines := dotHatching.in(box, hatchPt, func(p drawing.Point) bool {
		return box.Has(p) && math.IsNaN(s.HeightAt((p.X-f.left)/f.scale))
	})
	if lines == nil {
		return nil
	}
	return []drawing.Shape{drawing.Path{Lines: lines, Stroke: drawing.Solid(palette.SoftInk), Width: dotHatching.widthPx * hatchPt}}
}

// Parts of a machine's length that its drawing takes: tracks, the deck over them and the cab.
const (
	tracksTall              = 0.22
	deckFrom, deckTo        = 0.14, 0.92
	cabTo, hoodFrom, hoodUp = 0.5, 0.62, 0.44
	unknownTall             = 0.7 // of a machine whose height nobody tells
)

// standing is the machine as long and as tall as it is, on the ground.
func (s *dangerSide) standing(f sideFrame, fleet zoning.Fleet) []drawing.Shape {
	if s.machine < 0 {
		return nil
	}
	m := fleet[s.machine]
	length := groundside.LengthM(m)
	stance, ok := s.Stand(s.standM, length)
	if !ok {
		return nil
	}
	tall := m.HeightM
	if tall == 0 {
		tall = unknownTall * length
	}
	tall /= length
	from, to := f.at(stance.FromM, stance.FromZ), f.at(stance.ToM, stance.ToZ)
	// A place of the machine: so far along its underside and up from it, in its lengths.
	at := func(along, up float64) drawing.Point {
		dx, dy := to.X-from.X, to.Y-from.Y
		return drawing.Point{X: from.X + along*dx + up*dy, Y: from.Y + along*dy - up*dx}
	}
	body := []drawing.Point{at(deckFrom, tracksTall), at(deckFrom, tall), at(cabTo, tall), at(hoodFrom, hoodUp), at(deckTo, hoodUp), at(deckTo, tracksTall)}
	tracks := []drawing.Point{at(0.06, 0), at(0, 0.08), at(0, 0.14), at(0.06, tracksTall), at(0.94, tracksTall), at(1, 0.14), at(1, 0.08), at(0.94, 0)}
	return []drawing.Shape{
		drawing.Path{Lines: [][]drawing.Point{body}, Closed: true, Fill: drawing.Solid(palette.Paper), Stroke: drawing.Solid(palette.Ink), Width: 0.8},
		drawing.Path{Lines: [][]drawing.Point{tracks}, Closed: true, Fill: drawing.Solid(palette.Ink)},
	}
}

// sign stands over the danger.
func (s *dangerSide) sign(f sideFrame) []drawing.Shape {
	x, foot := f.left+s.atM*f.scale, f.base
	if z := s.HeightAt(s.atM); !math.IsNaN(z) {
		foot = f.at(0, z).Y
	}
	top := drawing.Point{X: x, Y: 9}
	stem := drawing.Path{Lines: [][]drawing.Point{{top, {X: x, Y: foot}}}, Stroke: drawing.Solid(palette.Ink), Width: 0.5, Dash: []float64{2, 1.5}}
	return append([]drawing.Shape{stem}, dangerSign(top, 1, strconv.Itoa(s.number))...)
}

// roundText writes a round length, given as its number and in meters.
func (s *dangerSide) roundText(n, m float64) string {
	if s.units == measure.Metric {
		return grouped(n, 0) + " m"
	}
	return feetText(s.units, m)
}

// lengths are round feet or meters along the foot of the picture.
func (s *dangerSide) lengths(f sideFrame) []drawing.Shape {
	const apart = 44 // points between two, at least
	step, unit := 1.0, 1/s.units.Feet(1)
	for k := 0; step*unit*f.scale < apart; k++ {
		step *= []float64{2, 2.5, 2}[k%3]
	}
	y := f.base + sideBand + 2
	end := f.left + s.LengthM()*f.scale
	out := []drawing.Shape{drawing.Path{Lines: [][]drawing.Point{{{X: f.left, Y: y}, {X: end, Y: y}}}, Stroke: drawing.Solid(palette.Hairline), Width: 0.5}}
	for n := 0.0; n*unit <= s.LengthM(); n += step {
		x := f.at(n*unit, 0).X
		label := drawing.Text{At: drawing.Point{X: x, Y: y + 3 + ladderText*drawing.Ascent}, Anchor: drawing.Middle, Size: ladderText, Colour: palette.Ink, Words: s.roundText(n, n*unit)}
		if n == 0 {
			label.Anchor = drawing.Left
		}
		out = append(out, drawing.Path{Lines: [][]drawing.Point{{{X: x, Y: y - 2}, {X: x, Y: y + 2}}}, Stroke: drawing.Solid(palette.Ink), Width: 0.5})
		if label.At.X+drawing.Measure(label.Words, ladderText, false)/2 <= end+columnGap/2 {
			out = append(out, label)
		}
	}
	return out
}
