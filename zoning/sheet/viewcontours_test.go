package sheet

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
)

// On a plane that rises by 20% to the north each contour runs east and west where its height
// is, whatever the view.
func TestContoursOfAView(t *testing.T) {
	s := scene{cols: 300, rows: 260, cell: 1, height: func(x, y float64) float64 { return 300 + 0.2*y }, fleet: threeMachines(), lots: []zoning.Parcel{box("Slope", -80, -80, 80, 80)}}
	g, zm := s.mapped(t)
	plane, _, _, ok := PlaneOf(g.Frame, zm)
	require.True(t, ok)
	p := NewPainter(g)
	for _, at := range []View{
		{Plane: plane, MetresPerDot: 1, Width: 300, Height: 260},
		{Plane: plane, XM: 30, YM: -20, MetresPerDot: 0.25, Width: 400, Height: 400},
		{Plane: plane, MetresPerDot: 4, Width: 300, Height: 260},
	} {
		c, err := p.Contours(zm, at)
		require.NoError(t, err)
		assert.Equal(t, "ft", c.Interval.Unit)
		require.NotEmpty(t, c.Lines)
		labels := map[string]bool{}
		for _, l := range c.Lines {
			labels[l.Label] = true
			for _, q := range l.Line {
				ft := (300 + 0.2*q[1]) / zoning.MetresPerFoot
				off := math.Abs(ft/c.Interval.Step - math.Round(ft/c.Interval.Step))
				assert.Less(t, off*c.Interval.Step, 0.35, "%v at %v", l.Label, q) // feet; cells are averaged
				assert.LessOrEqual(t, math.Abs(q[0]-at.XM), at.MetresPerDot*float64(at.Width)/2+1e-9)
				assert.LessOrEqual(t, math.Abs(q[1]-at.YM), at.MetresPerDot*float64(at.Height)/2+1e-9)
			}
		}
		tall := 0.2 * min(260, at.MetresPerDot*float64(at.Height)) / zoning.MetresPerFoot
		assert.InDelta(t, tall/c.Interval.Step, len(labels), 1.5, "none is left out")
	}
	off, err := p.Contours(zm, View{Plane: plane, XM: 5000, MetresPerDot: 1, Width: 100, Height: 100})
	require.NoError(t, err)
	assert.Empty(t, off.Lines)
	_, err = p.Contours(zm, View{Plane: plane})
	assert.Error(t, err)
}
