package mapping_test

import (
	"fmt"
	"sync"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
)

// One ground serves several goroutines at once, its water asked for in between: each gets
// the map that it would have got alone.
func TestMapsOfOneGroundAtOnce(t *testing.T) {
	e, err := elevation()
	require.NoError(t, err)
	var ring orb.Ring
	for _, c := range [][2]float64{{10, 110}, {140, 110}, {140, 10}, {10, 10}, {10, 110}} {
		lon, lat := e.Grid.Frame.LonLat(c[0], c[1])
		ring = append(ring, orb.Point{lon, lat})
	}
	g, err := mapping.NewGround(e, []zoning.Lot{{Parcel: zoning.Parcel{Lot: "7", Ground: orb.MultiPolygon{{ring}}}}}, nil)
	require.NoError(t, err)
	want, err := mapping.Map(t.Context(), g.Fresh(), fleet.Default(), mapping.Options{})
	require.NoError(t, err)
	maps := make([]*zoning.ZoneMap, 4)
	var wg sync.WaitGroup
	for i := range maps {
		wg.Go(func() {
			m, err := mapping.Map(t.Context(), g, fleet.Default(), mapping.Options{})
			if assert.NoError(t, err) && assert.False(t, g.IsWet()) {
				maps[i] = m
			}
		})
	}
	wg.Wait()
	for _, m := range maps {
		require.NotNil(t, m)
		assert.True(t, fmt.Sprint(want.Lots[0].Zones) == fmt.Sprint(m.Lots[0].Zones), "NaN as well")
		assert.Equal(t, want.Hazards, m.Hazards)
		assert.Equal(t, want.Warnings, m.Warnings)
	}
}
