package plan_test

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/field/progress"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/read"
	"github.com/acreband/acreband/zoning/site"
)

// groundWithCover maps two lots on real ground (testdata/SOURCES.md) with features on them.
func groundWithCover(t *testing.T, features ...site.Feature) (*mapping.Ground, *zoning.ZoneMap) {
	t.Helper()
	lots := []zoning.Lot{
		{Parcel: zoning.Parcel{Lot: "a", Ground: orb.MultiPolygon{sides(-84.28, 36.31, -84.23, 36.37)}}},
		{Parcel: zoning.Parcel{Lot: "b", Ground: orb.MultiPolygon{sides(-84.20, 36.30, -84.17, 36.33)}}},
	}
	g, err := read.Prepare(t.Context(), read.Request{Elevation: []string{"../../testdata/jacksboro_dem.tif"}, Lots: lots, Features: features})
	require.NoError(t, err)
	m, err := mapping.Map(t.Context(), g, fleet.Default(), mapping.Options{})
	require.NoError(t, err)
	return g, m
}

// sides is a polygon of straight sides, given by two corners in degrees.
func sides(west, south, east, north float64) orb.Polygon {
	return orb.Polygon{{{west, south}, {east, south}, {east, north}, {west, north}, {west, south}}}
}

// denseWest covers the west of lot a with heavy growth of 6 in stems.
var denseWest = site.Feature{Kind: site.Cover, Place: 1, Class: site.Heavy, StemM: 0.1524, Geometry: sides(-84.29, 36.30, -84.25, 36.38)}

// Worked ground is held to the likeliest rates of the book, and in all cover to what the
// plan reckons with on this ground.
func TestExpectedRates(t *testing.T) {
	g, m := groundWithCover(t, denseWest)
	book := plan.Default()
	require.NoError(t, book.Machine("track-loader").Set("rate_open", "6ac/day"))
	p, err := plan.ForMap(g, m, book, plan.Light)
	require.NoError(t, err)
	got := map[string]float64{}
	for _, r := range plan.ExpectedRates(p, book) {
		got[r.Machine+" "+r.Cover] = r.AcresPerHour
	}
	assert.Equal(t, 0.45, got["track-loader light"])
	assert.InDelta(t, 6/(9*0.75), got["track-loader open"], 1e-12, "a day has 9 h, 75% of them productive")
	assert.NotContains(t, got, "remote-crawler heavy", "it does not work such cover")
	for _, b := range p.Options[0].Crew {
		assert.InDelta(t, b.NetAcres/b.ProductiveH, got[b.Key+" "], 1e-12)
	}

	w := workMap(t, g, m)
	count := map[string]int{}
	for _, c := range w.Cover {
		count[w.Covers[c]]++
	}
	assert.Positive(t, count["heavy"])
	assert.Equal(t, len(w.Cover), count["heavy"]+count["not given"])
	bare, m := groundWithCover(t)
	assert.Nil(t, workMap(t, bare, m).Cover)
}

func workMap(t *testing.T, g *mapping.Ground, m *zoning.ZoneMap) progress.Map {
	t.Helper()
	w, err := plan.WorkMap(g, m, plan.CoverNotGiven)
	require.NoError(t, err)
	return w
}
