package read

import (
	"archive/zip"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// write puts a file into the test's own folder.
func write(t testing.TB, name, content string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, []byte(content), 0o644))
	return path
}

// featureCollection is GeoJSON of one feature for each geometry or properties
// given as "properties|geometry".
func featureCollection(features ...string) string {
	var out []string
	for _, f := range features {
		properties, geometry, found := strings.Cut(f, "|")
		if !found {
			properties, geometry = "{}", f
		}
		out = append(out, fmt.Sprintf(`{"type":"Feature","properties":%s,"geometry":%s}`, properties, geometry))
	}
	return `{"type":"FeatureCollection","features":[` + strings.Join(out, ",") + `]}`
}

// polygon is a GeoJSON polygon of rings written as "x y, x y".
func polygon(rings ...string) string {
	return `{"type":"Polygon","coordinates":[` + coordinates(rings) + `]}`
}

// multiPolygon is a GeoJSON multipolygon of parts without holes.
func multiPolygon(shells ...string) string {
	for i, s := range shells {
		shells[i] = "[" + coordinates([]string{s}) + "]"
	}
	return `{"type":"MultiPolygon","coordinates":[` + strings.Join(shells, ",") + `]}`
}

func coordinates(rings []string) string {
	var out []string
	for _, r := range rings {
		var corners []string
		for _, xy := range strings.Split(r, ",") {
			corners = append(corners, "["+strings.Join(strings.Fields(xy), ",")+"]")
		}
		out = append(out, "["+strings.Join(corners, ",")+"]")
	}
	return strings.Join(out, ",")
}

// readOne reads a file that holds one lot.
func readOne(t testing.TB, path string, o Options) zoning.Lot {
	t.Helper()
	lots, err := Read(t.Context(), path, o)
	require.NoError(t, err)
	require.Len(t, lots, 1)
	return lots[0]
}

// readShape reads one GeoJSON geometry.
func readShape(t testing.TB, geometry string) zoning.Lot {
	t.Helper()
	return readOne(t, write(t, "lot.geojson", featureCollection(geometry)), Options{})
}

// create writes a file of a format through GDAL, one feature for each WKT. The
// field lot is an integer, null for a feature whose WKT begins with "null ".
func create(t testing.TB, driver godal.DriverName, path, layer string, srs string, wkts ...string) {
	t.Helper()
	require.NoError(t, registerDrivers())
	ds, err := godal.CreateVector(driver, path)
	require.NoError(t, err)
	addLayer(t, ds, layer, srs, wkts...)
	require.NoError(t, ds.Close())
}

func addLayer(t testing.TB, ds *godal.Dataset, layer, srs string, wkts ...string) {
	t.Helper()
	var sr *godal.SpatialRef
	if srs != "" {
		var err error
		sr, err = godal.NewSpatialRef(srs)
		require.NoError(t, err)
		defer sr.Close()
	}
	gtype := godal.GTPolygon
	if strings.HasSuffix(layer, "_points") {
		gtype = godal.GTPoint
	} else if strings.HasSuffix(layer, "_any") {
		gtype = godal.GTUnknown
	}
	l, err := ds.CreateLayer(layer, sr, gtype, godal.NewFieldDefinition("lot", godal.FTInt))
	require.NoError(t, err)
	for i, wkt := range wkts {
		wkt, null := strings.CutPrefix(wkt, "null ")
		g, err := godal.NewGeometryFromWKT(wkt, sr)
		require.NoError(t, err)
		f, err := l.NewFeature(g, failuresOnly)
		require.NoError(t, err)
		if !null {
			require.NoError(t, f.SetFieldValue(f.Fields()["lot"], 100+i))
			require.NoError(t, l.UpdateFeature(f, failuresOnly))
		}
		f.Close()
		g.Close()
	}
}

// zipped writes a zip file of the members of a folder, under a prefix.
func zipped(t testing.TB, path, prefix string, members ...string) {
	t.Helper()
	out, err := os.Create(path)
	require.NoError(t, err)
	z := zip.NewWriter(out)
	for _, m := range members {
		data, err := os.ReadFile(m)
		require.NoError(t, err)
		w, err := z.Create(prefix + filepath.Base(m))
		require.NoError(t, err)
		_, err = w.Write(data)
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	require.NoError(t, out.Close())
}

// requireSound checks what every lot promises of its ground.
func requireSound(t testing.TB, lots ...zoning.Lot) {
	t.Helper()
	for _, l := range lots {
		if l.Err != nil {
			require.Empty(t, l.Ground)
			continue
		}
		require.NotEmpty(t, l.Ground)
		for _, poly := range l.Ground {
			for i, ring := range poly {
				require.GreaterOrEqual(t, len(ring), 4)
				require.Equal(t, ring[0], ring[len(ring)-1], "closed")
				for _, p := range ring {
					require.True(t, p[0] >= -180 && p[0] <= 180 && p[1] >= -90 && p[1] <= 90, "%v", p)
				}
				// RFC 7946, section 3.1.6.
				require.Equal(t, i == 0, coverage.RingAreaM2(ring) > 0, "winding of ring %d", i)
			}
		}
		reason, err := invalidity(l.Ground)
		require.NoError(t, err)
		require.Empty(t, reason)
	}
}

// box is a ring of the corners of a box.
func box(west, south, east, north float64) orb.MultiPolygon {
	b := orb.Bound{Min: orb.Point{west, south}, Max: orb.Point{east, north}}
	return orb.MultiPolygon{b.ToPolygon()}
}
