package field_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geo"
	"github.com/pymaxion/geographiclib-go/geodesic"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/field"
)

func pick(t testing.TB, g field.Ground, o field.Options) *field.Checks {
	t.Helper()
	c, err := field.Pick(g, o)
	require.NoError(t, err)
	return c
}

// walkedTo finds by slow spreading the cells that people may walk to from outside
// the lot, an oracle for the package's flood.
func walkedTo(g field.Ground, limitPct float64) []bool {
	cols, rows := g.Cells.Cols, g.Cells.Rows
	can := func(i int) bool { return math.Sqrt(float64(g.Field.Squared[i])) < limitPct/100-zoning.TieRise }
	in := make([]bool, cols*rows)
	inLot := make([]bool, cols*rows)
	g.Lots[0].Coverage.EachCell(func(c, r int, share float64) { inLot[r*cols+c] = share == 1 })
	for i := range in {
		in[i] = can(i) && !inLot[i]
	}
	for changed := true; changed; {
		changed = false
		for r := range rows {
			for c := range cols {
				i := r*cols + c
				near := c > 0 && in[i-1] || c < cols-1 && in[i+1] || r > 0 && in[i-cols] || r < rows-1 && in[i+cols]
				if !in[i] && can(i) && near {
					in[i], changed = true, true
				}
			}
		}
	}
	return in
}

// On rolling hills, dry and wet: enough spots in every zone, each in its zone and
// inside the lot, a machine's length apart; nobody on foot where it is too steep or
// where only steeper ground leads.
func TestPickProperties(t *testing.T) {
	for _, on := range []struct {
		moisture zoning.Moisture
		footPct  float64
	}{{zoning.Dry, 50}, {zoning.Wet, 35}} {
		g := groundOf(t, 240, 200, 1, 10.3, hills)
		g.On, g.SurePct = on.moisture, []float64{26, 36, 66}
		walk := walkedTo(g, on.footPct)
		c := pick(t, g, field.Options{PerZone: 4, AcresPerSpot: 1})
		n := map[string]int{}
		sighted := 0
		ids := map[string]bool{}
		for i, s := range c.Spots {
			n[s.Band]++
			assert.False(t, ids[s.ID], s.ID)
			ids[s.ID] = true
			assert.Equal(t, bandKey(g, s.At), s.Band, s.ID)
			col, row := cellOf(g, s.At)
			assert.Equal(t, g.Field.Pct(col, row), s.MappedPct)
			assert.True(t, col >= 10 && col < 230 && row >= 10 && row < 190, "%s lies at %d, %d", s.ID, col, row)
			for _, o := range c.Spots[:i] {
				assert.GreaterOrEqual(t, geo.Distance(s.At, o.At), 0.99*zoning.DefaultFootprintM, "%s and %s", s.ID, o.ID)
			}
			standCol, standRow := cellOf(g, s.Stand())
			assert.True(t, walk[standRow*240+standCol], "%s sends people where they cannot walk", s.ID)
			if s.Sight == nil {
				assert.Less(t, s.MappedPct, on.footPct, s.ID)
			} else {
				sighted++
				assert.False(t, walk[row*240+col], "%s could be walked to", s.ID)
			}
		}
		assert.Greater(t, sighted, 2, "%s: the test's hills have ground to sight", on.moisture)
		require.Len(t, g.Lots[0].Zones, 4)
		for _, z := range g.Lots[0].Zones {
			key := zoning.Fleet(machines).Bands()[z.Band].Key
			assert.Equal(t, 4+int(z.Acres), n[key], "%s, %s has %.1f acres", on.moisture, key, z.Acres)
		}
	}
}

