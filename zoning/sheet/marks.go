package sheet

import (
	"fmt"
	"image/color"
	"math"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
	"github.com/acreband/acreband/zoning/site"
)

// Scales of text: on paper and a wide screen, and where the map is shown about a
// hand wide.
const (
	wideText   = 1.0
	narrowText = 1.6
)

// Sizes of text on the map, in points.
const (
	zoneSize    = 7.5
	lotSize     = 7.5
	contourSize = 7
	checkSize   = 7
	signSize    = 7.4
	plateOpaque = 0.88
)

// marker writes marks and words on a map so that none hides another.
type marker struct {
	*groundMap
	room
	text     float64         // scale of text
	under    []drawing.Shape // lines that lead from places to signs
	out      []drawing.Shape
	names    []name         // of signs
	standing []name         // checks that are drawn
	thin     map[string]int // signs that had no room, by their words in the key
}

// name is to be written beside a mark.
type name struct {
	at    drawing.Point
	words string
}

// marks are places and words over the ground, the most important first.
func (m *groundMap) marks(text float64) []drawing.Shape {
	k := &marker{groundMap: m, room: room{within: m.frame.Inset(1)}, text: text, thin: map[string]int{}}
	if m.elsewhere == nil {
		m.tellUnseen(totalsOf(m.page.Map), m.unseen())
	}
	// What stays where it is comes before what may stand beside its place with a line to it.
	k.checks()
	k.pinches()
	k.dangers()
	k.places()
	if len(m.page.Map.Lots) > 1 {
		k.lots()
	}
	k.zoneLabels()
	k.checkNames()
	k.contourLabels()
	m.thin = k.thin
	return append(k.under, k.out...)
}

func (k *marker) plate(middle drawing.Point, size float64, bold int, lines []string) {
	k.out = append(k.out, plate(middle, size, bold, lines)...)
}

// plate writes lines of words on white, the first ones bold, in a box around a
// middle.
func plate(middle drawing.Point, size float64, bold int, lines []string) []drawing.Shape {
	w, h := plateSize(size, bold, lines)
	out := []drawing.Shape{drawing.Path{Lines: [][]drawing.Point{drawing.Around(middle, w, h).Ring()}, Closed: true,
		Fill: drawing.Paint{Colour: palette.Paper, Opacity: plateOpaque}}}
	y := middle.Y - float64(len(lines))*size*lineHeight/2
	for i, l := range lines {
		out = append(out, drawing.Text{At: drawing.Point{X: middle.X, Y: y + size*(0.5*lineHeight+0.36)}, Anchor: drawing.Middle,
			Size: size, Bold: i < bold, Colour: palette.Ink, Words: l})
		y += size * lineHeight
	}
	return out
}

const lineHeight = 1.18

func plateSize(size float64, bold int, lines []string) (width, height float64) {
	for i, l := range lines {
		width = max(width, drawing.Measure(l, size, i < bold))
	}
	return width + 0.5*size, float64(len(lines))*size*lineHeight + 0.15*size
}

// disc is a filled circle.
func disc(at drawing.Point, radius float64, fill, line drawing.Paint) drawing.Path {
	ring := arcPoints(radius, 0, 360)
	for i := range ring {
		ring[i] = drawing.Point{X: ring[i].X + at.X, Y: ring[i].Y + at.Y}
	}
	return drawing.Path{Lines: [][]drawing.Point{ring}, Closed: true, Fill: fill, Stroke: line, Width: 0.9}
}

// letter writes a letter or a number in the middle of a sign.
func letter(at drawing.Point, size float64, colour color.RGBA, words string) drawing.Text {
	return drawing.Text{At: drawing.Point{X: at.X, Y: at.Y + 0.36*size}, Anchor: drawing.Middle, Size: size, Bold: true, Colour: colour, Words: words}
}

// letterSign is a black letter on a white disc.
func letterSign(at drawing.Point, scale float64, l string) []drawing.Shape {
	return []drawing.Shape{disc(at, 5.6*scale, drawing.Solid(palette.Paper), drawing.Solid(palette.Ink)), letter(at, signSize*scale, palette.Ink, l)}
}

var swatchMiddle = swatchBox.Middle()

// dangers numbers the worst dangers where they lie.
func (k *marker) dangers() {
	for i, d := range k.page.dangers {
		if d.at == nil || k.isElsewhere(*d.at) {
			continue
		}
		at := k.at(*d.at)
		if !k.frame.Has(at) {
			at = k.nearest(at, 7*k.text)
		}
		if at, free := k.stand(at, 14*k.text); free {
			k.out = append(k.out, dangerSign(at, k.text, fmt.Sprint(i+1))...)
			k.explain(keyEntry{words: "Worst dangers", more: "numbered as listed", swatch: dangerSign(swatchMiddle, 1, "1")})
		}
	}
}

// stand finds room for a sign of so long a side at its place or, with a line to it, beside
// it, and reports whether there was any.
func (k *marker) stand(at drawing.Point, side float64) (drawing.Point, bool) {
	if k.take(drawing.Around(at, side, side)) {
		return at, true
	}
	for _, away := range []float64{0.5, 1.2, 2} {
		if moved, ok := k.room.beside(at, away*side, side, side); ok {
			k.under = append(k.under, disc(at, 1, drawing.Solid(palette.Ink), drawing.Solid(palette.Ink)),
				drawing.Path{Lines: [][]drawing.Point{{at, moved}}, Stroke: drawing.Solid(palette.Ink), Width: 0.9})
			return moved, true
		}
	}
	return at, false
}

