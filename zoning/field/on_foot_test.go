package field_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/field"
)

// planeOf is an even slope towards the east on cells of a metre, each with the slope given
// as the map has it, all of it in the first machine's zone.
func planeOf(t *testing.T, cols, rows int, pct func(col, row int) float64) field.Ground {
	g := groundOf(t, cols, rows, 1, 0, func(x, _ float64) float64 { return 0.2 * x })
	for i := range g.Field.Squared {
		p := pct(i%cols, i/cols) / 100
		g.Field.Squared[i] = float32(p * p)
	}
	return g
}

func level(pct float64) func(int, int) float64 { return func(int, int) float64 { return pct } }

func spotOf(t *testing.T, g field.Ground, col, row float64) orb.Point {
	lon, lat := g.Cells.Frame.LonLat(col, row)
	return orb.Point{lon, lat}
}

// People walk on less than 50% mapped, on wet ground less than 35%, and less still where
// the error of the heights asks for it (planning values, no source). A tie is not walked.
func TestHowSteepPeopleAreSent(t *testing.T) {
	for _, c := range []struct {
		on        zoning.Moisture
		foot, pct float64
		sent      bool
	}{
		{zoning.Dry, 0, 49.9, true}, {zoning.Dry, 0, 49.99, false}, {zoning.Dry, 0, 50, false},
		{zoning.Wet, 0, 34.9, true}, {zoning.Wet, 0, 34.99, false}, {zoning.Wet, 0, 49, false},
		{zoning.Dry, 40, 39.9, true}, {zoning.Dry, 40, 40, false}, {zoning.Dry, 60, 50.1, false}, {zoning.Wet, 40, 35.1, false}, {zoning.Wet, 30, 29.9, true}, {zoning.Wet, 30, 30, false},
	} {
		g := planeOf(t, 30, 30, level(c.pct))
		g.On, g.FootPct = c.on, c.foot
		spots := pick(t, g, field.Options{}).Spots
		assert.Equal(t, c.sent, len(spots) > 0, "%+v", c)
		for _, s := range spots {
			assert.Nil(t, s.Sight, "%+v", c)
		}
	}
}

// Coarse cells hide slope: where the ground may be 50% nobody is sent, though it reads 20%.
func TestPeopleAreNotSentWhereCellsHideSteepGround(t *testing.T) {
	for upper, sent := range map[float32]bool{0.49: true, 0.50: false} {
		g := planeOf(t, 30, 30, level(20))
		g.Field.AddUpper()
		for i := range g.Field.UpperSquared {
			g.Field.UpperSquared[i] = upper * upper
		}
		assert.Equal(t, sent, len(pick(t, g, field.Options{}).Spots) > 0, "%g", upper)
	}
}

// A bank 100% steep that people walk to from one side only is sighted from there, up to
// 200 ft away (common practice, no source), from the nearer where there are two.
func TestHowFarASlopeIsSighted(t *testing.T) {
	banked := func(wide, at int, toe, crest bool) []field.Spot {
		g := planeOf(t, 200, 20, func(col, _ int) float64 {
			switch {
			case col < 20 && toe, col >= 20+wide && crest: // heights rise to the east
				return 10
			}
			return 100
		})
		for i := range g.Cells.Masks {
			g.Cells.Masks[i] = 1 << 2
			if col := i % 200; col < 20 || col >= 20+wide {
				g.Cells.Masks[i] = 0
			}
		}
		g.Lots = []zoning.LotMap{lotOf(t, g, "bank", 0, 0, 200, 20)}
		g.Hazards = []field.Hazard{{At: spotOf(t, g, 20.5+float64(at), 10.5), Words: "mark"}}
		var out []field.Spot
		for _, s := range pick(t, g, field.Options{PerZone: 1}).Spots {
			if s.Why[0].Kind == field.AtHazard || len(s.Why) > 1 {
				out = append(out, s)
			}
		}
		return out
	}
	for _, c := range []struct {
		wide  int
		crest bool
		from  string
		m     float64
	}{{22, true, "toe", 11}, {21, true, "crest", 10.5}, {22, false, "toe", 11}} {
		got := banked(c.wide, 10, true, c.crest)
		require.Len(t, got, 1)
		require.NotNil(t, got[0].Sight)
		assert.Equal(t, c.from, got[0].Sight.From)
		assert.InDelta(t, c.m, got[0].Sight.DistanceM, 0.01, "in steps of half a cell")
		assert.Equal(t, got[0].Sight.At, got[0].Stand())
	}
	// 200 ft are 60.96 m.
	assert.Len(t, banked(130, 59, true, false), 1, "60 m")
	assert.Empty(t, banked(130, 60, true, false), "61 m")
}

