package mapping_test

import (
	"context"
	"errors"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/quality"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
)

// A detector of somebody else's is told of last among the elevation's doubts, of a map and of
// elevation alone; its error is the map's, and it is handed the map's context.
func TestAMapTellsOfADetectorOfSomebodyElse(t *testing.T) {
	e, err := elevation()
	require.NoError(t, err)
	at := func(col, row float64) orb.Point {
		lon, lat := e.Grid.Frame.LonLat(col, row)
		return orb.Point{lon, lat}
	}
	lots := []zoning.Lot{{Parcel: zoning.Parcel{Lot: "7", Ground: orb.MultiPolygon{{{at(10, 110), at(140, 110), at(140, 10), at(10, 10), at(10, 110)}}}}}}
	ground, err := mapping.NewGround(e, lots, nil)
	require.NoError(t, err)
	plain, err := mapping.Map(t.Context(), ground, fleet.Default(), mapping.Options{})
	require.NoError(t, err)
	type key struct{}
	ctx := context.WithValue(t.Context(), key{}, "mine")
	low := quality.Detector{Find: func(got context.Context, l *quality.Look) ([]quality.Doubt, error) {
		if got.Value(key{}) == nil {
			return []quality.Doubt{{Kind: "low", Words: "alone"}}, nil
		}
		assert.Same(t, e.Grid, l.Grid())
		return []quality.Doubt{{Kind: "low", Words: "the ground lies low"}}, nil
	}}
	o := mapping.Options{Detectors: []quality.Detector{low}}
	m, err := mapping.Map(ctx, ground, fleet.Default(), o)
	require.NoError(t, err)
	assert.Contains(t, m.Warnings, "the elevation: the ground lies low")
	assert.Len(t, m.Warnings, len(plain.Warnings)+1)
	assert.Equal(t, plain.Lots[0].Acres, m.Lots[0].Acres, "a warning changes no number")

	worth, err := mapping.WorthOf(e, fleet.Default(), o)
	require.NoError(t, err)
	assert.Equal(t, "alone", worth.Warnings[len(worth.Warnings)-1])

	broken := errors.New("broken")
	o.Detectors[0].Find = func(context.Context, *quality.Look) ([]quality.Doubt, error) { return nil, broken }
	_, err = mapping.Map(ctx, ground, fleet.Default(), o)
	assert.ErrorIs(t, err, broken)
	o.Detectors[0].Find = func(context.Context, *quality.Look) ([]quality.Doubt, error) { panic(broken) }
	assert.Panics(t, func() { mapping.Map(ctx, ground, fleet.Default(), o) }, "handed to whoever called Map")
}
