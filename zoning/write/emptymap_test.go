package write

import (
	"bytes"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
)

// Hazards wrote a comma before themselves as if zones stood before them, and nil lists
// went out as null.
func TestGeoJSONOfAMapThatLacksThings(t *testing.T) {
	spot := zoning.Hazard{Kind: zoning.PinchPoint, Geometry: orb.Point{-84, 36}, Words: "tight"}
	for name, m := range map[string]*zoning.ZoneMap{
		"nothing":                    {},
		"hazards without zones":      {Fleet: writerFleet, Lots: []zoning.LotMap{{Lot: "A"}}, Hazards: []zoning.Hazard{spot, spot}},
		"hazards without a lot":      {Hazards: []zoning.Hazard{spot}},
		"growth without a source":    {Growth: &zoning.Growth{}},
		"work without staging":       {Fleet: writerFleet, Otherwise: make([]float64, len(writerFleet)+5)},
		"the last lot without zones": {Fleet: writerFleet, Lots: []zoning.LotMap{{Lot: "A", Zones: []zoning.Zone{{Ground: orb.MultiPolygon{}}}}, {Lot: "B"}}, Hazards: []zoning.Hazard{spot}},
	} {
		text, c := written(t, m)
		zones := 0
		for _, lot := range m.Lots {
			zones += len(lot.Zones)
		}
		assert.Len(t, c.Features, zones+len(m.Hazards), name)
		before, _, _ := strings.Cut(string(text), `"features"`)
		assert.NotContains(t, before, "null", name)
		assert.NotNil(t, c.Summary.Cautions, name)
		assert.NotNil(t, c.Summary.DTM, name)
		assert.NotNil(t, c.Summary.Machines, name)
	}
}

// HazardFeatures of a map without a lot panicked.
func TestHazardFeaturesWithoutALot(t *testing.T) {
	spot := zoning.Hazard{Kind: zoning.DropOff, Geometry: orb.Point{-84, 36}, Words: "bank"}
	var b bytes.Buffer
	require.NoError(t, HazardFeatures(&b, &zoning.ZoneMap{Hazards: []zoning.Hazard{spot}}))
	assert.True(t, json.Valid(b.Bytes()))
	b.Reset()
	require.NoError(t, HazardFeatures(&b, &zoning.ZoneMap{Lots: []zoning.LotMap{{Lot: "7", Place: 3}}, Hazards: []zoning.Hazard{spot}}))
	assert.Contains(t, b.String(), `{"lot":"7","feature_no":3,"hazard":"drop-off"`)
}

// Shapes without a form in the writer left a feature without a geometry, and an error
// that was nil; coordinates that are no numbers became numbers.
func TestGeoJSONOfEveryShape(t *testing.T) {
	write := func(shape orb.Geometry) (map[string]any, error) {
		var b bytes.Buffer
		err := GeoJSON(&b, &zoning.ZoneMap{Hazards: []zoning.Hazard{{Kind: zoning.Depression, Geometry: shape}}})
		if err != nil {
			return nil, err
		}
		var c struct {
			Features []struct{ Geometry map[string]any }
		}
		require.NoError(t, json.Unmarshal(b.Bytes(), &c))
		return c.Features[0].Geometry, nil
	}
	line := orb.LineString{{1, 2}, {3, 4}}
	for want, shape := range map[string]orb.Geometry{
		"Point": orb.Point{1, 2}, "MultiPoint": orb.MultiPoint{{1, 2}}, "LineString": line, "MultiLineString": orb.MultiLineString{line},
		"Polygon": orb.Polygon{{{0, 0}, {1, 0}, {1, 1}, {0, 0}}}, "MultiPolygon": orb.MultiPolygon{},
		"GeometryCollection": orb.Collection{line, orb.Point{1, 2}},
	} {
		got, err := write(shape)
		require.NoError(t, err, want)
		assert.Equal(t, want, got["type"])
	}
	got, err := write(nil)
	require.NoError(t, err)
	assert.Nil(t, got)

	_, err = write(orb.Ring{{0, 0}})
	assert.NoError(t, err)
	_, err = write(orb.Bound{Min: orb.Point{0, 0}, Max: orb.Point{1, 1}})
	assert.NoError(t, err)
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e9} {
		_, err = write(orb.Point{v, 2})
		assert.ErrorContains(t, err, "hazard depression: its shape has a coordinate that is no number of degrees")
		_, err = write(orb.Polygon{{{0, 0}, {v, 0}, {1, 1}, {0, 0}}})
		assert.Error(t, err)
	}
}
