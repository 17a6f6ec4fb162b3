//go:build cgo

package mapping_test

import (
	"errors"
	"math"
	"path/filepath"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/read"
)

// pond is dead-flat water in cells: c0 ≤ col < c1, r0 ≤ row < r1.
type pond struct{ c0, r0, c1, r1 int }

const pondWestM, pondNorthM, pondCells = 355000, 3970000, 240

// writePonded writes rough ground of 1 m in UTM zone 17N around a pond 2 m below it.
func writePonded(t *testing.T, p pond) string {
	t.Helper()
	require.NoError(t, godal.RegisterRaster(godal.GTiff))
	path := filepath.Join(t.TempDir(), "ponded.tif")
	ds, err := godal.Create(godal.GTiff, path, 1, godal.Float32, pondCells, pondCells)
	require.NoError(t, err)
	utm, err := godal.NewSpatialRefFromEPSG(32617)
	require.NoError(t, err)
	defer utm.Close()
	z := make([]float32, pondCells*pondCells)
	for i := range z {
		c, r := i%pondCells, i/pondCells
		z[i] = float32(300 + 0.05*math.Sin(float64(c)*1.7)*math.Sin(float64(r)*2.3) + 0.01*float64(c+r))
		if c >= p.c0 && c < p.c1 && r >= p.r0 && r < p.r1 {
			z[i] = 298
		}
	}
	require.NoError(t, errors.Join(ds.SetSpatialRef(utm), ds.SetGeoTransform([6]float64{pondWestM, 1, 0, pondNorthM, 0, -1}),
		ds.Bands()[0].Write(0, 0, z, pondCells, pondCells), ds.Close()))
	return path
}

// lotOn is a rectangle of whole cells of it.
func lotOn(t *testing.T, c0, r0, c1, r1 float64) orb.MultiPolygon {
	t.Helper()
	utm, err := godal.NewSpatialRefFromEPSG(32617)
	require.NoError(t, err)
	defer utm.Close()
	wgs84, err := godal.NewSpatialRef("OGC:CRS84")
	require.NoError(t, err)
	defer wgs84.Close()
	tr, err := godal.NewTransform(utm, wgs84)
	require.NoError(t, err)
	defer tr.Close()
	var ring orb.Ring
	for _, c := range [][2]float64{{c0, r1}, {c1, r1}, {c1, r0}, {c0, r0}, {c0, r1}} {
		x, y := []float64{pondWestM + c[0]}, []float64{pondNorthM - c[1]}
		require.NoError(t, tr.TransformEx(x, y, nil, nil))
		ring = append(ring, orb.Point{x[0], y[0]})
	}
	return orb.MultiPolygon{{ring}}
}

// A pond of an acre (64 × 64 m) of which 10 m² lie in the lot is no-go there, though
// less than the 400 m² that water must have lie in the lot and three cells around it.
func TestAPondMostlyBesideTheLot(t *testing.T) {
	const squareMetre = 1 / terrain.SquareMetresPerAcre
	for name, c := range map[string]struct {
		pond   pond
		lot    orb.MultiPolygon
		wantM2 float64
	}{
		"along a side": {pond{119, 100, 183, 164}, lotOn(t, 60, 90, 120, 110), 10},
		"at a corner":  {pond{118, 95, 182, 159}, lotOn(t, 60, 60, 120, 100), 10},
		"none of it":   {pond{130, 95, 194, 159}, lotOn(t, 60, 60, 120, 100), 0},
	} {
		t.Run(name, func(t *testing.T) {
			tif := writePonded(t, c.pond)
			g, err := read.Prepare(t.Context(), read.Request{Elevation: []string{tif}, Parcel: boundary(t, named{"a", c.lot})})
			require.NoError(t, err)
			m, err := mapping.Map(t.Context(), g, defaults(), mapping.Options{})
			require.NoError(t, err)
			// A metre of the map of UTM is 0.9997 m or so on the ground here.
			assert.InDelta(t, c.wantM2*squareMetre, acresOf(m, 0, zoning.NoGoKey), 0.01*squareMetre*math.Max(c.wantM2, 1e-6))
			if c.wantM2 == 0 {
				assert.InDelta(t, 60+2*3, g.Elevation.Grid.Cols, 2, "no more is read than is needed")
			}
		})
	}
}

// The lot's line gets no worse by what lies beyond the raster.
func TestAPondAtTheRastersEdge(t *testing.T) {
	tif := writePonded(t, pond{200, 100, 240, 140})
	g, err := read.Prepare(t.Context(), read.Request{Elevation: []string{tif}, Parcel: boundary(t, named{"a", lotOn(t, 150, 90, 201, 110)}), Boundary: zoning.Surveyed})
	require.NoError(t, err)
	require.Equal(t, pondCells, g.Elevation.Grid.Col0+g.Elevation.Grid.Cols)
	m, err := mapping.Map(t.Context(), g, defaults(), mapping.Options{})
	require.NoError(t, err)
	assert.InEpsilon(t, 10/terrain.SquareMetresPerAcre, acresOf(m, 0, zoning.NoGoKey), 0.01)
}
