package read

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/site"
)

// Shapes of which the file says nothing are of the kind that was asked for; what it says stands.
func TestShapesOfNoKind(t *testing.T) {
	write := func(properties string) string {
		file := filepath.Join(t.TempDir(), "shapes.geojson")
		text := `{"type":"FeatureCollection","features":[{"type":"Feature","properties":` + properties + `,"geometry":{"type":"Point","coordinates":[-84,36]}}]}`
		require.NoError(t, os.WriteFile(file, []byte(text), 0o666))
		return file
	}
	for properties, want := range map[string]struct {
		kind  site.Kind
		value string
	}{
		`{"name":"a"}`:            {site.NoGo, ""},
		`{"kind":""}`:             {site.NoGo, ""},
		`{"kind":"leave tree"}`:   {site.LeaveTree, ""},
		`{"kind":"great meadow"}`: {"", "great meadow"},
	} {
		got, err := ReadSite(t.Context(), write(properties), SiteOptions{Kind: site.NoGo})
		if want.kind == "" {
			var none *NoKind
			require.ErrorAs(t, err, &none, properties)
			assert.Equal(t, want.value, none.Value)
			continue
		}
		require.NoError(t, err, properties)
		assert.Equal(t, want.kind, got[0].Kind, properties)
	}
	var none *NoKind
	_, err := ReadSite(t.Context(), write(`{"name":"a"}`), SiteOptions{})
	require.ErrorAs(t, err, &none)
	assert.Empty(t, none.Value)
}
