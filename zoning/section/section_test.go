package section

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/profile"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
)

const side = 120 // cells of 1 m

// mapped maps a lot 10 cells inside made ground.
func mapped(t *testing.T, o mapping.Options, height func(c, r int) float64) (*terrain.Grid, *zoning.ZoneMap) {
	t.Helper()
	z := make([]float32, side*side)
	for i := range z {
		z[i] = float32(height(i%side, i/side))
	}
	g, err := terrain.NewGrid(z, side, side, 1, 1)
	require.NoError(t, err)
	ring := orb.Ring{at(g, 10, 110), at(g, 110, 110), at(g, 110, 10), at(g, 10, 10), at(g, 10, 110)}
	lot := zoning.Lot{Parcel: zoning.Parcel{Lot: "7", Ground: orb.MultiPolygon{{ring}}}}
	e := &terrain.Elevation{Grid: g, Sources: []terrain.Source{{Path: "made.tif", CellM: [2]float64{1, 1}}}}
	ground, err := mapping.NewGround(e, []zoning.Lot{lot}, nil)
	require.NoError(t, err)
	m, err := mapping.Map(t.Context(), ground, fleet.Default(), o)
	require.NoError(t, err)
	return g, m
}

func at(g *terrain.Grid, col, row float64) orb.Point {
	lon, lat := g.Frame.LonLat(col, row)
	return orb.Point{lon, lat}
}

func cut(t *testing.T, g *terrain.Grid, m *zoning.ZoneMap, c0, r0, c1, r1 float64) *Section {
	t.Helper()
	s, err := Of(g, m, at(g, c0, r0), at(g, c1, r1))
	require.NoError(t, err)
	return s
}

// limit is the key of the band whose limit a place meets, zone that of the map there.
func limit(s *Section, m *zoning.ZoneMap, i int) string { return m.Fleet.Bands()[s.Limits[i]].Key }

func zone(s *Section, m *zoning.ZoneMap, i int) string {
	if s.Zones[i] == Beyond {
		return "beyond"
	}
	return m.Fleet.Bands()[s.Zones[i]].Key
}

// index is the place at a distance.
func index(s *Section, m float64) int {
	return int(math.Round(m / s.LengthM() * float64(len(s.DistancesM)-1)))
}

// A line across a hillside is level, and the hillside is none the gentler.
func TestAcrossASlope(t *testing.T) {
	g, m := mapped(t, mapping.Options{}, func(c, r int) float64 { return 300 - 0.45*float64(c) })
	s := cut(t, g, m, 60, 5, 60, 115)
	assert.Equal(t, 3.0, s.SpanM)
	for i := range s.DistancesM {
		assert.InDelta(t, 0, s.AlongPct[i], 1e-6)
		assert.InDelta(t, 45, s.GroundPct[i], 0.1)
		assert.Equal(t, "remote-crawler", limit(s, m, i))
	}
	assert.Equal(t, "no-machine", zone(s, m, index(s, 50)), "no ground to turn on")
	assert.Equal(t, "beyond", zone(s, m, 0))
	assert.Equal(t, "beyond", zone(s, m, len(s.Zones)-1))
	assert.False(t, s.WalkFirst[0])
	assert.Empty(t, s.Hazards)
}

// A tie with a limit goes to the steeper side, and a limit on a tether counts only where a
// manual allows one.
func TestLimits(t *testing.T) {
	three := zoning.Fleet{{Key: "a", LimitPct: 30}, {Key: "b", LimitPct: 25}, {Key: "c", LimitPct: 100, TetherAbovePct: 60}}
	l := limitsOf(&zoning.ZoneMap{Fleet: three})
	for pct, want := range map[float64]string{0: "a", 29.97: "a", 29.99: "c", 30: "c", 59.9: "c", 60: "no-machine", 150: "no-machine"} {
		assert.Equal(t, want, l.fleet.Bands()[l.of(pct)].Key, "%g%%", pct)
	}
	assert.Equal(t, "no_data", l.fleet.Bands()[l.of(math.NaN())].Key)
	held := limitsOf(&zoning.ZoneMap{Fleet: three, Drawn: zoning.Fleet{{Key: "a", LimitPct: 20}, {Key: "b", LimitPct: 25}, {Key: "c", LimitPct: 60}}})
	assert.Equal(t, 1, held.of(24), "the limits that zones were drawn by")
}

// A cliff is a hazard that the line meets where it stands, and no machine's ground.
func TestCliff(t *testing.T) {
	g, m := mapped(t, mapping.Options{}, func(c, r int) float64 {
		if c >= 60 {
			return 308
		}
		return 300 + 0.01*float64(c)
	})
	s := cut(t, g, m, 20, 60.2, 100, 60.2)
	require.NotEmpty(t, s.Hazards)
	assert.Equal(t, zoning.DropOff, s.Hazards[0].Kind)
	assert.InDelta(t, 40, (s.Hazards[0].FromM+s.Hazards[0].ToM)/2, 1.5)
	i := index(s, 39.5)
	assert.Equal(t, "no-machine", limit(s, m, i))
	assert.Greater(t, s.AlongPct[i], 240.0)
	assert.Equal(t, "track-loader", limit(s, m, index(s, 10)))
	far := cut(t, g, m, 20, 60.2, 50, 60.2)
	assert.Empty(t, far.Hazards)
}

