package write

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
)

// A hectare is 10,000 m², an acre 4046.8564224 (NIST SP 811): what is told in the one is 2.47 times
// wrong where it is read as the other, so the name of every figure says which it is.
func TestHectaresAreCalledSo(t *testing.T) {
	m := writerMap(t)
	us := layerOf(t, m)
	m.Units = measure.Metric
	metric := layerOf(t, m)
	require.Len(t, metric.Columns, len(us.Columns))
	areas := 0
	for i, c := range us.Columns {
		name, times := measure.Metric.Property(c.Name)
		assert.Equal(t, name, metric.Columns[i].Name)
		assert.NotContains(t, metric.Columns[i].Name+metric.Columns[i].Words, "acre")
		for row := range us.Rows {
			was, ok := us.Rows[row].Values[i].(float64)
			if !ok || times == 1 {
				assert.Equal(t, us.Rows[row].Values[i], metric.Rows[row].Values[i], c.Name)
				continue
			}
			areas++
			assert.InDelta(t, was*4046.8564224/1e4, metric.Rows[row].Values[i], 1e-9, c.Name)
		}
	}
	assert.Positive(t, areas)
}

func layerOf(t *testing.T, m *zoning.ZoneMap) Layer {
	t.Helper()
	layer, err := Zones(m)
	require.NoError(t, err)
	return layer
}

// The summary says its units, and no member of it is called after others.
func TestSummaryInHectares(t *testing.T) {
	m := writerMap(t)
	summaryOf := func(u measure.Units) (out map[string]any) {
		m.Units = u
		var b bytes.Buffer
		require.NoError(t, GeoJSON(&b, m))
		var file struct{ Summary map[string]any }
		require.NoError(t, json.Unmarshal(b.Bytes(), &file))
		if u == measure.Metric {
			assert.NotRegexp(t, `"[a-z_]*acre[a-z_]*":`, b.String())
		}
		return file.Summary
	}
	us, metric := summaryOf(measure.US), summaryOf(measure.Metric)
	assert.NotContains(t, us, "units")
	assert.Equal(t, "metric", metric["units"])
	assert.InDelta(t, us["parcel_acres"].(float64)*0.40468564224, metric["parcel_hectares"], 1e-8)
	acres, hectares := us["acres"].(map[string]any), metric["hectares"].(map[string]any)
	require.NotEmpty(t, acres)
	for zone, v := range acres {
		assert.InDelta(t, v.(float64)*0.40468564224, hectares[zone], 1e-8, zone)
	}
}

// Maps in two units are not summed.
func TestCollectionRefusesAMixOfUnits(t *testing.T) {
	m := writerMap(t)
	maps, _ := oneByOne(t, m)
	require.Greater(t, len(maps), 1)
	maps[1].Units = measure.Metric
	c := NewCollection(m.Fleet)
	require.NoError(t, c.Add(maps[0]))
	assert.EqualError(t, c.Add(maps[1]), "a map told in metric units is added to those in us")
}
