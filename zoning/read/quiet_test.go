package read

import (
	"bytes"
	"os"
	"os/exec"
	"testing"

	"github.com/acreband/acreband/zoning"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// GDAL, PROJ and GEOS print to standard error unless they are kept from it.
func TestNothingIsPrinted(t *testing.T) {
	const inChild = "ACREBAND_TEST_QUIET"
	if os.Getenv(inChild) != "" {
		for _, geometry := range []string{
			polygon("0 0, 1 1, 1 0, 0 1, 0 0"),
			polygon("0 0, 1 0, 1 1"),
			polygon("0 0, 1 0, 2 0, 0 0"),
			polygon("0 0, 1 0, 1 1, 0 0", "5 5, 6 5, 6 6, 5 5"),
			`{"type":"Polygon","coordinates":[[["a",0],[1,0],[1,1],[0,0]]]}`,
			`{"type":"Polygon"}`,
		} {
			_, _ = Read(t.Context(), write(t, "a.geojson", featureCollection(geometry)), Options{})
		}
		_, _ = Read(t.Context(), write(t, "a.geojson", featureCollection(polygon("1e12 1e12, 2e12 1e12, 2e12 2e12, 1e12 1e12"))), Options{CRS: "EPSG:32610"})
		_, _ = Read(t.Context(), write(t, "a.geojson", "{"), Options{})
		_, _ = Read(t.Context(), write(t, "a.kml", "<kml><Placemark>"), Options{})
		_, _ = Read(t.Context(), write(t, "a.gpx", "<gpx><trk>"), Options{})
		_, _ = Read(t.Context(), write(t, "a.gpx", gpxFile(track("a", "1 2"), track("b", "0 0, 1 1, 1 0, 0 1, 0 0"), track("c", "nan 1, x 2"))), Options{})
		_, _, _ = edgeGround(zoning.Parcel{Ground: orb.MultiPolygon{{{{0, 0}, {1, 1}, {1, 0}, {0, 1}, {0, 0}}}}}, 10)
		_, _ = Read(t.Context(), write(t, "a.gpkg", "SQLite format 3\x00 and no more"), Options{})
		_, _ = Read(t.Context(), "testdata/lots_usft.zip", Options{CRS: "nowhere"})
		_, _ = Read(t.Context(), "testdata/lots.kmz", Options{})
		return
	}
	child := exec.Command(os.Args[0], "-test.run=^TestNothingIsPrinted$")
	child.Env = append(os.Environ(), inChild+"=1")
	var stdout, stderr bytes.Buffer
	child.Stdout, child.Stderr = &stdout, &stderr
	require.NoError(t, child.Run(), stdout.String())
	assert.Empty(t, stderr.String())
	assert.NotContains(t, stdout.String(), "rror")
}
