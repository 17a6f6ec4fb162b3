package sheet

import (
	"image/color"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
	"github.com/acreband/acreband/zoning/site"
)

// cased is a line with white beside it, so that it stands out on any ground.
func cased(p drawing.Path, casing float64) []drawing.Path {
	white := drawing.Path{Closed: p.Closed, Stroke: drawing.Paint{Colour: palette.Paper, Opacity: 0.85}, Width: p.Width + casing}
	return []drawing.Path{white, p}
}

// beads are round spots along a line, so wide and so far apart from middle to middle.
func beads(c color.RGBA, wide, apart float64) drawing.Path {
	return drawing.Path{Stroke: drawing.Solid(c), Width: wide, Dash: []float64{0.01, apart}}
}

// featureLooks are how features are drawn; those that are not among them show in the
// zones, or are marks. Lines differ in more than color, as in hazardLooks: in dashes, beads
// or ticks, for printers without color.
var featureLooks = map[site.Kind]struct {
	words string
	look  []drawing.Path
}{
	site.NoGo:         {"No-go, drawn", cased(drawing.Path{Stroke: drawing.Solid(palette.Ink), Width: 1.8, Dash: []float64{6, 3.2, 0.1, 3.2}}, 1.6)},
	site.SoftGround:   {"Soft ground", cased(drawing.Path{Stroke: drawing.Solid(palette.Blue), Width: 1.8, Dash: []float64{0.1, 3.8}}, 1.4)},
	site.LeaveTree:    {"Leave trees", cased(drawing.Path{Stroke: drawing.Solid(palette.Ink), Width: 1, Dash: []float64{0.1, 1.8}}, 1.2)},
	site.Selective:    {"Selective clearing", append(cased(drawing.Path{Stroke: drawing.Solid(palette.Ink), Width: 0.8}, 1.2), beads(palette.Ink, 3.6, 9), beads(palette.Paper, 2.2, 9))},
	site.Building:     {"Building", []drawing.Path{{Stroke: drawing.Solid(palette.Paper), Width: 2}, {Fill: drawing.Paint{Colour: palette.Ink, Opacity: 0.9}, Stroke: drawing.Solid(palette.Ink), Width: 0.8}}},
	site.Road:         {"Road", []drawing.Path{{Stroke: drawing.Solid(palette.Ink), Width: 3.4}, {Stroke: drawing.Solid(palette.Paper), Width: 2}}},
	site.Path:         {"Path", cased(drawing.Path{Stroke: drawing.Solid(palette.Ink), Width: 1, Dash: []float64{3, 2.4}}, 1.6)},
	site.Travel:       {"Access route", cased(drawing.Path{Stroke: drawing.Solid(palette.Ink), Width: 1.1, Dash: []float64{9, 3}}, 1.8)},
	site.Water:        {"Water, drawn", cased(drawing.Path{Stroke: drawing.Solid(palette.Blue), Width: 2}, 1.2)},
	site.Railway:      {"Railway", append(cased(drawing.Path{Stroke: drawing.Solid(palette.Ink), Width: 2.2}, 1.2), drawing.Path{Stroke: drawing.Solid(palette.Paper), Width: 1, Dash: []float64{5, 4}})},
	site.Pipeline:     {"Buried line", cased(drawing.Path{Stroke: drawing.Solid(palette.Ink), Width: 1.4, Dash: []float64{7, 3, 2, 3}}, 1.6)},
	site.Tower:        {"Tower or pole", cased(drawing.Path{Stroke: drawing.Solid(palette.Ink), Width: 1.6}, 1.6)},
	site.Edge:         {"Cliff or bank, drawn", append(cased(drawing.Path{Stroke: drawing.Solid(palette.Ink), Width: 1.3}, 1.1), drawing.Path{Stroke: drawing.Solid(palette.Ink), Width: 0.8})},
	site.People:       {"Place of people", cased(drawing.Path{Stroke: drawing.Solid(palette.Ink), Width: 2.4, Dash: []float64{1.5, 4.5}}, 1.6)},
	site.OverheadLine: {"Overhead line", append(cased(drawing.Path{Stroke: drawing.Solid(palette.Ink), Width: 1.2}, 2), beads(palette.Ink, 4, 12))},
}

// features draws what is on the site.
func (m *groundMap) features() {
	for _, f := range m.page.Features {
		l, drawn := featureLooks[f.Kind]
		if !drawn {
			continue
		}
		lines, closed := m.linesOf(f.Geometry)
		m.draw(lines, closed, l.look, f.Kind == site.Edge, l.words)
	}
}

