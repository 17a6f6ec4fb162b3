package write

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
)

// Several lots are summed, and listed beside.
func TestGeoJSONGrowth(t *testing.T) {
	g := &zoning.Growth{
		Sources: []terrain.Source{{Path: "first.tif", CellM: [2]float64{1, 1}, Unit: "ft", UnitFrom: "band unit"}}, Surveyed: "2020", How: "cell by cell",
		Lots: []zoning.GrowthAcres{
			{ByClass: [zoning.GrowthClasses]float64{1, 2, 3, 4}, Unknown: 0.5, Water: 0.25},
			{ByClass: [zoning.GrowthClasses]float64{10, 0, 0, 0.5}, Unknown: 0, Water: 1},
		},
	}
	assert.Equal(t, zoning.GrowthAcres{ByClass: [zoning.GrowthClasses]float64{11, 2, 3, 4.5}, Unknown: 0.5, Water: 1.25}, g.Total())
	text, err := json.Marshal(summarise(&zoning.ZoneMap{Growth: g}).Growth)
	require.NoError(t, err)
	assert.JSONEq(t, `{
		"dsm": [{"source": "first.tif", "crs": "", "crs_from": "", "cell_m": [1, 1], "vertical_unit": "ft", "vertical_unit_from": "band unit", "vertical_unit_assumed": false}],
		"surveyed": "2020", "how": "cell by cell",
		"acres": {"under_3_ft": 11, "3_to_10_ft": 2, "10_to_25_ft": 3, "over_25_ft": 4.5}, "no_data_acres": 0.5, "water_acres": 1.25,
		"lots": [
			{"under_3_ft": 1, "3_to_10_ft": 2, "10_to_25_ft": 3, "over_25_ft": 4, "no_data": 0.5, "water": 0.25},
			{"under_3_ft": 10, "3_to_10_ft": 0, "10_to_25_ft": 0, "over_25_ft": 0.5, "no_data": 0, "water": 1}
		]}`, string(text))
	text, err = json.Marshal(summarise(&zoning.ZoneMap{}))
	require.NoError(t, err)
	assert.NotContains(t, string(text), "growth")
}

// Growth of maps one after another: acres add up, by hand; of days the oldest counts and
// none where one is not known.
func TestCollectionSumsGrowth(t *testing.T) {
	one := func(path, surveyed, how string, a zoning.GrowthAcres) *zoning.ZoneMap {
		m := writerMap(t)
		m.Growth = &zoning.Growth{Sources: []terrain.Source{{Path: path}}, Surveyed: surveyed, How: how, Lots: []zoning.GrowthAcres{a}}
		return m
	}
	a := one("a.tif", "2020", "cell by cell", zoning.GrowthAcres{ByClass: [zoning.GrowthClasses]float64{1, 0, 0, 0.5}, Unknown: 0.25})
	b := one("b.tif", "2019-06", "the greatest", zoning.GrowthAcres{ByClass: [zoning.GrowthClasses]float64{2, 0.125, 0, 0}, Water: 1})
	got := summaryOf(t, a, writerMap(t), b, a)["growth"].(map[string]any)
	assert.Equal(t, map[string]any{"under_3_ft": 4.0, "3_to_10_ft": 0.125, "10_to_25_ft": 0.0, "over_25_ft": 1.0}, got["acres"])
	assert.Equal(t, []any{0.5, 1.0, "2019-06", "cell by cell; the greatest"}, []any{got["no_data_acres"], got["water_acres"], got["surveyed"], got["how"]})
	var from []any
	for _, s := range got["dsm"].([]any) {
		from = append(from, s.(map[string]any)["source"])
	}
	assert.Equal(t, []any{"a.tif", "b.tif"}, from)
	assert.Nil(t, got["lots"])
	got = summaryOf(t, a, one("a.tif", "", "cell by cell", zoning.GrowthAcres{}), b)["growth"].(map[string]any)
	assert.Nil(t, got["surveyed"])
	assert.Equal(t, 0.5, a.Growth.Lots[0].ByClass[3], "the maps are left as they are")
}
