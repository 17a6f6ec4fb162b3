package sheet

import (
	"fmt"
	"math"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// bars writes the scale bar and the north arrow.
func (m *groundMap) bars(c *column) {
	scaleAndNorth(c, reliefPx*m.v.metres, m.gridNorth(), m.page.Map.Units)
}

// scaleUnits are the units of a scale bar.
type scaleUnits struct {
	words  string
	metres float64
}

// farRoom is how many metres a scale bar has room for that is in miles and kilometres.
const farRoom = 3000

// scaleAndNorth writes the scale bar and the north arrow with a note beside it.
func scaleAndNorth(c *column, metresPerPoint float64, note string, units measure.Units) {
	scaleBar(c, metresPerPoint, 0.42, units)
	northNote(c, note)
	c.y += barsTall
}

// ruler is one of a scale bar's: how far it and its figures lie from the line between the two.
type ruler struct {
	scaleUnits
	up, textTop float64
}

// scaleBar writes the scale bar, in feet and in metres from one zero, in miles and
// kilometres where those are many, no longer than a share of the column's width. Metric readers get the lower ruler alone.
func scaleBar(c *column, metresPerPoint, most float64, units measure.Units) {
	size := fineSize * c.scale
	room := c.width * most * metresPerPoint
	above, below := scaleUnits{"feet", zoning.MetresPerFoot}, scaleUnits{"meters", 1}
	if room > farRoom {
		above, below = scaleUnits{"miles", 5280 * zoning.MetresPerFoot}, scaleUnits{"km", 1000}
	}
	y := c.y + size*leading + 1
	rulers := []ruler{{above, -4, c.y}, {below, 0, y + 5}}
	if units == measure.Metric {
		rulers = rulers[1:]
	}
	for _, b := range rulers {
		n := roundLength(room / b.metres)
		long := n * b.metres / metresPerPoint
		for i := range 4 {
			box := drawing.Box{Left: c.x + long*float64(i)/4, Top: y + b.up, Right: c.x + long*float64(i+1)/4, Bottom: y + b.up + 4}
			fill := drawing.Solid(palette.Ink)
			if i%2 == 1 {
				fill = drawing.Solid(palette.Paper)
			}
			c.page.Add(drawing.Path{Lines: [][]drawing.Point{box.Ring()}, Closed: true, Fill: fill, Stroke: drawing.Solid(palette.Ink), Width: 0.5})
		}
		words := &column{page: c.page, y: b.textTop - 1, scale: c.scale}
		words.text(c.x, drawing.Left, fineSize, false, palette.Ink, "0")
		words.text(c.x+long, drawing.Middle, fineSize, false, palette.Ink, grouped(n, 0)+" "+b.words)
	}
}

// northNote writes the north arrow with a note beside it.
func northNote(c *column, note string) {
	north := drawing.Point{X: c.x + c.width - 12, Y: c.y + barsTall/2 - 2}
	c.page.Add(northArrow(north, barsTall-6)...)
	words := &column{page: c.page, x: c.x + c.width*0.55, y: c.y + 4, width: c.width*0.45 - 30, scale: c.scale}
	words.text(north.X-14, drawing.Right, fineSize, false, palette.Ink, "True north is up")
	words.y += fineSize * leading * c.scale
	words.text(north.X-14, drawing.Right, fineSize, false, palette.Ink, note)
}

// gridNorth tells how far the elevation's grid is turned from true north in the
// middle of the map.
func (m *groundMap) gridNorth() string {
	f := m.page.Grid.Frame
	col, row := m.v.cell(float64(m.v.w)/2, float64(m.v.h)/2)
	const step = 0.5
	lon0, lat0 := f.LonLat(col, row+step)
	lon1, lat1 := f.LonLat(col, row-step)
	deg := math.Atan2((lon1-lon0)*m.v.perLon, (lat1-lat0)*m.v.perLat) * 180 / math.Pi
	deg -= 90 * math.Round(deg/90) // rows may run any way
	side := "east"
	if deg < 0 {
		side = "west"
	}
	if math.Abs(deg) < 0.05 {
		return "grid north is true north"
	}
	return fmt.Sprintf("grid north %.1f° %s of it", math.Abs(deg), side)
}

// northArrow is an N in a ring, an open angle above it.
func northArrow(at drawing.Point, tall float64) []drawing.Shape {
	r := tall * 0.3
	ring := drawing.Point{X: at.X, Y: at.Y + tall/2 - r}
	tip := at.Y - tall/2
	return []drawing.Shape{
		disc(ring, r, drawing.Paint{}, drawing.Solid(palette.Ink)),
		drawing.Path{Lines: [][]drawing.Point{{{X: at.X - 0.2*tall, Y: ring.Y - 1.3*r}, {X: at.X, Y: tip}, {X: at.X + 0.2*tall, Y: ring.Y - 1.3*r}}},
			Stroke: drawing.Solid(palette.Ink), Width: 0.9},
		letter(ring, r*1.15, palette.Ink, "N"),
	}
}
