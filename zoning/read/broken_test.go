package read

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
)

// Lots and features that somebody gave, not a file, panicked where they had no ground.
func TestBrokenInputsAreRefused(t *testing.T) {
	lots := func(ground orb.MultiPolygon) []zoning.Lot {
		return []zoning.Lot{{Parcel: zoning.Parcel{Lot: "A", Ground: ground}}}
	}
	good := lots(orb.MultiPolygon{{{{-84.28, 36.31}, {-84.27, 36.31}, {-84.27, 36.32}, {-84.28, 36.31}}}})
	catalogue, err := raster.NewCatalogue(t.Context(), []string{jacksboro}, raster.Options{})
	require.NoError(t, err)
	defer catalogue.Close()
	for name, c := range map[string]struct {
		lots     []zoning.Lot
		features []site.Feature
		says     string
	}{
		"no lot":    {[]zoning.Lot{}, nil, "there is no lot"},
		"no ground": {lots(nil), nil, "has no ground"},
		"no ring":   {lots(orb.MultiPolygon{{}}), nil, "has no ring"},
		"no corner": {lots(orb.MultiPolygon{{{}}}), nil, "has no ground"},
		"no number": {lots(orb.MultiPolygon{{{{math.NaN(), 36}, {-84, 36}, {-84, 37}}}}), nil, "no longitude and latitude"},
		"no end":    {lots(orb.MultiPolygon{{{{-84, math.Inf(-1)}, {-84, 36}, {-84, 37}}}}), nil, "no longitude and latitude"},
		"no shape":  {good, []site.Feature{{Kind: site.NoGo, Place: 3}}, "has no shape"},
	} {
		assert.NotPanics(t, func() {
			_, err := Prepare(t.Context(), Request{Elevation: []string{jacksboro}, Lots: c.lots, Features: c.features})
			assert.ErrorContains(t, err, c.says, name)
			if len(c.lots) > 0 {
				_, err = LotSource{Elevation: catalogue, Features: c.features}.Prepare(t.Context(), c.lots[0])
				assert.ErrorContains(t, err, c.says, name)
			}
		}, name)
	}
	assert.NotPanics(t, func() {
		_, err := LotSource{}.Prepare(t.Context(), good[0])
		assert.ErrorContains(t, err, "there is no elevation")
		err = SiteFiles{}.CheckPlace([]site.Feature{{}}, orb.Bound{Max: orb.Point{1, 1}})
		assert.ErrorContains(t, err, "has no shape")
		_, err = Read(t.Context(), "", Options{})
		assert.Error(t, err)
		_, err = ReadSite(t.Context(), "", SiteOptions{})
		assert.Error(t, err)
		_, err = Prepare(t.Context(), Request{})
		assert.Error(t, err)
	})
}