// hazardLooks are how hazards are drawn, ground before lines. Buildings, roads and
// lines overhead are drawn as features, ground without elevation as a zone, tight
// spots as marks.
var hazardLooks = []struct {
	kinds  []zoning.HazardKind
	words  string
	look   []drawing.Path
	ticked bool
}{
	{[]zoning.HazardKind{zoning.Depression}, "Low spot: soft after rain",
		cased(drawing.Path{Stroke: drawing.Solid(palette.Blue), Width: 1.2, Dash: []float64{0.1, 1.9, 0.1, 4.4}}, 1.2), false},
	{[]zoning.HazardKind{zoning.SteepAbove, zoning.SteepBelow}, "50% or more above or below a zone",
		[]drawing.Path{{Stroke: drawing.Solid(palette.Ink), Width: 0.8}}, true},
	{[]zoning.HazardKind{zoning.ProposedStrip}, "Strip along drainage, proposed",
		[]drawing.Path{{Stroke: drawing.Solid(palette.Blue), Width: 2.4, Dash: []float64{4, 4}}, {Stroke: drawing.Solid(palette.Paper), Width: 1.1}}, false},
	{[]zoning.HazardKind{zoning.Drainage}, "Drainage line",
		cased(drawing.Path{Stroke: drawing.Solid(palette.Blue), Width: 1.1, Dash: []float64{7, 2.2, 0.1, 2.2, 0.1, 2.2}}, 1.2), false},
	{[]zoning.HazardKind{zoning.BankLikely}, "Bank likely: look on foot",
		append(cased(drawing.Path{Stroke: drawing.Solid(palette.Ink), Width: 0.9, Dash: []float64{3.5, 2.5}}, 1.1), drawing.Path{Stroke: drawing.Solid(palette.Ink), Width: 0.8}), true},
	{[]zoning.HazardKind{zoning.DropOff}, "Drop-off",
		append(cased(drawing.Path{Stroke: drawing.Solid(palette.Ink), Width: 1.3}, 1.1), drawing.Path{Stroke: drawing.Solid(palette.Ink), Width: 0.8}), true},
}

// hazards draws all of one kind at once; ground that is steep above one zone and below
// another is drawn once.
func (m *groundMap) hazards() {
	for _, l := range hazardLooks {
		var lines, rings [][]drawing.Point
		drawn := map[orb.Bound]bool{}
		for _, h := range m.page.Map.Hazards {
			if b := h.Geometry.Bound(); slices.Contains(l.kinds, h.Kind) && !drawn[b] {
				drawn[b] = true
				if all, closed := m.linesOf(h.Geometry); closed {
					rings = append(rings, all...)
				} else {
					lines = append(lines, all...)
				}
			}
		}
		m.draw(rings, true, l.look, l.ticked, l.words)
		m.draw(lines, false, l.look, l.ticked, l.words)
	}
}

// draw lays lines over the ground; the last look of those that are ticked is for
// their ticks. It goes into the key where any of it lies in the frame.
func (m *groundMap) draw(lines [][]drawing.Point, closed bool, look []drawing.Path, ticked bool, words string) {
	var within [][]drawing.Point
	for _, l := range lines {
		if closed && len(l) > 0 {
			l = append(l[:len(l):len(l)], l[0])
		}
		within = append(within, drawing.ClipLine(l, m.frame)...)
	}
	if len(within) == 0 {
		return
	}
	swatch := stroked(swatchLine(), look...)
	for i, p := range look {
		p.Lines = within
		if p.Fill.Opacity > 0 {
			if !closed { // a building drawn as a line or a point
				p.Fill = drawing.Paint{}
			}
			swatch = stroked(swatchBox.Inset(3).Ring(), drawing.Path{Closed: true, Fill: p.Fill})
		}
		if ticked && i == len(look)-1 {
			p.Lines = nil
			for _, l := range within {
				p.Lines = append(p.Lines, ticks(l, 6, 3)...)
			}
			last := p
			last.Lines = ticks(swatchLine(), 5, 3)
			swatch = append(swatch[:len(swatch)-1], last)
		}
		m.over = append(m.over, p)
	}
	m.explain(keyEntry{words: words, swatch: swatch})
}

// ticks are short lines across a line, so far apart and so long.
func ticks(line []drawing.Point, every, long float64) [][]drawing.Point {
	var out [][]drawing.Point
	left := every / 2
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		d := math.Hypot(b.X-a.X, b.Y-a.Y)
		for ; left <= d && d > 0; left += every {
			u, v := (b.X-a.X)/d, (b.Y-a.Y)/d
			x, y := a.X+u*left, a.Y+v*left
			out = append(out, []drawing.Point{{X: x - v*long/2, Y: y + u*long/2}, {X: x + v*long/2, Y: y - u*long/2}})
		}
		left -= d
	}
	return out
}

// linesOf are the lines or rings of a shape on the map; a point is a small ring.
func (m *groundMap) linesOf(g orb.Geometry) (lines [][]drawing.Point, closed bool) {
	line := func(ps []orb.Point) (out []drawing.Point) {
		for _, p := range ps {
			at := m.at(p)
			if n := len(out); n == 0 || math.Hypot(at.X-out[n-1].X, at.Y-out[n-1].Y) > 0.6 || len(ps) < 3 {
				out = append(out, at)
			}
		}
		return out
	}
	switch g := g.(type) {
	case orb.Point:
		c := m.at(g)
		ring := arcPoints(2.5, 0, 360)
		for i := range ring {
			ring[i] = drawing.Point{X: c.X + ring[i].X, Y: c.Y + ring[i].Y}
		}
		return [][]drawing.Point{ring}, true
	case orb.LineString:
		return [][]drawing.Point{line(g)}, false
	case orb.Ring:
		return [][]drawing.Point{line(g)}, true
	case orb.Polygon:
		for _, r := range g {
			lines = append(lines, line(r))
		}
		return lines, true
	case orb.MultiPoint:
		for _, p := range g {
			l, _ := m.linesOf(p)
			lines = append(lines, l...)
		}
		return lines, true
	case orb.MultiLineString:
		for _, l := range g {
			lines = append(lines, line(l))
		}
		return lines, false
	case orb.MultiPolygon:
		for _, p := range g {
			l, _ := m.linesOf(p)
			lines = append(lines, l...)
		}
		return lines, true
	case orb.Collection:
		for _, part := range g {
			l, _ := m.linesOf(part)
			lines = append(lines, l...)
		}
	}
	return lines, false
}
