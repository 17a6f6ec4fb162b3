//go:build cgo

package mapping_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/encoding/wkb"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/trafficability"
)

// bandsOf is the band of every cell, as a raster would hold it.
func bandsOf(g *terrain.Grid, machines []zoning.Machine) []byte {
	masks := make([]zoning.Mask, g.Cols*g.Rows)
	trafficability.Stand(must(slope.Of(g)), machines, masks)
	out := make([]byte, len(masks))
	for i, m := range masks {
		out[i] = byte(zoning.Fleet(machines).Band(m))
	}
	return out
}

// polygonized is what GDAL makes of a raster of bands: for each the outlines of
// its cells, joined through sides only (4-connected), in degrees.
func polygonized(t *testing.T, bands []byte, g *terrain.Grid, n int) []*godal.Geometry {
	t.Helper()
	ds, err := godal.Create(godal.Memory, "", 1, godal.Byte, g.Cols, g.Rows)
	require.NoError(t, err)
	defer ds.Close()
	west, north := g.Frame.LonLat(float64(g.Col0), float64(g.Row0))
	require.NoError(t, ds.SetGeoTransform([6]float64{west, jacksboroCell, 0, north, 0, -jacksboroCell}))
	require.NoError(t, ds.Bands()[0].Write(0, 0, bands, g.Cols, g.Rows))
	require.NoError(t, godal.RegisterVector(godal.Memory))
	shapes, err := godal.CreateVector(godal.Memory, "")
	require.NoError(t, err)
	defer shapes.Close()
	layer, err := shapes.CreateLayer("bands", nil, godal.GTPolygon, godal.NewFieldDefinition("band", godal.FTInt))
	require.NoError(t, err)
	require.NoError(t, ds.Bands()[0].Polygonize(layer, godal.PixelValueFieldIndex(0), godal.NoMask()))

	out := make([]*godal.Geometry, n)
	for f := layer.NextFeature(); f != nil; f = layer.NextFeature() {
		b := f.Fields()["band"].Int()
		if out[b] == nil {
			out[b], err = godal.NewGeometryFromWKT("MULTIPOLYGON EMPTY", nil)
			require.NoError(t, err)
		}
		require.NoError(t, out[b].AddGeometry(f.Geometry()))
		f.Close()
	}
	return out
}

func geosOf(t *testing.T, g orb.Geometry) *godal.Geometry {
	t.Helper()
	out, err := godal.NewGeometryFromWKB(wkb.MustMarshal(g), nil)
	require.NoError(t, err)
	return out
}

// orbOf gathers the polygons of a geometry of GEOS; what touches only along a
// line is no ground.
func orbOf(t *testing.T, g *godal.Geometry) (mp orb.MultiPolygon) {
	t.Helper()
	b, err := g.WKB()
	require.NoError(t, err)
	got, err := wkb.Unmarshal(b)
	require.NoError(t, err)
	var gather func(orb.Geometry)
	gather = func(g orb.Geometry) {
		switch g := g.(type) {
		case orb.Polygon:
			mp = append(mp, g)
		case orb.MultiPolygon:
			mp = append(mp, g...)
		case orb.Collection:
			for _, part := range g {
				gather(part)
			}
		}
	}
	gather(got)
	return mp
}

// Zones against GDAL's polygonize of the same cells, cut by GEOS at the same
// boundary. The raster is in degrees, so its grid lines are straight there and
// both should draw the same outlines, but that vertices of zones are rounded to
// 9 decimals: each side of an outline may be off by half of 0.11 mm.
func TestMapZonesAreGDALsPolygons(t *testing.T) {
	rng := rand.New(rand.NewPCG(45, 46))
	lots := randomLots(rng, 40)
	g, m := survey(t, defaults(), lots...)
	grid := g.Elevation.Grid
	n := len(m.Fleet.Bands()) - 1 // but no-go
	whole := polygonized(t, bandsOf(grid, m.Fleet), grid, n)
	compared := 0
	for i, lot := range m.Lots {
		if acresOf(m, i, zoning.UnknownKey) > 0 {
			continue // off the raster there are no cells to polygonize
		}
		parcel := geosOf(t, g.Lots[i].Ground)
		zones := make([]orb.MultiPolygon, n)
		for _, z := range lot.Zones {
			zones[z.Band] = z.Ground
		}
		for b, ours := range zones {
			if whole[b] == nil {
				require.Empty(t, ours)
				continue
			}
			cut, err := whole[b].Intersection(parcel)
			require.NoError(t, err)
			theirs := orbOf(t, cut)
			cut.Close()
			tolM2 := 0.06e-3 * (perimeterM(ours) + perimeterM(theirs))
			require.InDelta(t, coverage.AreaM2(theirs), coverage.AreaM2(ours), tolM2, "lot %s, band %d", lot.Lot, b)
			if len(ours) == 0 {
				continue
			}
			compared++
			require.InDelta(t, 0, apartM2(t, ours, theirs), 4*tolM2, "lot %s, band %d: ground of one and not the other", lot.Lot, b)
		}
		parcel.Close()
	}
	require.Greater(t, compared, 60)
}

// apartM2 is the ground that one of two has and the other has not.
func apartM2(t *testing.T, a, b orb.MultiPolygon) (m2 float64) {
	t.Helper()
	ga, gb := geosOf(t, a), geosOf(t, b)
	defer ga.Close()
	defer gb.Close()
	require.True(t, ga.Valid(), "a zone is valid by OGC rules")
	for _, pair := range [][2]*godal.Geometry{{ga, gb}, {gb, ga}} {
		rest, err := pair[0].Difference(pair[1])
		require.NoError(t, err)
		m2 += coverage.AreaM2(orbOf(t, rest))
		rest.Close()
	}
	return m2
}

// perimeterM is at most a little more than the length of outlines in metres.
func perimeterM(mp orb.MultiPolygon) (m float64) {
	for _, poly := range mp {
		for _, ring := range poly {
			for i := 1; i < len(ring); i++ {
				m += 111320 * math.Hypot(ring[i][0]-ring[i-1][0], ring[i][1]-ring[i-1][1])
			}
		}
	}
	return m
}