// Where nobody measured, no slope is told and no machine's limit is met.
func TestVoid(t *testing.T) {
	g, m := mapped(t, mapping.Options{}, func(c, r int) float64 {
		if c >= 50 && c < 60 {
			return math.NaN()
		}
		return 300 + 0.05*float64(c+r)
	})
	s := cut(t, g, m, 20, 60, 100, 60)
	for i, d := range s.DistancesM {
		if d > 30 && d < 40 {
			assert.True(t, math.IsNaN(s.HeightsM[i]) && math.IsNaN(s.AlongPct[i]))
			assert.Equal(t, "no_data", limit(s, m, i))
			assert.Equal(t, "no_data", zone(s, m, i))
		}
	}
	assert.Equal(t, "track-loader", limit(s, m, index(s, 10)))
}

func TestHazards(t *testing.T) {
	g, m := mapped(t, mapping.Options{}, func(c, r int) float64 { return 300 })
	m.Hazards = []zoning.Hazard{
		{Kind: zoning.Depression, Geometry: orb.Polygon{{at(g, 40, 50), at(g, 50, 50), at(g, 50, 70), at(g, 40, 70), at(g, 40, 50)}}},
		{Kind: zoning.PinchPoint, Geometry: at(g, 80, 60.5)},
		{Kind: zoning.LineNear, Geometry: orb.LineString{at(g, 70, 0), at(g, 70, 110)}},
		{Kind: zoning.ProposedStrip, Geometry: at(g, 60, 60)},
		{Kind: zoning.Depression, Geometry: at(g, 60, 80)},
		{Kind: zoning.NoElevation},
	}
	s := cut(t, g, m, 20, 60, 100, 60)
	var got [][2]float64
	for _, h := range s.Hazards {
		got = append(got, [2]float64{math.Round(h.FromM), math.Round(h.ToM)})
	}
	assert.Equal(t, [][2]float64{{19, 31}, {59, 61}, {49, 51}}, got)
	assert.Equal(t, zoning.LineNear, s.Hazards[2].Kind)
}

// A long line is met wherever it runs, also where its pieces join, and a shape of any kind.
func TestHazardsOfLongLines(t *testing.T) {
	g, m := mapped(t, mapping.Options{}, func(c, r int) float64 { return 300 })
	var long orb.LineString
	for i := range 100 {
		long = append(long, at(g, 20+float64(i)*0.8, 60+10*math.Sin(float64(i)/8)))
	}
	m.Hazards = []zoning.Hazard{{Kind: zoning.Drainage, Geometry: long}}
	s := cut(t, g, m, 20, 60, 100, 60)
	require.NotEmpty(t, s.Hazards)
	for i, d := range s.DistancesM {
		near := math.Inf(1)
		for k := 1; k < len(long); k++ {
			for f := 0.0; f <= 1; f += 0.02 {
				x, y := 20+(float64(k-1)+f)*0.8, 60+10*((1-f)*math.Sin(float64(k-1)/8)+f*math.Sin(float64(k)/8))
				near = min(near, math.Hypot(20+d-x, 60-y))
			}
		}
		met := false
		for _, h := range s.Hazards {
			met = met || d >= h.FromM && d <= h.ToM
		}
		if math.Abs(near-1) > 0.02 {
			assert.Equal(t, near < 1, met, "place %d", i)
		}
	}
	for _, shape := range []orb.Geometry{
		orb.MultiPoint{at(g, 50, 60)}, orb.MultiLineString{{at(g, 50, 50), at(g, 50, 70)}}, orb.Collection{at(g, 50, 60)},
		orb.MultiPolygon{{{at(g, 49, 50), at(g, 51, 50), at(g, 51, 70), at(g, 49, 70), at(g, 49, 50)}}},
	} {
		m.Hazards[0].Geometry = shape
		s := cut(t, g, m, 20, 60, 100, 60)
		require.Len(t, s.Hazards, 1, "%T", shape)
		assert.InDelta(t, 30, (s.Hazards[0].FromM+s.Hazards[0].ToM)/2, 0.2)
	}
}

// Ground of a machine that heights leave in doubt is to be walked first.
func TestWalkFirst(t *testing.T) {
	g, m := mapped(t, mapping.Options{}, func(c, r int) float64 { return 300 - 0.05*float64(c) })
	require.Positive(t, m.Error.SigmaM)
	m.Cells.Unsure = make([]bool, side*side)
	for i := range m.Cells.Unsure {
		m.Cells.Unsure[i] = i%side >= 60
	}
	s := cut(t, g, m, 20, 60, 118, 60)
	for _, c := range []struct {
		alongM float64
		walk   bool
	}{{20, false}, {60, true}, {95, false}} {
		assert.Equal(t, c.walk, s.WalkFirst[index(s, c.alongM)], "%g m", c.alongM)
	}
	m.Error.SigmaM = 0
	assert.NotContains(t, cut(t, g, m, 20, 60, 118, 60).WalkFirst, true, "where no error is reckoned with")
}

func TestErrors(t *testing.T) {
	g, m := mapped(t, mapping.Options{}, func(c, r int) float64 { return 300 })
	_, err := Of(g, m, at(g, 20, 20), at(g, 20, 20))
	assert.ErrorIs(t, err, profile.ErrNoLine)
	_, err = Of(g, &zoning.ZoneMap{Fleet: m.Fleet}, at(g, 20, 20), at(g, 50, 20))
	assert.ErrorIs(t, err, ErrNoCells)
	other, err := terrain.NewGrid(make([]float32, 4), 2, 2, 1, 1)
	require.NoError(t, err)
	_, err = Of(other, m, at(g, 20, 20), at(g, 50, 20))
	assert.ErrorIs(t, err, ErrNoCells)
}
