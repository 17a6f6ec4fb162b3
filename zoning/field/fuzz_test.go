package field_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/field"
	"github.com/acreband/acreband/zoning/field/fieldfile"
)

// FuzzReadReadings: no file makes it panic; what it accepts is a slope of a spot or
// a place on earth; what it refuses names the file.
func FuzzReadReadings(f *testing.F) {
	for _, s := range []string{
		"id,slope,note\nS01,32%,wet\n", "S01,18deg", "slope,lat,lon\n3%,1,2",
		`<gpx><wpt lat="1" lon="2"><name>S01 32%</name></wpt><trk><trkseg><trkpt lat="1" lon="2"><time>2026-05-04T13:05:00Z</time></trkpt></trkseg></trk></gpx>`,
		`{"type":"FeatureCollection","features":[{"type":"Feature","id":7,"properties":{"slope":"32%","note":"n"},"geometry":{"type":"Point","coordinates":[1,2]}}]}`,
		`{"type":"FeatureCollection","features":[{"type":"Feature","properties":null,"geometry":{"type":"MultiPolygon","coordinates":[[[[1,2],[1,3],[2,3],[1,2]]]]}}]}`,
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		readings, err := field.ReadReadings("f", data)
		if err != nil {
			var e *fieldfile.Error
			require.ErrorAs(t, err, &e)
			assert.Equal(t, "f", e.File)
			assert.NotEmpty(t, e.Cure)
			return
		}
		assert.NotEmpty(t, readings)
		for _, r := range readings {
			assert.True(t, r.SlopePct >= 0 && r.SlopePct-r.SlopePct == 0)
			assert.True(t, r.ID != "" || r.At != nil)
			if r.At != nil {
				assert.True(t, fieldfile.OnEarth(*r.At))
			}
		}
	})
}

// FuzzReadChecks: no file makes it panic, and readings can be judged by what it
// accepts.
func FuzzReadChecks(f *testing.F) {
	f.Add([]byte(`{"type":"FeatureCollection","checks":{"schema":2,"zones":["a","no-machine"]},"features":[{"type":"Feature","properties":{"id":"S1","band":"a","mapped_pct":20,"limit_pct":30,"on_foot":true,"machines":[{"key":"a","limit_pct":30}]},"geometry":{"type":"Point","coordinates":[1,2]}}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		c, err := field.ReadChecks("f", data)
		if err != nil {
			return
		}
		var readings []field.Reading
		for _, s := range c.Spots {
			readings = append(readings, field.Reading{ID: s.ID, SlopePct: 33})
		}
		compared, err := c.Match("f", readings, nil)
		require.NoError(t, err)
		v := must(c.Judge(compared))
		assert.Equal(t, len(compared), v.Agreement.N)
	})
}
