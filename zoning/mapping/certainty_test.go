//go:build cgo

package mapping_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/read"
)

// Drawn inside limits by the error, a zone's ground may still be above what asks
// for a procedure: it counts where that is not surely so. Judged by measured
// slope, hardly any did.
func TestCautiousCountsProcedureByTheError(t *testing.T) {
	const site, lon, lat = "../../examples/site/elevation.tif", -82.3829, 37.1751
	lot := named{"slope", rectangle(lon-0.002, lat-0.0015, lon+0.002, lat+0.0015)}
	g, err := read.Prepare(t.Context(), read.Request{Elevation: []string{site}, Parcel: boundary(t, lot)})
	require.NoError(t, err)
	noise := &slope.Noise{SigmaM: 0.05, RangeM: slope.RangeUnknown, From: "test"}
	boom := slices.IndexFunc(defaults(), func(m zoning.Machine) bool { return m.Key == "boom-head" })
	zone := func(o mapping.Options) zoning.Zone {
		m, err := mapping.Map(t.Context(), g, defaults(), o)
		require.NoError(t, err)
		for _, z := range m.Lots[0].Zones {
			if m.Fleet.Bands()[z.Band].Machine == boom {
				return z
			}
		}
		return zoning.Zone{}
	}
	plain, cautious := zone(mapping.Options{Noise: noise, SlopeOnly: true}), zone(mapping.Options{Noise: noise, Cautious: true, SlopeOnly: true})
	require.Positive(t, cautious.Acres)
	assert.Less(t, cautious.SlopeMaxPct, plain.SlopeMaxPct, "drawn inside the limit")
	assert.InEpsilon(t, cautious.Acres, cautious.SureAcres, 1e-9, "all of it is sure")
	assert.GreaterOrEqual(t, cautious.ProcedureAcres/cautious.Acres, 0.5*plain.ProcedureAcres/plain.Acres)
}

// Ground filled from coarser cells is never sure by the finer source's error.
func TestGroundOfACoarserSourceIsNotSure(t *testing.T) {
	const site, lon, lat = "../../examples/site/elevation.tif", -82.3829, 37.1751
	lot := named{"across", rectangle(lon-0.001, lat-0.001, lon+0.001, lat+0.001)}
	west := translated(t, site, "west.tif", "-srcwin", "0", "0", "230", "400")
	coarse := translated(t, site, "coarse.tif", "-r", "average", "-outsize", "25%", "25%")
	noise := &slope.Noise{SigmaM: 0.001, From: "test"} // so small that all but ties is sure
	sure := func(elevation ...string) (sure, all float64) {
		g, err := read.Prepare(t.Context(), read.Request{Elevation: elevation, Parcel: boundary(t, lot)})
		require.NoError(t, err)
		m, err := mapping.Map(t.Context(), g, defaults(), mapping.Options{Noise: noise, SlopeOnly: true})
		require.NoError(t, err)
		for _, z := range m.Lots[0].Zones {
			if m.Fleet.Bands()[z.Band].Machine >= 0 {
				sure, all = sure+z.SureAcres, all+z.Acres
			}
		}
		return sure, all
	}
	s, all := sure(site)
	assert.InEpsilon(t, all, s, 0.01)
	s, all = sure(west, coarse)
	// The western half, less the columns beside the step between the surveys.
	assert.InEpsilon(t, all/2, s, 0.1)
	assert.Less(t, s, all/2)
}
