package zoning

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning/coverage"
)

// What is told of cells decides before slope does; cells in doubt are sure for nobody.
func TestWhatIsSureIsToldOfCells(t *testing.T) {
	c := &Cells{}
	assert.True(t, c.IsSure(1, 0, 24, 25))
	assert.False(t, c.IsSure(1, 0, 25, 25), "a tie is not below it")
	c.Sure = []Mask{0, 0b10}
	assert.False(t, c.IsSure(1, 0, 24, 25))
	assert.True(t, c.IsSure(1, 1, 99, 25))
	c.Unsure = []bool{false, true}
	assert.False(t, c.IsSure(1, 1, 0, 25))
}

// Acres that are sure are those of the cells told to be, for the zone's own machine; of the
// others people walk only where the slope that the ground is below lets them.
func TestSureAndSightedAcresGoByCells(t *testing.T) {
	g, err := terrain.NewGrid(make([]float32, 400), 20, 20, 5, 5)
	require.NoError(t, err)
	f := slope.NewField(g)
	f.AddUpper()
	cells := &Cells{
		Window: coverage.Window{Masks: make([]Mask, 400), Cols: 20, Rows: 20, Frame: g.Frame}, Sure: make([]Mask, 400),
		FootPct: 40, FootUpperPct: 50,
	}
	for i := range f.Squared {
		f.Squared[i], f.UpperSquared[i], cells.Masks[i] = 0.09, 0.16, 1
		switch {
		case i%20 < 5:
			cells.Sure[i] = 1
		case i%20 < 10:
			cells.Sure[i] = 2 // another's
		case i%20 < 15:
			f.UpperSquared[i] = 0.25 // 50%, a tie
		}
	}
	at := func(c, r float64) orb.Point {
		lon, lat := g.Frame.LonLat(c, r)
		return orb.Point{lon, lat}
	}
	parcel := Parcel{Lot: "7", Ground: orb.MultiPolygon{{{at(0, 0), at(0, 20), at(20, 20), at(20, 0), at(0, 0)}}}}
	fleet := Fleet{{Key: "a", Name: "A", LimitPct: 50}, {Key: "b", Name: "B", LimitPct: 60}}
	lot, err := MapLot(cells, f, fleet, []float64{20, 20}, parcel)
	require.NoError(t, err)
	require.Len(t, lot.Zones, 1)
	z := lot.Zones[0]
	assert.InDelta(t, z.Acres/4, z.SureAcres, 1e-3)
	assert.InDelta(t, z.Acres/4, z.SightAcres, 1e-3)

	for _, broken := range []*Cells{{Window: cells.Window, Sure: make([]Mask, 3)}, {Window: cells.Window, FootUpperPct: -1}} {
		assert.Error(t, broken.Check())
	}
}
