package sheet

import (
	"image"
	"math"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
)

// The largest ground on a page in pixels, the legend being to its right, to the
// right of a long north-south lot, below, or below and long; and the smallest.
const (
	sideWide, sideTall   = 768, 860
	longTall             = 1120
	belowWide, belowTall = 1200, 720
	crowdedTall          = 560
	leastWide, leastTall = 420, 420
)

// A legend lies below where the lots are wider than tall by wideLots, or where
// it would be taller than tallestPanel pixels beside them. More than manyRows
// bands take two of three columns there. Lots narrower than longLots times
// their height are long.
const (
	wideLots     = 1.2
	longLots     = 0.6
	manyRows     = 7
	tallestPanel = 1180
)

// Ground shown around the lots: a share of their longer side, and at least so
// many metres from their middle, for a lot of a few metres.
const (
	around     = 0.05
	leastReach = 5
)

// layout places everything on a page, and the view in its ground.
func layout(zm *zoning.ZoneMap, t totals, p plane) (*page, *view) {
	reach := max(p.halfW, p.halfH) * around
	wide, tall := 2*max(p.halfW+reach, leastReach), 2*max(p.halfH+reach, leastReach)
	rows := legendRows(t, zm.Fleet, zm.View)
	pg := &page{}
	v := &view{plane: p, metres: 1}
	panel := (&page{}).panel(0, 0, v, rows, t, zm)
	if wide > wideLots*tall || panel > tallestPanel {
		pg.below(v, wide, tall, rows, t, zm)
	} else {
		pg.beside(v, wide, tall, panel, rows, t, zm)
	}
	pg.frame(t, zm)
	return pg, v
}

// fit makes a view hold so many metres within a box of pixels.
func (v *view) fit(wideM, tallM float64, box image.Point) {
	v.metres = max(wideM/float64(box.X), tallM/float64(box.Y))
	v.w, v.h = int(math.Ceil(wideM/v.metres-1e-6)), int(math.Ceil(tallM/v.metres-1e-6))
}

// beside puts the legend to the right of the ground, panel pixels tall, and the
// remarks under it where they fit, else under both.
func (p *page) beside(v *view, wideM, tallM float64, panel int, rows []legendRow, t totals, zm *zoning.ZoneMap) {
	box := image.Pt(sideWide, sideTall)
	if wideM < longLots*tallM {
		box.Y = longTall
	}
	v.fit(wideM, tallM, box)
	v.w, v.h = max(v.w, leastWide), max(v.h, leastTall, panel)
	top := margin + headHeight
	p.ground = image.Rect(margin, top, margin+v.w, top+v.h)
	p.panel(p.ground.Max.X+gap, top, v, rows, t, zm)
	end := p.remarksBeside(top+panel+gap, remarksOf(t, zm))
	p.size = image.Pt(p.ground.Max.X+gap+panelWidth+margin, end+footHeight+margin)
}

// panel places all beside the ground on a page and returns where it ends.
func (p *page) panel(x, y int, v *view, rows []legendRow, t totals, zm *zoning.ZoneMap) int {
	y = p.zones(x, y, panelWidth, rows, t.units)
	y = p.legendTotal(x, y, panelWidth, t) + gap
	return p.facts(x, y, panelWidth, v, t, zm)
}

// below puts the legend under the ground, in columns, and the remarks under it.
func (p *page) below(v *view, wideM, tallM float64, rows []legendRow, t totals, zm *zoning.ZoneMap) {
	columns, box := 1, image.Pt(belowWide, belowTall)
	least := 2 * (panelWidth + gap)
	if len(rows) > manyRows {
		columns, box.Y, least = 2, crowdedTall, belowWide
	}
	v.fit(wideM, tallM, box)
	v.w, v.h = max(v.w, least), max(v.h, leastTall)
	top := margin + headHeight
	p.ground = image.Rect(margin, top, margin+v.w, top+v.h)

	width := (v.w - columns*gap) / (columns + 1)
	x, y, end := margin, p.ground.Max.Y+gap, 0
	each := (len(rows) + columns - 1) / columns
	for i := range columns {
		last := min((i+1)*each, len(rows))
		bottom := p.zones(x, y, width, rows[i*each:last], t.units)
		if last == len(rows) {
			bottom = p.legendTotal(x, bottom, width, t)
		}
		end = max(end, bottom)
		x += width + gap
	}
	end = max(end, p.facts(x, y, width, v, t, zm))
	end = p.remarks(margin, end+gap, v.w, remarksOf(t, zm))
	p.size = image.Pt(v.w+2*margin, end+gap/2+footHeight+margin)
}

func (p *page) zones(x, y, width int, rows []legendRow, units measure.Units) int {
	y = p.legendHead(x, y, width, units)
	for _, r := range rows {
		y = p.legendRow(x, y, width, r)
	}
	return y
}

// facts are the scale, north, the elevation, how good it is and what was assumed.
func (p *page) facts(x, y, width int, v *view, t totals, zm *zoning.ZoneMap) int {
	p.north = image.Pt(x+width-northSize/2, y+scaleTall/2)
	y = p.scaleBar(x, y, width-northSize-gap, v.metres, t.units) + 16
	return p.notes(x, y, width, factsOf(t, zm))
}

// frame writes the head and the foot of a page.
func (p *page) frame(t totals, zm *zoning.ZoneMap) {
	width := p.size.X - 2*margin
	base := margin + titleStyle.ascent() - 4
	p.put(margin, base, width, titleStyle, palette.Ink, t.name)
	base += 24
	p.put(margin, base, width, bodyStyle, palette.SoftInk, t.areaText(t.acres)+", "+zm.View.Words()+": "+whatText(zm))
	foot := p.size.Y - margin
	p.bars = append(p.bars, bar{image.Rect(margin, foot-24, p.size.X-margin, foot-23), palette.Hairline})
	p.put(margin, foot-2, width, boldStyle, palette.Ink, caution)
}
