package read

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning"
)

// That a lot lies off the elevation was told in words only.
func TestALotOffTheElevation(t *testing.T) {
	lot := func(west, south, east, north float64) []zoning.Lot {
		ring := orb.Ring{{west, south}, {east, south}, {east, north}, {west, north}, {west, south}}
		return []zoning.Lot{{Parcel: zoning.Parcel{Lot: "A", Ground: orb.MultiPolygon{{ring}}}}}
	}
	for name, c := range map[string]struct {
		lots []zoning.Lot
		says string
	}{
		"far":     {lot(10, 10, 10.01, 10.01), "check both files' CRS"},
		"swapped": {lot(36.31, -84.28, 36.32, -84.27), "longitude and latitude swapped"},
		"slipped": {lot(-84.28, 0, -84.27, 36.32), "a slip?"},
	} {
		_, err := Prepare(t.Context(), Request{Elevation: []string{jacksboro}, Lots: c.lots})
		assert.ErrorIs(t, err, raster.ErrOffRaster, name)
		assert.ErrorContains(t, err, c.says, name)
	}
	on := lot(-84.28, 36.31, -84.27, 36.32)
	_, err := Prepare(t.Context(), Request{Elevation: []string{jacksboro}, Lots: on})
	require.NoError(t, err)
}
