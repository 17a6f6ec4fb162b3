package sheet

import (
	"image/color"
	"slices"
	"strings"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/terrain/relief"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// keyEntry explains a sign of the map.
type keyEntry struct {
	swatch      []drawing.Shape // in a box of keyWide × keyTall
	words, more string
	acres       string // of a zone, as its units tell them
	units       measure.Units
}

// Size of a swatch.
const keyWide, keyTall = 26.0, 13.0

var swatchBox = drawing.Box{Right: keyWide, Bottom: keyTall}

// swatchLine runs across a swatch.
func swatchLine() []drawing.Point {
	return []drawing.Point{{X: 2, Y: keyTall - 4}, {X: keyWide / 2, Y: keyTall/2 - 1}, {X: keyWide - 2, Y: 4}}
}

// stroked is a line drawn with the look of paths.
func stroked(line []drawing.Point, looks ...drawing.Path) []drawing.Shape {
	out := make([]drawing.Shape, len(looks))
	for i, p := range looks {
		p.Lines = [][]drawing.Point{line}
		out[i] = p
	}
	return out
}

// explain adds a sign to the key once.
func (m *groundMap) explain(e keyEntry) {
	for _, k := range m.key {
		if k.words == e.words {
			return
		}
	}
	m.key = append(m.key, e)
}

// zoneKey explains the zones that the map holds.
func zoneKey(t totals, fleet zoning.Fleet, view zoning.View) []keyEntry {
	var out []keyEntry
	for _, r := range legendRows(t, fleet, view) {
		if t.bands[r.band].acres > 0 {
			out = append(out, keyEntry{zoneSwatch(r.band, len(fleet)), r.name, strings.Join(r.lines, "; "), r.acres, t.units})
		}
	}
	return out
}

// zoneSwatch is a sample of a band as it looks on level ground.
func zoneSwatch(band, machines int) []drawing.Shape {
	return hatchedSwatch(swatchBox, palette.GroundOf(band, machines), hatchingOf(band, machines))
}

// flatTint is ground as it looks where it is level, without its hatching.
func flatTint(g palette.Ground) color.RGBA { return g.Shade(relief.FlatLit, palette.ZoneRelief) }

// hatchedSwatch is level ground in a box, whose upper left corner is the origin.
func hatchedSwatch(box drawing.Box, g palette.Ground, h hatching) []drawing.Shape {
	ring := [][]drawing.Point{box.Ring()}
	return []drawing.Shape{
		drawing.Path{Lines: ring, Closed: true, Fill: drawing.Solid(flatTint(g))},
		drawing.Path{Lines: h.in(box.Inset(1), hatchPt, box.Inset(1).Has), Stroke: drawing.Solid(g.Hatch), Width: h.widthPx * hatchPt},
		drawing.Path{Lines: ring, Closed: true, Stroke: drawing.Solid(palette.Ink), Width: zoneLine},
	}
}

// signs are all that the map's key explains.
func (m *groundMap) signs(t totals) []keyEntry {
	return append(zoneKey(t, m.page.Map.Fleet, m.page.Map.View), thinned(m.key, m.thin)...)
}

// thinned says in a key how many signs of a kind maps had no room for.
func thinned(key []keyEntry, maps ...map[string]int) []keyEntry {
	key = slices.Clone(key)
	for i, e := range key {
		n := 0
		for _, thin := range maps {
			n += thin[e.words]
		}
		if n == 0 {
			continue
		}
		more := grouped(float64(n), 0) + " more have no room at this scale"
		if n == 1 {
			more = "1 more has no room at this scale"
		}
		if e.more != "" {
			more = e.more + "; " + more
		}
		key[i].more = more
	}
	return key
}