// places are where the trailer unloads, where help is to come, gates and bridges.
func (k *marker) places() {
	for i, s := range k.page.Map.Access.Staging {
		name := "Staging"
		if len(k.page.Map.Access.Staging) > 1 {
			name = fmt.Sprintf("Staging %d", i+1)
		}
		k.sign(s, "U", name, "Staging: where the trailer unloads")
	}
	if e := k.page.Emergency; e.At != nil {
		k.sign(*e.At, "E", "Emergency", "Emergency location")
	}
	for _, f := range k.page.Features {
		at := f.Geometry.Bound().Center()
		if f.Lent() && !k.inFrame(at) { // a map shows the roads around too
			continue
		}
		switch f.Kind {
		case site.Gate:
			k.sign(at, "G", "Gate"+postedText(k.page.Map.Units, f), "Gate or bridge")
		case site.Bridge:
			k.sign(at, "B", "Bridge"+postedText(k.page.Map.Units, f), "Gate or bridge")
		}
	}
	k.nameSigns()
}

// nearest is the place in the frame nearest to a place at which a sign that reaches so far
// has room.
func (k *marker) nearest(at drawing.Point, reach float64) drawing.Point {
	inner := k.frame.Inset(reach + 1)
	return drawing.Point{X: min(max(at.X, inner.Left), inner.Right), Y: min(max(at.Y, inner.Top), inner.Bottom)}
}

// pinches are the tight spots on ways in.
func (k *marker) pinches() {
	for _, h := range k.page.Map.Hazards {
		if p, ok := h.Geometry.(orb.Point); ok && h.Kind == zoning.PinchPoint {
			k.pinch(k.at(p))
		}
	}
}

// isElsewhere reports whether a place beyond the frame is on another inset.
func (k *marker) isElsewhere(p orb.Point) bool {
	return k.elsewhere != nil && !k.inFrame(p) && k.elsewhere(p)
}

// inFrame reports whether a place lies on the map's picture.
func (k *marker) inFrame(p orb.Point) bool {
	at := k.at(p)
	return at.X >= k.frame.Left && at.X <= k.frame.Right && at.Y >= k.frame.Top && at.Y <= k.frame.Bottom
}

// postedText is the first figure that is posted at a gate or bridge, a bridge's weight first.
func postedText(u measure.Units, f site.Feature) string {
	weight := fmt.Sprintf(" %s %s", grouped(u.Pounds(f.WeightKg), 0), u.ShortWeight())
	switch {
	case f.Kind == site.Bridge && f.WeightKg > 0:
		return weight
	case f.WidthM > 0:
		return " " + feetText(u, f.WidthM)
	case f.HeightM > 0:
		return " " + feetText(u, f.HeightM) + " high"
	case f.WeightKg > 0:
		return weight
	}
	return ", width not known"
}

// sign puts a letter where a place is, or beside it with a line to it where another
// mark is there. A place beyond the frame is told at the frame's side, with how far it
// is. Its name is written when all signs stand.
func (k *marker) sign(p orb.Point, l, words, explained string) {
	if k.isElsewhere(p) {
		return
	}
	at := k.at(p)
	r := 6 * k.text
	near := k.nearest(at, r)
	if far := math.Hypot(at.X-near.X, at.Y-near.Y); far > r {
		words += fmt.Sprintf(", %s beyond", feetText(k.page.Map.Units, far*reliefPx*k.v.metres))
	}
	k.explain(keyEntry{words: explained, swatch: letterSign(swatchMiddle, 1, l)})
	stands, free := k.stand(near, 2*r)
	if !free {
		k.thin[explained]++
		return
	}
	k.out = append(k.out, letterSign(stands, k.text, l)...)
	k.names = append(k.names, name{stands, words})
}

// nameSigns writes the names of signs beside them.
func (k *marker) nameSigns() {
	size := signSize * k.text
	for _, n := range k.names {
		w, h := plateSize(size, 1, []string{n.words})
		if c, ok := k.room.beside(n.at, 6*k.text, w, h); ok {
			k.plate(c, size, 1, []string{n.words})
		}
	}
}

// pinch is two brackets that face each other.
func (k *marker) pinch(at drawing.Point) {
	const words = "Pinch point on an access route"
	if !k.frame.Has(at) {
		return
	}
	k.explain(keyEntry{words: words, swatch: pinchSign(swatchMiddle, 1)})
	if !k.take(drawing.Around(at, 15*k.text, 11*k.text)) {
		k.thin[words]++
		return
	}
	k.out = append(k.out, pinchSign(at, k.text)...)
}

func pinchSign(at drawing.Point, scale float64) []drawing.Shape {
	r := 4 * scale
	lines := [][]drawing.Point{
		{{X: at.X - 1.6*r, Y: at.Y - r}, {X: at.X - 0.5*r, Y: at.Y}, {X: at.X - 1.6*r, Y: at.Y + r}},
		{{X: at.X + 1.6*r, Y: at.Y - r}, {X: at.X + 0.5*r, Y: at.Y}, {X: at.X + 1.6*r, Y: at.Y + r}},
	}
	return []drawing.Shape{
		drawing.Path{Lines: lines, Stroke: drawing.Solid(palette.Paper), Width: 3.4 * scale},
		drawing.Path{Lines: lines, Stroke: drawing.Solid(palette.Ink), Width: 1.5 * scale},
	}
}
