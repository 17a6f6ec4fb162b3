package field_test

import (
	"bytes"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/field"
	"github.com/acreband/acreband/zoning/mapping"
)

// Ground whose parts are missing or do not go together made Pick and At panic.
func TestPickOfBrokenGroundIsAnError(t *testing.T) {
	nan := math.NaN()
	for words, spoil := range map[string]func(g *field.Ground){
		"there are no cells":          func(g *field.Ground) { g.Cells = nil },
		"there is no grid":            func(g *field.Ground) { g.Grid = nil },
		"there are no slopes":         func(g *field.Ground) { g.Field = nil },
		"nobody knows where they lie": func(g *field.Ground) { g.Cells.Frame = nil },
		"the grid of heights has no":  func(g *field.Ground) { grid := *g.Grid; grid.Frame = &terrain.Frame{}; g.Grid = &grid },
		"no machine":                  func(g *field.Ground) { g.Fleet = nil },
		"limit NaN%":                  func(g *field.Ground) { g.Fleet = []zoning.Machine{{Key: "a", LimitPct: nan}} },
		"FootPct is NaN":              func(g *field.Ground) { g.FootPct = nan },
		"FootPct is -1":               func(g *field.Ground) { g.FootPct = -1 },
		"lot Tarn Hollow has no cov":  func(g *field.Ground) { g.Lots[0].Coverage = nil },
		"has a zone of band 9":        func(g *field.Ground) { g.Lots[0].Zones[0].Band = 9 },
		"has a zone of band -1":       func(g *field.Ground) { g.Lots[0].Zones[0].Band = -1 },
		"of Unsure there are 1 value": func(g *field.Ground) { g.Cells.Unsure = make([]bool, 1) },
	} {
		g := groundOf(t, 20, 20, 1, 3, hills)
		at := g.Lots[0].Zones[0].Ground[0][0][0]
		spoil(&g)
		_, err := field.Pick(g, field.Options{})
		assert.ErrorContains(t, err, words)
		_, ok := g.At(at)
		assert.False(t, ok, words)
	}
	_, ok := (*field.Ground)(nil).At(orb.Point{})
	assert.False(t, ok)
	g := groundOf(t, 20, 20, 1, 3, hills)
	_, ok = g.At(orb.Point{nan, nan})
	assert.False(t, ok)
	g.Hazards, g.Staging = []field.Hazard{{At: orb.Point{nan, 1e300}}}, []orb.Point{{math.Inf(1), 0}}
	_, err := field.Pick(g, field.Options{})
	assert.NoError(t, err, "a hazard and a staging that are nowhere are at no spot")
	for _, o := range []field.Options{{PerZone: -1}, {AcresPerSpot: -1}, {AcresPerSpot: nan}} {
		_, err = field.Pick(g, o)
		assert.ErrorContains(t, err, "neither may be below 0")
	}
	g.Staging = nil
	huge, err := field.Pick(g, field.Options{PerZone: math.MaxInt, AcresPerSpot: 1e-300})
	require.NoError(t, err)
	assert.NotEmpty(t, huge.Spots, "no more than there is room for")
}

// A map or ground that is none gives ground that Pick refuses; a hazard without a place is
// left out.
func TestGroundOfNoMap(t *testing.T) {
	for _, g := range []field.Ground{
		field.GroundOf(nil, nil), field.GroundOf(&mapping.Ground{}, &zoning.ZoneMap{}),
		field.GroundOf(&mapping.Ground{Elevation: &terrain.Elevation{}}, nil),
		field.GroundOf(&mapping.Ground{Elevation: &terrain.Elevation{}}, &zoning.ZoneMap{Cells: &zoning.Cells{Window: coverage.Window{}}}),
	} {
		_, err := field.Pick(g, field.Options{})
		assert.Error(t, err)
	}
	g := field.GroundOf(&mapping.Ground{Elevation: &terrain.Elevation{}}, &zoning.ZoneMap{Hazards: []zoning.Hazard{{Geometry: orb.LineString{}}, {}}})
	assert.Empty(t, g.Hazards)
}

// Readings put together by hand made Judge panic, or a verdict of no number.
func TestJudgeOfBrokenReadingsIsAnError(t *testing.T) {
	c := checksOf(spotAt("S01", 28))
	for words, spoil := range map[string]func(s *field.Compared){
		`spot S01 is of band "mower"`: func(s *field.Compared) { s.Band = "mower" },
		`spot S01 is of band "mine"`:  func(s *field.Compared) { s.Machines = []field.Held{{Key: "mine", LimitPct: 90}} },
		"measured NaN%":               func(s *field.Compared) { s.MeasuredPct = math.NaN() },
		"measured +Inf%":              func(s *field.Compared) { s.MeasuredPct = math.Inf(1) },
		"measured -1%":                func(s *field.Compared) { s.MeasuredPct = -1 },
		"mapped NaN%":                 func(s *field.Compared) { s.MappedPct = math.NaN() },
		"limit NaN%":                  func(s *field.Compared) { s.LimitPct = math.NaN() },
	} {
		s := field.Compared{Spot: spotAt("S01", 28), MeasuredPct: 29, Readings: 1}
		_, err := c.Judge([]field.Compared{s})
		require.NoError(t, err)
		spoil(&s)
		_, err = c.Judge([]field.Compared{s})
		assert.ErrorContains(t, err, words)
	}
	_, err := (&field.Checks{}).Judge([]field.Compared{{}})
	assert.Error(t, err, "a list without bands")
}

// A verdict put together by hand made its writers panic.
func TestVerdictsOfBrokenCountsAreErrors(t *testing.T) {
	for _, v := range []field.Verdict{
		{Bands: []string{"a"}},
		{Bands: []string{"a"}, Agreement: field.Agreement{Counts: [][]int{{1, 2}}, User: []float64{1}, Producer: []float64{1}}},
		{Bands: []string{"a"}, Agreement: field.Agreement{Counts: [][]int{{1}}, User: []float64{1}}},
	} {
		assert.ErrorContains(t, v.WriteText(&bytes.Buffer{}), "Judge makes both")
		assert.ErrorContains(t, v.WriteJSON(&bytes.Buffer{}), "Judge makes both")
	}
}
