package field

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
)

// A cell whose slope may by its error be as steep as people walk, to within a tie, is closed
// to them.
func TestGroundThatMayBeTooSteepToWalk(t *testing.T) {
	g := skewed(t, 5, 5, 0, 0)
	g.Staging = []orb.Point{g.place(0.5, 0.5)}
	for on, steepest := range map[zoning.Moisture]float64{zoning.Dry: 0.50, zoning.Wet: 0.35} {
		g.On = on
		for upper, want := range map[float64]bool{steepest: false, steepest - 0.9*zoning.TieRise: false, steepest - 1.1*zoning.TieRise: true, steepest + zoning.TieRise: false} {
			g.Field.UpperSquared = make([]float32, 25)
			g.Field.UpperSquared[12] = float32(upper * upper)
			assert.Equal(t, want, newFooting(&g).onFoot[12], "%s: %g", on, upper)
		}
	}
}

// By limits a machine without ground has a row in the table of readings all the same: a
// reading may put a spot there. As planned only those that come have one.
func TestBandsOfAList(t *testing.T) {
	g := skewed(t, 9, 9, 0, 0)
	g.Fleet = append(g.Fleet, zoning.Machine{Key: "crawler", Name: "Crawler", LimitPct: 70})
	g.Lots = []zoning.LotMap{lotBetween(t, &g, 1, 1, 8, 8)}
	require.Len(t, g.Lots[0].Zones, 1)
	for view, want := range map[zoning.View][]string{zoning.ByLimits: {"loader", "crawler", zoning.NoMachineKey}, zoning.AsPlanned: {"loader", zoning.NoMachineKey}} {
		g.View = view
		c, err := Pick(g, Options{})
		require.NoError(t, err)
		assert.Equal(t, want, c.Bands, view)
	}
}

// A hole in a lot has a side too, though the cell about it is nearly whole and among cells of
// its lot.
func TestAHoleHasARim(t *testing.T) {
	g := skewed(t, 12, 12, 0, 0)
	box := func(c0, r0, c1, r1 float64) orb.Ring {
		return orb.Ring{g.place(c0, r0), g.place(c1, r0), g.place(c1, r1), g.place(c0, r1), g.place(c0, r0)}
	}
	lot, err := zoning.MapLot(g.Cells, g.Field, g.Fleet, nil, zoning.Parcel{Lot: "a", Ground: orb.MultiPolygon{{box(1.5, 1.5, 10.5, 10.5), box(5.4, 6.4, 5.6, 6.6)}}})
	require.NoError(t, err)
	g.Lots = []zoning.LotMap{lot}
	rim := g.rim()
	assert.Contains(t, rim, [2]int{5, 6}, "96% of it is in the lot")
	assert.NotContains(t, rim, [2]int{5, 5})
	assert.NotContains(t, rim, [2]int{6, 6})
}