// Ground closed to machines, or of which nobody knows the heights, is walked by nobody,
// and leads nowhere; nor do people step from corner to corner.
func TestPeopleGoSideBySideOnKnownGround(t *testing.T) {
	for name, c := range map[string]struct {
		row  func(col, row int) bool // cells of a wall
		mask zoning.Mask
		walk bool
	}{
		"no wall":        {func(_, _ int) bool { return false }, 0, true},
		"closed":         {func(c, _ int) bool { return c == 15 }, zoning.NoGo, false},
		"unknown":        {func(c, _ int) bool { return c == 15 }, zoning.Unknown, false},
		"no machine's":   {func(c, _ int) bool { return c == 15 }, 0, true},
		"a gap":          {func(c, r int) bool { return c == 15 && r != 4 }, zoning.NoGo, true},
		"a corner's gap": {func(c, r int) bool { return c == 15 && r <= 10 || c == 16 && r > 10 }, zoning.NoGo, false},
	} {
		g := planeOf(t, 30, 20, level(10))
		for i := range g.Cells.Masks {
			if c.row(i%30, i/30) {
				g.Cells.Masks[i] = c.mask
			}
		}
		g.Staging = []orb.Point{spotOf(t, g, 2.5, 2.5), spotOf(t, g, -5, 2.5)}
		east := 0
		for _, s := range pick(t, g, field.Options{PerZone: 20}).Spots {
			if col, _ := cellOf(g, s.At); col > 18 && s.Sight == nil {
				east++
			}
		}
		assert.Equal(t, c.walk, east > 0, name)
	}
}

// Without staging people come over any side of a lot, also between two lots.
func TestPeopleComeOverTheSidesOfLots(t *testing.T) {
	g := planeOf(t, 40, 40, func(col, row int) float64 {
		if col < 12 || row < 12 || col >= 28 || row >= 28 { // too steep around
			return 90
		}
		return 10
	})
	walked := func(lots ...zoning.LotMap) int {
		g.Lots = lots
		n := 0
		for _, s := range pick(t, g, field.Options{PerZone: 30}).Spots {
			if s.Sight == nil {
				n++
			}
		}
		return n
	}
	assert.Zero(t, walked(lotOf(t, g, "a", 5, 5, 35, 35)), "its sides are too steep")
	assert.Positive(t, walked(lotOf(t, g, "a", 5, 5, 20, 35), lotOf(t, g, "b", 20, 5, 35, 35)), "over the line between two lots")
	assert.Positive(t, walked(lotOf(t, g, "a", 14.5, 14.5, 25.5, 25.5)))
}

// A band could tip within 5 points of its limit where the error is not known (planning
// value, no source), else from where it is not sure on.
func TestWhereABandCouldTip(t *testing.T) {
	for _, c := range []struct {
		sure []float64
		pct  float64
		tips bool
	}{
		{nil, 25.1, true}, {nil, 24.9, false}, {[]float64{27, 36, 66}, 27.1, true}, {[]float64{27, 36, 66}, 26.9, false},
		{[]float64{27, 36, 66}, 5, false},
	} {
		g := planeOf(t, 30, 30, level(c.pct))
		g.SurePct = c.sure
		spots := pick(t, g, field.Options{}).Spots
		require.NotEmpty(t, spots)
		for _, s := range spots {
			assert.Equal(t, c.tips, s.Why[0].Kind == field.CouldTip, "%+v", c)
		}
	}
}

