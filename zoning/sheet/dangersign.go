package sheet

import (
	"math"

	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// dangerSign is a number in a ring of eight corners with a second ring around it. No filled
// lozenge: on ski hills that is a grade of slope.
func dangerSign(at drawing.Point, scale float64, n string) []drawing.Shape {
	return []drawing.Shape{
		drawing.Path{Lines: [][]drawing.Point{octagon(at, 7.4*scale)}, Closed: true, Fill: drawing.Solid(palette.Paper), Stroke: drawing.Solid(palette.Ink), Width: 0.9 * scale},
		drawing.Path{Lines: [][]drawing.Point{octagon(at, 5.7*scale)}, Closed: true, Stroke: drawing.Solid(palette.Ink), Width: scale},
		letter(at, signSize*scale, palette.Ink, n),
	}
}

// octagon has a flat side on top and its corners at a distance from its middle.
func octagon(at drawing.Point, reach float64) (ring []drawing.Point) {
	for i := range 8 {
		sin, cos := math.Sincos(math.Pi / 8 * float64(2*i+1))
		ring = append(ring, drawing.Point{X: at.X + reach*cos, Y: at.Y + reach*sin})
	}
	return ring
}