// Where to stand agrees with a geodesic library, no part of this project
// (GeographicLib's port), and lies on the fall line.
func TestSightDistanceAndBearing(t *testing.T) {
	g := groundOf(t, 240, 200, 1, 10.3, hills)
	n := 0
	for _, s := range pick(t, g, field.Options{PerZone: 12}).Spots {
		if s.Sight == nil {
			continue
		}
		n++
		inv := geodesic.WGS84.Inverse(s.Sight.At[1], s.Sight.At[0], s.At[1], s.At[0])
		assert.InDelta(t, inv.S12, s.Sight.DistanceM, 0.01, s.ID)
		azimuth := math.Mod(inv.Azi1+360, 360)
		assert.InDelta(t, 0, math.Remainder(azimuth-s.Sight.BearingDeg, 360), 0.3, s.ID)
		toSpot := s.DownhillDeg // seen from the crest
		if s.Sight.From == "toe" {
			toSpot += 180
		}
		assert.InDelta(t, 0, math.Remainder(toSpot-s.Sight.BearingDeg, 360), 0.3, "%s from the %s", s.ID, s.Sight.From)
		assert.LessOrEqual(t, s.Sight.DistanceM, 200*0.3048)
		col, row := cellOf(g, s.At)
		standCol, standRow := cellOf(g, s.Sight.At)
		assert.Equal(t, s.Sight.From == "crest", g.Grid.At(standCol, standRow) > g.Grid.At(col, row), s.ID)
	}
	assert.Greater(t, n, 3)
}

// A plane falling towards an azimuth falls there.
func TestDownhillOfAPlane(t *testing.T) {
	for _, azimuth := range []float64{0, 37, 90, 181, 275} {
		s, c := math.Sincos(azimuth * math.Pi / 180)
		g := groundOf(t, 30, 30, 1, 2, func(x, y float64) float64 { return 500 - 0.2*(x*s-y*c) })
		spots := pick(t, g, field.Options{}).Spots
		require.Len(t, spots, 3)
		for _, spot := range spots {
			assert.InDelta(t, 0, math.Remainder(spot.DownhillDeg-azimuth, 360), 0.3)
			assert.Nil(t, spot.Sight)
			assert.InDelta(t, 20, spot.MappedPct, 0.1)
		}
	}
}

// Farthest-point sampling leaves no ground farther from a spot than the least
// distance between spots (Gonzalez 1985), give or take a block of candidates.
func TestPickSpreads(t *testing.T) {
	g := groundOf(t, 200, 120, 1, 0, func(x, _ float64) float64 { return 0.1 * x })
	g.SurePct = []float64{29, 39, 69}
	spots := pick(t, g, field.Options{PerZone: 12}).Spots
	require.Len(t, spots, 13) // 5.9 acres
	least := math.Inf(1)
	for i, s := range spots {
		assert.Equal(t, field.Spread, s.Why[0].Kind)
		for _, o := range spots[:i] {
			least = min(least, geo.Distance(s.At, o.At))
		}
	}
	block := math.Sqrt(200*120/13.0) / 8 * math.Sqrt2
	rng := rand.New(rand.NewPCG(1, 2))
	for range 2000 {
		lon, lat := g.Cells.Frame.LonLat(200*rng.Float64(), 120*rng.Float64())
		nearest := math.Inf(1)
		for _, s := range spots {
			nearest = min(nearest, geo.Distance(s.At, orb.Point{lon, lat}))
		}
		assert.LessOrEqual(t, nearest, least+2*block+1)
	}
	assert.Greater(t, least, 25.0)
}

// A slope that steepens evenly from 20 to 30%: the band could tip above 26%, and
// most spots are picked there, the first at the steepest; hazards come next.
func TestPickPrefersWhereABandCouldTip(t *testing.T) {
	g := groundOf(t, 100, 100, 1, 5, func(x, _ float64) float64 { return 0.2*x + 0.0005*x*x - 0.00001*x })
	g.SurePct = []float64{26, 36, 66}
	lon, lat := g.Cells.Frame.LonLat(20.5, 50.5)
	g.Hazards = []field.Hazard{{At: orb.Point{lon, lat}, Words: "power line overhead"}}
	spots := pick(t, g, field.Options{PerZone: 5}).Spots
	var kinds []string
	for _, s := range spots {
		kinds = append(kinds, s.Why[0].Kind)
		if s.Why[0].Kind == field.CouldTip {
			assert.GreaterOrEqual(t, s.MappedPct, 26.0)
			assert.Equal(t, 30.0, s.LimitPct)
		}
	}
	require.Len(t, kinds, 5)
	assert.Equal(t, field.CouldTip, kinds[0])
	assert.InDelta(t, 29.5, spots[0].MappedPct, 0.1, "the steepest ground of the lot")
	assert.Contains(t, kinds, field.AtHazard)
	tips := 0
	for _, k := range kinds {
		if k == field.CouldTip {
			tips++
		}
	}
	assert.Greater(t, tips, 2)
	g.Cells.Unsure = make([]bool, 10000)
	for i := range g.Cells.Unsure {
		g.Cells.Unsure[i] = true
	}
	for _, s := range pick(t, g, field.Options{}).Spots {
		assert.Equal(t, field.CouldTip, s.Why[0].Kind, "heights of a coarser source could tip anywhere")
	}
}

