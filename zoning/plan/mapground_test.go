package plan_test

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geo"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/site"
)

// The raster's west and north edge and the side of its cells, in degrees: see
// testdata/SOURCES.md.
const (
	rasterWest  = -84.41375
	rasterNorth = 36.44625
	cellDeg     = 1.0 / 1200
	rasterCols  = 403
	rasterRows  = 344
)

// cells is a polygon in columns and rows of the raster.
func cells(c0, r0, c1, r1 float64) orb.Polygon {
	return box(rasterWest+c0*cellDeg, rasterNorth-r1*cellDeg, rasterWest+c1*cellDeg, rasterNorth-r0*cellDeg)
}

// Each hazard of a map is a sign of its own kind.
func TestSignsOfHazards(t *testing.T) {
	g, m := mappedTwo(t, mapping.Options{})
	m.Hazards = nil
	bare := siteOf(t, g, m, plan.Light).Signs
	assert.False(t, bare.DropOff || bare.OverheadLine || bare.People)
	for kind, want := range map[zoning.HazardKind]func(*plan.Signs){
		zoning.DropOff:    func(s *plan.Signs) { s.DropOff = true },
		zoning.Drainage:   func(s *plan.Signs) { s.Water = true },
		zoning.Depression: func(s *plan.Signs) { s.Water = true },
		zoning.LineNear:   func(s *plan.Signs) { s.OverheadLine = true },
		zoning.PeopleNear: func(s *plan.Signs) { s.People = true },
	} {
		expected := bare
		want(&expected)
		m.Hazards = []zoning.Hazard{{Kind: kind}}
		assert.Equal(t, expected, siteOf(t, g, m, plan.Light).Signs, kind)
	}
	var near float64
	for _, lot := range m.Lots {
		for _, z := range lot.Zones {
			if z.Band < len(m.Fleet) {
				near += z.Acres - z.SureAcres
			}
		}
	}
	assert.Positive(t, near)
	assert.InDelta(t, near, bare.NearLimitAcres, 1e-9)
	assert.Zero(t, bare.NoElevationAcres)
}

// Lots one cell wide along each edge of the elevation and a little beyond it: the cells of
// the edge are known, what lies beyond is not.
func TestGroundAtTheEdgeOfTheElevation(t *testing.T) {
	g, m := mapped(t, []named{
		{"west", cells(-0.5, 100, 1, 140)}, {"north", cells(100, -0.5, 140, 1)},
		{"east", cells(rasterCols-1, 100, rasterCols+0.5, 140)}, {"south", cells(100, rasterRows-1, 140, rasterRows+0.5)},
	}, mapping.Options{SlopeOnly: true})
	s := siteOf(t, g, m, plan.Light)
	type zone struct{ lot, key string }
	got := map[zone]float64{}
	for _, p := range s.Pieces {
		got[zone{p.Lot, p.Zone}] += p.GrossAcres
	}
	unknown := 0.0
	for _, lot := range m.Lots {
		for _, z := range lot.Zones {
			key := m.Fleet.Bands()[z.Band].Key
			assert.InDelta(t, z.Acres, got[zone{lot.Lot, key}], 1e-9, "%s %s", lot.Lot, key)
			if key == zoning.UnknownKey {
				unknown += z.Acres
			}
		}
	}
	assert.Positive(t, unknown)
	assert.InDelta(t, unknown, s.Signs.NoElevationAcres, 1e-9)
}

// Ground in two cells with one between is no nearer than a cell, and no farther than it is.
func TestGapOfCells(t *testing.T) {
	for name, second := range map[string]orb.Polygon{"east": cells(202.1, 200.1, 202.9, 200.9), "south": cells(200.1, 202.1, 200.9, 202.9)} {
		first := cells(200.1, 200.1, 200.9, 200.9)
		g, m := mapped(t, []named{{"a", first}, {"b", second}}, mapping.Options{SlopeOnly: true})
		s := siteOf(t, g, m, plan.Light)
		require.Len(t, s.Pieces, 2, name)
		// Edge to edge they are 1.2 cells apart, and their cells one.
		a, b := first.Bound(), second.Bound()
		edges := geo.Distance(orb.Point{a.Max[0], a.Min[1]}, orb.Point{b.Min[0], a.Min[1]})
		if name == "south" {
			edges = geo.Distance(orb.Point{a.Min[0], a.Min[1]}, orb.Point{a.Min[0], b.Max[1]})
		}
		assert.InDelta(t, edges/1.2, s.GapM(0, 1), 0.02*edges, name)
	}
}

// Of several stagings the nearest to the middle of the ground is where machines unload: the
// others lie as far across the middle of the window, east to west and south to north.
func TestTheNearestStaging(t *testing.T) {
	g, m := mappedTwo(t, mapping.Options{})
	bare := siteOf(t, g, m, plan.Light)
	grid := g.Elevation.Grid
	at := func(col, row float64) orb.Point {
		lon, lat := grid.Frame.LonLat(float64(grid.Col0)+col, float64(grid.Row0)+row)
		return orb.Point{lon, lat}
	}
	plane := mapping.PlaneOf(m.Cells)
	e0, n0 := plane.At(0, 0)
	e1, n1 := plane.At(1, 1)
	place := func(east, north float64) orb.Point { return at((east-e0)/(e1-e0), (north-n0)/(n1-n0)) }
	x, y := bare.LandingEastM, bare.LandingNorthM
	require.Greater(t, x*x, 1e4)
	require.Greater(t, y*y, 1e3)
	staging := func(p orb.Point, n int) site.Feature { return site.Feature{Kind: site.Staging, Place: n, Geometry: p} }
	g, m = mappedTwo(t, mapping.Options{}, staging(place(-x, y), 1), staging(place(x, -y), 2), staging(place(x, y), 3), staging(place(-x, -y), 4))
	s := siteOf(t, g, m, plan.Light)
	assert.InDelta(t, x, s.LandingEastM, 5)
	assert.InDelta(t, y, s.LandingNorthM, 5)
}

// What the site is not known to say is said beside the plan.
func TestNotesOfAMap(t *testing.T) {
	const selective = "Where clearing is selective the whole ground counts: what stays there is not known."
	g, m := mappedTwo(t, mapping.Options{})
	notes := siteOf(t, g, m, plan.Light).Notes
	assert.NotContains(t, notes, selective)
	assert.Contains(t, notes, "Cover is taken as light where no cover polygon says.")
	assert.Len(t, siteOf(t, g, m, plan.CoverNotGiven).Notes, len(notes)-1)
	g, m = mappedTwo(t, mapping.Options{}, site.Feature{Kind: site.Selective, Place: 1, Geometry: box(-84.26, 36.32, -84.24, 36.34)})
	assert.Contains(t, siteOf(t, g, m, plan.Light).Notes, selective)
}