// Three spots a zone and one for each five acres, up to thirty; who asks for more gets it.
func TestHowManySpots(t *testing.T) {
	const acre = 4046.8564224
	count := func(acres float64, o field.Options) int {
		g := groundOf(t, 60, 60, math.Sqrt(acres*acre)/60, 0, func(x, _ float64) float64 { return 0.1 * x })
		g.SurePct = []float64{29, 39, 69}
		return len(pick(t, g, o).Spots)
	}
	assert.Equal(t, 3, count(4.99, field.Options{}))
	assert.Equal(t, 4, count(5.01, field.Options{}))
	assert.Equal(t, 5, count(10.01, field.Options{}))
	assert.Equal(t, 29, count(134.9, field.Options{}))
	assert.Equal(t, 30, count(135.1, field.Options{}))
	assert.Equal(t, 30, count(400, field.Options{}))
	assert.Equal(t, 33, count(1000, field.Options{PerZone: 33}))
	assert.Equal(t, 6, count(20.1, field.Options{PerZone: 4, AcresPerSpot: 10}))
}

// A machine that reaches ground too steep to drive on is held to the lower of the faces it
// works, or to the other on ground steeper than that; limits are the machine's own though
// zones are drawn inside them, and those of the ground's state.
func TestTheLimitAMachineIsHeldTo(t *testing.T) {
	fleet := []zoning.Machine{{Key: "boom", Name: "Boom", LimitPct: 40, ReachUpPct: 100, ReachDownPct: 65, Wet: zoning.Limits{AlongPct: 30}}}
	drawn := []zoning.Machine{{Key: "boom", LimitPct: 36, ReachUpPct: 96, ReachDownPct: 61, Wet: zoning.Limits{AlongPct: 26}}}
	tied := []zoning.Machine{{Key: "boom", Name: "Boom", LimitPct: 90, TetherAbovePct: 45}}
	for _, c := range []struct {
		fleet, drawn []zoning.Machine
		on           zoning.Moisture
		pct          float64
		works        bool
		held         float64 // 0: something else than slope keeps it off, or nothing is asked
	}{
		{fleet, nil, zoning.Dry, 20, true, 40}, {fleet, nil, zoning.Dry, 50, true, 65}, {fleet, nil, zoning.Dry, 70, true, 100},
		{fleet, nil, zoning.Dry, 20, false, 0}, {fleet, nil, zoning.Dry, 50, false, 40}, {fleet, nil, zoning.Wet, 35, false, 30},
		{fleet, drawn, zoning.Dry, 38, true, 65}, {fleet, drawn, zoning.Dry, 35, true, 40}, {fleet, drawn, zoning.Dry, 62, true, 100},
		{fleet, drawn, zoning.Dry, 38, false, 40}, {fleet, drawn, zoning.Dry, 35, false, 0},
		{fleet, drawn, zoning.Wet, 28, false, 30}, {fleet, drawn, zoning.Wet, 25, false, 0},
		{tied, nil, zoning.Dry, 50, false, 45}, {tied, nil, zoning.Dry, 40, true, 45},
	} {
		g := planeOf(t, 10, 10, level(c.pct))
		g.Fleet, g.Drawn, g.On = c.fleet, c.drawn, c.on
		for i := range g.Cells.Masks {
			g.Cells.Masks[i] = 0
			if c.works {
				g.Cells.Masks[i] = 1
			}
		}
		s, ok := g.At(spotOf(t, g, 5.5, 5.5))
		require.True(t, ok)
		var want []field.Held
		if c.held > 0 {
			want = []field.Held{{Key: "boom", LimitPct: c.held}}
		}
		assert.Equal(t, want, s.Machines, "%+v", c)
		if c.works {
			assert.Equal(t, c.held, s.LimitPct)
		}
	}
}
