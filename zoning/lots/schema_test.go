package lots

import (
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning/write"
)

// The files of many lots tell what those of one map do. GDAL once gave the GeoPackage columns
// of other types, by the values that it met: percents as whole numbers, and lists as text.
func TestFilesOfManyLotsKeepTheSchema(t *testing.T) {
	c := config(t)
	c.Outputs = Outputs{Table: true, Zones: true, Package: true}
	_, out := ran(t, c)
	var g struct {
		Features []struct{ Properties map[string]any }
	}
	require.NoError(t, json.Unmarshal([]byte(out["zones.geojson"]), &g))
	require.NoError(t, godal.RegisterVector(godal.GeoPackage))
	ds, err := godal.Open(filepath.Join(c.Dir, packageName), godal.VectorOnly())
	require.NoError(t, err)
	defer ds.Close()
	for name, list := range map[string][]write.Property{write.ZonesLayer: write.ZoneProperties(measure.US), write.HazardsLayer: write.LotHazardProperties()} {
		layer := ds.LayerByName(name)
		require.NotNil(t, layer, name)
		n := 0
		for _, f := range g.Features {
			if _, hazard := f.Properties["hazard"]; hazard != (name == write.HazardsLayer) {
				continue
			}
			n++
			row := layer.NextFeature()
			require.NotNil(t, row)
			fields := row.Fields()
			known := map[string]bool{}
			for _, p := range list {
				known[p.Name] = true
				field, has := fields[p.Name]
				assert.Equal(t, p.Kind != write.Nested, has, p.Name)
				switch v := f.Properties[p.Name].(type) {
				case string:
					assert.Equal(t, []any{godal.FTString, v}, []any{field.Type(), field.String()}, p.Name)
				case float64:
					assert.Equal(t, v, field.Float(), p.Name)
					want := map[write.Kind]godal.FieldType{write.Whole: godal.FTInt64, write.Number: godal.FTReal}[p.Kind]
					assert.Equal(t, want, field.Type(), p.Name)
				}
			}
			for field := range f.Properties {
				assert.True(t, known[field], field)
			}
			row.Close()
		}
		require.Positive(t, n, name)
		require.Nil(t, layer.NextFeature())
	}

	heading := rowsOf(t, out["lots.csv"])[0]
	for _, zone := range []string{"track_loader", "remote_crawler", "no_machine", "no_data", "no_go"} {
		for _, suffix := range []string{"_acres", "_acres_dry", "_acres_wet"} {
			assert.Contains(t, heading, zone+suffix)
		}
	}
	for _, name := range heading {
		assert.Regexp(t, "^[a-z0-9_]+$", name)
		assert.False(t, strings.Contains(name, "otherwise"), name)
	}
}
