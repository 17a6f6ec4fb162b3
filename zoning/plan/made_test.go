package plan_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/read"
	"github.com/acreband/acreband/zoning/site"
)

// named is a lot to be written to a file.
type named struct {
	name   string
	ground orb.Polygon
}

// mapped maps lots of real ground, in degrees (see testdata/SOURCES.md), for the default
// fleet.
func mapped(t testing.TB, lots []named, o mapping.Options, features ...site.Feature) (*mapping.Ground, *zoning.ZoneMap) {
	t.Helper()
	g, err := read.Prepare(t.Context(), read.Request{Elevation: []string{"../../testdata/jacksboro_dem.tif"}, Parcel: boundary(t, lots), Features: features})
	require.NoError(t, err)
	m, err := mapping.Map(t.Context(), g, fleet.Default(), o)
	require.NoError(t, err)
	return g, m
}

// mappedTwo maps two lots with features on them.
func mappedTwo(t testing.TB, o mapping.Options, features ...site.Feature) (*mapping.Ground, *zoning.ZoneMap) {
	t.Helper()
	return mapped(t, []named{{"a", box(-84.28, 36.31, -84.23, 36.37)}, {"b", box(-84.20, 36.30, -84.17, 36.33)}}, o, features...)
}

// boundary writes lots to a GeoJSON file of their own.
func boundary(t testing.TB, lots []named) string {
	t.Helper()
	var features []any
	for _, l := range lots {
		features = append(features, map[string]any{"type": "Feature", "properties": map[string]string{"lot": l.name},
			"geometry": map[string]any{"type": "Polygon", "coordinates": l.ground}})
	}
	text, err := json.Marshal(map[string]any{"type": "FeatureCollection", "features": features})
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "lots.geojson")
	require.NoError(t, os.WriteFile(path, text, 0o666))
	return path
}

// box is a polygon of straight sides, given by two corners in degrees.
func box(west, south, east, north float64) orb.Polygon {
	return orb.Polygon{{{west, south}, {east, south}, {east, north}, {west, north}, {west, south}}}
}

// siteOf is the site of a map that must have one.
func siteOf(t testing.TB, g *mapping.Ground, m *zoning.ZoneMap, cover plan.Cover) *plan.Site {
	t.Helper()
	s, err := plan.SiteOf(g, m, cover)
	require.NoError(t, err)
	return s
}
