package read

import (
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A corner at latitude 0 made a map of 14,921 acres of a file of 90 bytes, and took all
// memory for it.
func TestACornerFarFromTheElevationIsRefused(t *testing.T) {
	const slip = "../../testdata/attacks/slipped-corner.geojson"
	for _, elevation := range [][]string{{jacksboro}, {folderWith(t, jacksboro)}} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, err := Prepare(t.Context(), Request{Elevation: elevation, Parcel: slip})
		runtime.ReadMemStats(&after)
		require.ErrorContains(t, err, slip+": lot 1: its corner at 0.0000 N, 84.2500 W lies 4025 km (2501 mi) from the elevation nearest to it")
		assert.ErrorContains(t, err, "a slip?")
		assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(16<<20))
	}
}

// A lot that reaches beyond the elevation, as lots do, is no slip.
func TestALotThatReachesBeyondTheElevationIsMapped(t *testing.T) {
	file := filepath.Join(t.TempDir(), "wide.geojson")
	require.NoError(t, os.WriteFile(file, []byte(`{"type":"Polygon","coordinates":[[[-84.25,36.35],[-84.25,36.1],[-84.2,36.1],[-84.25,36.35]]]}`), 0o644))
	g, err := Prepare(t.Context(), Request{Elevation: []string{jacksboro}, Parcel: file})
	require.NoError(t, err)
	assert.Len(t, g.Lots, 1)
}

// folderWith is a folder that holds a copy of a file.
func folderWith(t *testing.T, file string) string {
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, filepath.Base(file)), text, 0o644))
	return dir
}
