package read

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/text"
)

// Files that took all memory, or hid a formula in a name.
func TestAttackFiles(t *testing.T) {
	attack := func(name string) string { return filepath.Join("..", "..", "testdata", "attacks", name) }
	for name, want := range map[string]string{
		"deep-brackets.geojson": "cannot be read as GeoJSON: line 1: more than 32 brackets or elements lie inside each other",
		"deep-folders.kml":      "cannot be read as KML: line 1: more than 100 brackets or elements lie inside each other",
		"entities.gpx":          "cannot be read as GPX: line 1: it declares entities of its own, which are not taken",
	} {
		_, err := Read(t.Context(), attack(name), Options{})
		assert.ErrorContains(t, err, want)
	}
	lots, err := Read(t.Context(), attack("formula-names.geojson"), Options{})
	require.NoError(t, err)
	require.Len(t, lots, 9)
	for _, lot := range lots[:8] {
		assert.Equal(t, "'"+lot.Lot, text.Guarded(lot.Lot), "%q", lot.Lot)
	}
	assert.Equal(t, "-12.5", text.Guarded(lots[8].Lot))
}