// A gentle bench that only a steep face leads to is sighted, not walked, unless
// people come from there.
func TestNobodyIsSentToABenchAcrossAFace(t *testing.T) {
	bench := func(x, y float64) float64 {
		switch {
		case x < 30:
			return 0.05 * x
		case x < 50:
			return 1.5 + 1.2*(x-30) // 120%
		case x < 70:
			return 25.5 + 0.1*(x-50)
		case x < 90:
			return 27.5 + 1.2*(x-70)
		}
		return 51.5 + 0.05*(x-90)
	}
	// Faces north and south, too.
	g := groundOf(t, 120, 80, 1, 4, func(x, y float64) float64 { return bench(x, y) + 1.2*max(0, math.Abs(y-40)-20) })
	at := func(c, r float64) orb.Point { lon, lat := g.Cells.Frame.LonLat(c, r); return orb.Point{lon, lat} }
	g.Hazards = []field.Hazard{{At: at(60.5, 40.5), Words: "old well"}}
	spot := func() (field.Spot, bool) {
		for _, s := range pick(t, g, field.Options{PerZone: 6}).Spots {
			if s.Why[0].Words == "old well" {
				return s, true
			}
		}
		return field.Spot{}, false
	}
	s, ok := spot()
	require.True(t, ok)
	require.NotNil(t, s.Sight, "gentle, but out of reach")
	g.Staging = []orb.Point{at(60, 45)}
	s, ok = spot()
	require.True(t, ok)
	assert.Nil(t, s.Sight)
	g.Staging, g.FootPct = nil, 4
	_, ok = spot()
	assert.False(t, ok, "nowhere to stand, so it is left out")
}

// A zone without room for its spots gets fewer, and water and no-elevation ground
// none.
func TestPickSmallAndClosedGround(t *testing.T) {
	g := groundOf(t, 40, 40, 1, 5, func(x, _ float64) float64 { return 0.1 * x })
	for i := range g.Cells.Masks {
		switch {
		case i/40 < 20:
			g.Cells.Masks[i] = zoning.NoGo
		case i/40 < 30:
			g.Cells.Masks[i] = zoning.Unknown
		}
	}
	g.Cells.Masks[33*40+20] = 0b10
	g.Lots = []zoning.LotMap{lotOf(t, g, "A", 5, 5, 35, 35)}
	n := map[string]int{}
	for _, s := range pick(t, g, field.Options{}).Spots {
		n[s.Band]++
	}
	assert.Equal(t, map[string]int{"loader": 3, "boom": 1}, n)
}

// A machine that something else than slope keeps off is no question for a
// clinometer, and a boom that reaches a face is held to the faces it works.
func TestMachinesThatSlopeKeepsOff(t *testing.T) {
	g := groundOf(t, 30, 30, 1, 3, func(x, _ float64) float64 { return 0.45 * x })
	g.Fleet = append([]zoning.Machine{}, machines...)
	g.Fleet[1].ReachUpPct, g.Fleet[1].ReachDownPct = 100, 65
	for i := range g.Cells.Masks {
		g.Cells.Masks[i] = 0b10 // reached by the boom, closed to the crawler
	}
	g.Lots = []zoning.LotMap{lotOf(t, g, "A", 3, 3, 27, 27)}
	for _, s := range pick(t, g, field.Options{}).Spots {
		assert.Equal(t, []field.Held{{Key: "loader", LimitPct: 30}, {Key: "boom", LimitPct: 65}}, s.Machines)
		assert.Equal(t, 65.0, s.LimitPct)
	}
}

func TestPickRefuses(t *testing.T) {
	g := groundOf(t, 20, 20, 1, 3, hills)
	_, err := field.Pick(g, field.Options{PerZone: -1})
	assert.ErrorContains(t, err, "-1 spots a zone")
	g.Drawn = machines[:1]
	_, err = field.Pick(g, field.Options{})
	assert.ErrorContains(t, err, "1 machines were drawn of a fleet of 3")
	g.Field.Squared = g.Field.Squared[1:]
	_, err = field.Pick(g, field.Options{})
	assert.ErrorContains(t, err, "of Squared there are 399 values")
}
