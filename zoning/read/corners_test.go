package read

import (
	"fmt"
	"math"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/coverage"
)

func TestImpossibleCorners(t *testing.T) {
	for _, c := range []struct{ about, geometry, want string }{
		{"not a number", `{"type":"Polygon","coordinates":[[[NaN,0],[1,0],[1,1],[NaN,0]]]}`, "is not a number"},
		{"infinite", `{"type":"Polygon","coordinates":[[[0,0],[1e999,0],[1,1],[0,0]]]}`, "a corner (+Inf, 0) is not a number"},
		{"swapped", polygon("45 -120, 45 -119.999, 45.001 -119.999, 45 -120"), "a corner (45, -120) has latitude -120, beyond a pole: longitude and latitude look swapped; longitude comes first"},
		{"feet", polygon("6050000 2120000, 6052640 2120000, 6052640 2122640, 6050000 2120000"), "a corner (6050000, 2120000) is not in degrees of longitude and latitude: name the CRS of the file with parcel-crs"},
		{"beyond both", polygon("120 95, 121 95, 121 96, 120 95"), "is not in degrees"},
		{"text for a figure", `{"type":"Polygon","coordinates":[[["a",0],[1,0],[1,1],["a",0]]]}`, "its geometry cannot be read"},
		{"no figures", `{"type":"Polygon","coordinates":[]}`, "has no geometry that can be read"},
		{"none", `null`, "has no geometry that can be read"},
	} {
		t.Run(c.about, func(t *testing.T) {
			lots, err := Read(t.Context(), write(t, "lots.geojson", featureCollection(c.geometry, polygon(boxRing))), Options{})
			require.NoError(t, err, "one bad feature does not stop the others")
			require.Len(t, lots, 2)
			requireSound(t, lots...)
			assert.ErrorContains(t, lots[0].Err, "lots.geojson: lot 1: ")
			assert.ErrorContains(t, lots[0].Err, c.want)
			assert.NoError(t, lots[1].Err)
		})
	}
}

func TestCornersBeyondTheirCRS(t *testing.T) {
	lot := readOne(t, write(t, "lots.geojson", featureCollection(polygon("1e12 1e12, 2e12 1e12, 2e12 2e12, 1e12 1e12"))), Options{CRS: "EPSG:32610"})
	assert.ErrorContains(t, lot.Err, "lies where its CRS (WGS 84 / UTM zone 10N, EPSG:32610) does not reach: check the CRS")
}

func TestReadersInParallel(t *testing.T) {
	var wg sync.WaitGroup
	for range 8 {
		for _, file := range []string{"testdata/lots_usft.zip", "testdata/lots.kmz"} {
			wg.Go(func() {
				lots, err := Read(t.Context(), file, Options{})
				assert.NoError(t, err)
				assert.GreaterOrEqual(t, len(lots), 2)
			})
		}
	}
	wg.Wait()
}

// A boundary drawn with more corners than an edge may have pieces. On the central
// meridian the scale of UTM is 0.9996 (Snyder 1987).
func TestManyCorners(t *testing.T) {
	const n, radiusM = 70_000, 100
	var ring strings.Builder
	for i := range n + 1 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i%n) / n)
		fmt.Fprintf(&ring, "%.6f %.6f, ", 500000+radiusM*cos, 4000000+radiusM*sin)
	}
	lot := readOne(t, write(t, "lots.geojson", featureCollection(polygon(strings.TrimSuffix(ring.String(), ", ")))), Options{CRS: "EPSG:32610"})
	require.NoError(t, lot.Err)
	assert.InEpsilon(t, math.Pi*radiusM*radiusM/(0.9996*0.9996), coverage.AreaM2(lot.Ground), 1e-5)
}
