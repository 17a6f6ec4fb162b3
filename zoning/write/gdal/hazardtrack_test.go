package gdal

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/read"
	"github.com/acreband/acreband/zoning/write"
)

// The hazards of a GPX file of ours are no lots when it is given as a boundary.
func TestHazardTracksAreNoLots(t *testing.T) {
	zm := packageMap(t)
	ring := zm.Lots[0].Zones[0].Ground[0][0]
	zm.Hazards = []zoning.Hazard{{Kind: zoning.Depression, Geometry: orb.Polygon{ring}, Words: "hollow"}, {Kind: zoning.PinchPoint, Geometry: ring[0], Words: "tight"}}
	var b bytes.Buffer
	require.NoError(t, write.GPX(&b, zm, nil))
	file := filepath.Join(t.TempDir(), "spots.gpx")
	require.NoError(t, os.WriteFile(file, b.Bytes(), 0o644))
	lots, err := read.Read(t.Context(), file, read.Options{})
	require.NoError(t, err)
	require.Len(t, lots, len(zm.Lots))
	last := lots[len(lots)-1].Notes
	assert.Contains(t, last[len(last)-1], "left out of the file as no boundary: 2 hazards")
}
