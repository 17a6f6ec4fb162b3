package sheet

import (
	"bytes"
	"image/color"
	"image/png"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
)

// Around the lots the map was blank paper: nobody saw what they lie in.
func TestGroundBeyondTheHeightsOfAMap(t *testing.T) {
	near := scene{cols: 160, rows: 160, cell: 1, height: hills, fleet: threeMachines(), lots: []zoning.Parcel{box("Near", -60, -60, 60, 60)}}
	g, zm := near.mapped(t)
	far := NewPainter(scene{cols: 100, rows: 100, cell: 10, height: hills}.grid(t))
	plane, _, _, ok := PlaneOf(g.Frame, zm)
	require.True(t, ok)
	at := View{Plane: plane, MetresPerDot: 2, Width: 400, Height: 300}
	p := NewPainter(g)
	shows := func(around []*Painter) (dot func(xM, yM float64) color.Color) {
		var b bytes.Buffer
		require.NoError(t, p.PaintAmong(&b, zm, at, AllBands, nil, around))
		img, err := png.Decode(&b)
		require.NoError(t, err)
		return func(xM, yM float64) color.Color { return img.At(int(200+xM/2), int(150-yM/2)) }
	}
	alone, among := shows(nil), shows([]*Painter{far})
	differ := 0
	for x := -390.0; x < 390; x += 10 {
		for y := -290.0; y < 290; y += 10 {
			if math.Max(math.Abs(x), math.Abs(y)) < 76 {
				assert.Equal(t, alone(x, y), among(x, y), "the map's own ground stays as it is: %g, %g", x, y)
				continue
			}
			if math.Max(math.Abs(x), math.Abs(y)) > 84 {
				assert.Equal(t, palette.Paper, color.RGBAModel.Convert(alone(x, y)))
				if among(x, y) != alone(x, y) {
					differ++
				}
			}
		}
	}
	assert.Greater(t, differ, 4000, "relief")
	require.Error(t, p.PaintAmong(&bytes.Buffer{}, zm, at, AllBands, nil, []*Painter{nil}))
}
