package raster_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/read"
)

// The demo's acres by zone, recorded with GDAL 3.6.2: a GDAL or PROJ that reads the heights
// or places the cells otherwise gives other acres, and is found here.
func TestAcresOfTheDemoOnEveryGDAL(t *testing.T) {
	ground, err := read.Prepare(t.Context(), read.Request{
		Elevation: []string{"../../testdata/jacksboro_dem.tif"}, Parcel: "../../examples/screening/parcel.geojson",
	})
	require.NoError(t, err)
	zones, err := mapping.Map(t.Context(), ground, fleet.Default(), mapping.Options{})
	require.NoError(t, err)
	require.Len(t, zones.Lots, 1)
	want := []float64{810.4513799904101, 313.386981270221, 1067.3081519178675, 214.93492252381648}
	var acres []float64
	for _, zone := range zones.Lots[0].Zones {
		acres = append(acres, zone.Acres)
	}
	require.Len(t, acres, len(want), "%v", acres)
	for i := range want {
		assert.InEpsilon(t, want[i], acres[i], 1e-9, "zone %d", i)
	}
}
