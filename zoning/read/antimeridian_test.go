package read

import (
	"path/filepath"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/coverage"
)

// The box from 50 to 50.01 N and from 179.995 E to 179.995 W holds 797383.1357
// m² (197.037664 acres), by GeographicLib.
const seamBoxM2 = 797383.1357

func TestAcrossTheAntimeridian(t *testing.T) {
	const note = "it crosses the antimeridian (180 degrees) and was cut in two there"
	east, west := box(179.995, 50, 180, 50.01), box(-180, 50, -179.995, 50.01)
	for _, c := range []struct {
		about, geometry string
		note            string
		holes           int
	}{
		{"cut already, as RFC 7946 asks", multiPolygon("179.995 50, 180 50, 180 50.01, 179.995 50.01, 179.995 50", "-180 50, -179.995 50, -179.995 50.01, -180 50.01, -180 50"), "", 0},
		{"jumping", polygon("179.995 50, -179.995 50, -179.995 50.01, 179.995 50.01, 179.995 50"), note, 0},
		{"jumping, from the west", polygon("-179.995 50, -179.995 50.01, 179.995 50.01, 179.995 50, -179.995 50"), note, 0},
		{"running on past 180", polygon("179.995 50, 180.005 50, 180.005 50.01, 179.995 50.01, 179.995 50"), note, 0},
		{"running on past -180", polygon("-180.005 50, -179.995 50, -179.995 50.01, -180.005 50.01, -180.005 50"), note, 0},
		{"one part jumping and one not", multiPolygon("179.998 50, -179.995 50, -179.995 50.01, 179.998 50.01, 179.998 50", "179.995 50, 179.998 50, 179.998 50.01, 179.995 50.01, 179.995 50"), "its 2 parts share edges and were joined into 1", 0},
		{"with a hole on the seam", polygon("179.995 50, -179.995 50, -179.995 50.01, 179.995 50.01, 179.995 50", "179.999 50.004, 179.999 50.006, -179.999 50.006, -179.999 50.004, 179.999 50.004"), note, 1},
	} {
		t.Run(c.about, func(t *testing.T) {
			lot := readShape(t, c.geometry)
			require.NoError(t, lot.Err)
			requireSound(t, lot)
			want := seamBoxM2
			if c.holes > 0 {
				want -= 2 * coverage.AreaM2(box(179.999, 50.004, 180, 50.006))
			}
			// The published figure has geodesic edges north and south, which
			// bulge alike: the areas differ by 1e-9 of themselves.
			assert.InEpsilon(t, want, coverage.AreaM2(lot.Ground), 1e-8)
			require.Len(t, lot.Ground, 2)
			if c.note == "" {
				assert.Empty(t, lot.Notes)
			} else {
				assert.Contains(t, lot.Notes, c.note)
			}
			if c.holes > 0 {
				return
			}
			for _, poly := range lot.Ground {
				half := east
				if poly[0][0][0] < 0 {
					half = west
				}
				for _, corner := range half[0][0][:4] {
					assert.True(t, holds(poly[0], corner, 0), "%v in %v", corner, poly)
				}
			}
		})
	}
}

func TestProjectedAcrossTheAntimeridian(t *testing.T) {
	// UTM zone 1 has its edge on the antimeridian; gdaltransform gives
	// 180 E, 50 N as 285015.763 E, 5542944.019 N in EPSG:32601.
	path := filepath.Join(t.TempDir(), "seam.gpkg")
	create(t, godal.GeoPackage, path, "lots", "EPSG:32601", "POLYGON((284500 5542500,285500 5542500,285500 5543500,284500 5543500,284500 5542500))")
	lot := readOne(t, path, Options{})
	require.NoError(t, lot.Err)
	requireSound(t, lot)
	assert.Len(t, lot.Ground, 2)
	assert.Equal(t, 180.0, lot.Ground.Bound().Max[0])
	assert.Equal(t, -180.0, lot.Ground.Bound().Min[0])
	// A square kilometre of the grid, by its areal scale of 1.00034 (proj -S
	// +proj=utm +zone=1 +ellps=WGS84).
	assert.InEpsilon(t, 1e6/1.00034, coverage.AreaM2(lot.Ground), 1e-5)
}

func TestRoundAPole(t *testing.T) {
	for _, c := range []struct{ ring, want string }{
		{"0 89, 90 89, 180 89, -90 89, 0 89", "goes round the north pole"},
		{"0 -89, -90 -89, -180 -89, 90 -89, 0 -89", "goes round the south pole"},
		{"-180 80, 180 80, 180 85, -180 85, -180 80", "an edge at latitude 80 runs once round the earth"},
	} {
		lot := readShape(t, polygon(c.ring))
		require.ErrorContains(t, lot.Err, c.want)
		assert.Empty(t, lot.Ground)
	}
	path := filepath.Join(t.TempDir(), "pole.gpkg")
	create(t, godal.GeoPackage, path, "lots", "EPSG:3413",
		"POLYGON((-900 -1000,1100 -1000,1100 1000,-900 1000,-900 -1000))",
		"POLYGON((-1000 0,1000 0,1000 1000,-1000 1000,-1000 0))",
		"POLYGON((0 0,1000 0,1000 1000,0 0))")
	lots, err := Read(t.Context(), path, Options{})
	require.NoError(t, err)
	assert.ErrorContains(t, lots[0].Err, "goes round the north pole")
	assert.Error(t, lots[1].Err, "an edge through the pole")
	requireSound(t, lots...)
}

// A wedge that ends in the pole is a polygon like any other.
func TestWedgeToThePole(t *testing.T) {
	lot := readShape(t, polygon("0 89.9, 10 89.9, 10 90, 0 90, 0 89.9"))
	require.NoError(t, lot.Err)
	assert.InEpsilon(t, coverage.AreaM2(box(0, 89.9, 10, 90)), coverage.AreaM2(lot.Ground), 1e-9)
}

func TestUnwrapKeepsFigures(t *testing.T) {
	s, err := unwrap(orb.MultiPolygon{{{{179.9, 1}, {-179.7, 1}, {-179.7, 2}, {179.9, 1}}}})
	require.NoError(t, err)
	ground, err := s.cut()
	require.NoError(t, err)
	wind(ground)
	assert.True(t, holds(ground[0][0], orb.Point{179.9, 1}, 0))
	assert.True(t, holds(ground[1][0], orb.Point{-179.7, 2}, 0))
}
