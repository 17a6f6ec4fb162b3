package sheet

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
	"github.com/acreband/acreband/zoning/text"
)

// arrowLong is the length of a working-direction arrow, in points.
const arrowLong = 22.0

// piece is one polygon of a zone.
type piece struct {
	ground orb.Polygon
	acres  float64
	band   int
	way    *zoning.Patch // nil where it has no working direction
}

// pieces lists what zones are made of, the largest first. A patch goes to the piece
// that has its acres: both were measured on the same outline.
func pieces(lots []zoning.LotMap) []piece {
	var all []piece
	for _, lot := range lots {
		for _, z := range lot.Zones {
			for _, poly := range z.Ground {
				p := piece{ground: poly, acres: coverage.Acres(orb.MultiPolygon{poly}), band: z.Band}
				if i := slices.IndexFunc(z.Patches, func(w zoning.Patch) bool { return w.Acres == p.acres }); i >= 0 {
					p.way = &z.Patches[i]
				}
				all = append(all, p)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b piece) int { return cmp.Compare(b.acres, a.acres) })
	return all
}

// zoneLabels writes into each piece of a zone that has room for it what it is, its
// acres, and which way it is worked.
func (k *marker) zoneLabels() {
	t := totalsOf(k.page.Map)
	size := zoneSize * k.text
	_, least := plateSize(size, 1, []string{""})
	made := patches{filler: newFiller(k.v.w, k.v.h, k.v.pixel)}
	for _, p := range pieces(k.page.Map.Lots) {
		if b := k.boundOf(p.ground); b.Width() < 2*least || b.Height() < least {
			continue
		}
		ground := made.patch(p.ground)
		if ground == nil || k.labelIn(ground, p, t, size) || p.acres < largePiece*t.acres {
			continue
		}
		// Large ground full of holes: the label lies over some of them.
		ground.most = mostOther
		k.labelIn(ground, p, t, size)
	}
}

// A piece of so large a part of all lots has a label even where other ground lies
// under a part of it.
const (
	largePiece = 0.02
	mostOther  = 0.25
)

// labelIn writes the fullest label of a piece that fits, and tells whether one did.
func (k *marker) labelIn(ground *patch, p piece, t totals, size float64) bool {
	named := []string{bandName(k.page.Map.Fleet, p.band), t.shortAreaText(p.acres)}
	if p.way != nil && (k.label(ground, named, size, p.way) || k.label(ground, named[1:], size, p.way)) {
		return true
	}
	return k.label(ground, named, size, nil) || k.label(ground, named[1:], size, nil)
}

// label writes lines of words where they fit, and an arrow below them where a way is
// given. It tells whether there was room.
func (k *marker) label(ground *patch, lines []string, size float64, way *zoning.Patch) bool {
	w, h := plateSize(size, len(lines), lines)
	if way == nil {
		at, ok := k.spot(ground, w, h)
		if ok {
			k.plate(at, size, len(lines), lines)
		}
		return ok
	}
	reach := arrowLong * math.Sqrt(k.text)
	sin, cos := math.Sincos(way.AzimuthDeg * math.Pi / 180)
	tall := reach*math.Abs(cos) + 8
	at, ok := k.spot(ground, max(w, reach*math.Abs(sin)+8), h+tall)
	if ok {
		k.plate(drawing.Point{X: at.X, Y: at.Y - tall/2}, size, len(lines), lines)
		k.out = append(k.out, arrow(drawing.Point{X: at.X, Y: at.Y + h/2}, reach, way.AzimuthDeg)...)
		k.explain(keyEntry{words: "Working direction", more: "straight up and down", swatch: arrow(swatchMiddle, 20, 75)})
	}
	return ok
}

// arrow points both ways along an azimuth.
func arrow(at drawing.Point, long, azimuthDeg float64) []drawing.Shape {
	sin, cos := math.Sincos(azimuthDeg * math.Pi / 180)
	spot := func(along, aside float64) drawing.Point {
		return drawing.Point{X: at.X + along*sin + aside*cos, Y: at.Y - along*cos + aside*sin}
	}
	h := long / 2
	lines := [][]drawing.Point{
		{spot(-h, 0), spot(h, 0)},
		{spot(h-4.5, -3), spot(h, 0), spot(h-4.5, 3)},
		{spot(4.5-h, -3), spot(-h, 0), spot(4.5-h, 3)},
	}
	return []drawing.Shape{
		drawing.Path{Lines: lines, Stroke: drawing.Paint{Colour: palette.Paper, Opacity: 0.9}, Width: 3.6},
		drawing.Path{Lines: lines, Stroke: drawing.Solid(palette.Ink), Width: 1.3},
	}
}

// bandName names a band in a few words.
func bandName(fleet zoning.Fleet, band int) string {
	switch band {
	case fleet.NeedsMachineBand():
		return "Not brought"
	case fleet.WaitsDryBand():
		return "Waits for dry"
	case fleet.NoMachineBand():
		return "Leave or hand work"
	case fleet.UnknownBand():
		return "No elevation"
	case fleet.NoGoBand():
		return "No-go"
	}
	return drawing.Shortened(text.OneLine(fleet[band].Name), 1, true, 14)
}

func (k *marker) boundOf(poly orb.Polygon) drawing.Box {
	b := drawing.Box{Left: math.Inf(1), Top: math.Inf(1), Right: math.Inf(-1), Bottom: math.Inf(-1)}
	for _, p := range poly[0] {
		at := k.at(p)
		b = drawing.Box{Left: min(b.Left, at.X), Top: min(b.Top, at.Y), Right: max(b.Right, at.X), Bottom: max(b.Bottom, at.Y)}
	}
	return b
}

// lots writes the names of lots into them.
func (k *marker) lots() {
	f := newFiller(k.v.w, k.v.h, k.v.pixel)
	t := totals{decimals: k.page.Map.AcreDecimals(), units: k.page.Map.Units}
	for i, o := range outlinesOf(k.page.Map) {
		lot := k.page.Map.Lots[i]
		if ground := largestPatch(f, o); ground != nil {
			name, _ := legibleName(lot.Lot, cmp.Or(lot.Place, i+1))
			k.out = append(k.out, k.lotName(ground, name, t.shortAreaText(lot.Acres), k.text)...)
		}
	}
}

// largestPatch is the pixels of the largest of polygons; nil where none has any.
func largestPatch(f *filler, ground orb.MultiPolygon) (largest *patch) {
	for _, poly := range ground {
		if p := newPatch(f, poly); p != nil && (largest == nil || p.pixels > largest.pixels) {
			largest = p
		}
	}
	return largest
}

// lotName writes into a lot its name, and acres below it where they fit too.
func (r *room) lotName(ground *patch, name, acres string, scale float64) []drawing.Shape {
	size := lotSize * scale
	name = drawing.Shortened(text.OneLine(name), size, true, 90*scale)
	for _, lines := range [][]string{{name, acres}, {name}} {
		w, h := plateSize(size, 1, lines)
		if at, ok := r.spot(ground, w, h); ok {
			return plate(at, size, 1, lines)
		}
	}
	return nil
}

// contourLabels writes heights on the longest index contours, far enough apart.
func (k *marker) contourLabels() {
	const apart, fewest, most = 300.0, 70.0, 9
	size := contourSize * k.text
	longest := slices.Clone(k.contours)
	slices.SortStableFunc(longest, func(a, b contourLine) int { return cmp.Compare(long(b.points), long(a.points)) })
	for _, c := range longest[:min(len(longest), most)] {
		whole := long(c.points)
		if whole < fewest {
			break
		}
		next, done := min(apart/2, whole/2), 0.0
		w, h := plateSize(size, 0, []string{c.label})
		for i := 1; i < len(c.points); i++ {
			done += long(c.points[i-1 : i+1])
			if done >= next && k.take(drawing.Around(c.points[i], w, h)) {
				k.plate(c.points[i], size, 0, []string{c.label})
				next = done + apart
			}
		}
	}
}

// long is the length of a line.
func long(line []drawing.Point) float64 {
	sum := 0.0
	for i := 1; i < len(line); i++ {
		sum += math.Hypot(line[i].X-line[i-1].X, line[i].Y-line[i-1].Y)
	}
	return sum
}
