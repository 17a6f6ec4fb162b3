package zoning

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A boom with limits of its own for every state, that works on a tether.
var everyLimit = Machine{
	Key: "boom", Name: "Boom", LimitPct: 80, CrossPct: 40, RatedMaxPct: 100,
	Wet: Limits{35, 20}, Swing: Limits{30, 15}, WetSwing: Limits{20, 10},
	ReachM: 6, ReachUpPct: 100, ReachDownPct: 65, ProcedureAbovePct: 45, TetherAbovePct: 50, TetherM: 30, Anchor: "a", TetherBasis: "manual",
}

// Changing the dry limit alone left 20% in the wet: lower dry limits gave more ground on
// wet than on dry.
func TestALowerLimitTakesTheOthersAlong(t *testing.T) {
	m, err := everyLimit.With(AlongLimit, 5)
	require.NoError(t, err)
	assert.Equal(t, 5.0, m.LimitPct)
	assert.Equal(t, 5.0, m.CrossPct)
	assert.Equal(t, []Limits{{5, 5}, {5, 5}, {5, 5}}, []Limits{m.Wet, m.Swing, m.WetSwing})
	assert.Equal(t, 80.0, everyLimit.LimitPct, "the machine itself is as it was")

	m, err = everyLimit.With(SwingCross, 8)
	require.NoError(t, err)
	assert.Equal(t, 8.0, m.WetSwing.CrossPct)
	assert.Equal(t, Limits{35, 20}, m.Wet, "driving does not depend on standing")

	// A limit across that is taken over from dry ground is no higher than the one along.
	taken := Machine{Key: "a", LimitPct: 30, CrossPct: 25}
	m, err = taken.With(WetLimit, 10)
	require.NoError(t, err)
	assert.Equal(t, Limits{10, 10}, m.On(Wet).Driving())
	assert.Equal(t, Limits{30, 25}, m.On(Dry).Driving())
}

// A limit lowered below the slope for a tether forgot the tether, and raised again was
// worked without one.
func TestATetherIsNotForgotten(t *testing.T) {
	low, err := everyLimit.With(AlongLimit, 40)
	require.NoError(t, err)
	assert.Equal(t, 40.0, low.SteepestPct())
	again, err := low.With(AlongLimit, 80)
	require.NoError(t, err)
	assert.Equal(t, 50.0, again.Driving().AlongPct, "above 50% on a tether only")
	assert.Equal(t, 45.0, again.ProcedureAbovePct)
}

func TestLimitsThatAreRefused(t *testing.T) {
	for _, c := range []struct {
		limit Limit
		pct   float64
		words string
	}{
		{AlongLimit, 0, `machine "boom" has limit 0%; it must be above 0%`},
		{AlongLimit, -5, `machine "boom": limit -5% is no slope above 0%`},
		{WetLimit, math.NaN(), `machine "boom": wet_limit NaN% is no slope above 0%`},
		{ReachUp, math.Inf(1), `machine "boom": reach_up +Inf% is no slope above 0%`},
		{RatedMax, 0, `machine "boom": rated_max 0% is no slope above 0%`},
		{AlongLimit, 174, "above 60deg"},
		{AlongLimit, 101, "limit 101% is above its rated_max 100%: no limit is set above the maker's rating"},
		{WetLimit, 81, "wet_limit 81% is above its limit 80%: wet ground allows no more than dry"},
		{CrossLimit, 81, "cross 81% is above its limit 80%: a machine works no steeper across than along"},
		{WetCross, 36, "wet_cross 36% is above its wet_limit 35%"},
		{SwingLimit, 81, "swing_limit 81% is above its limit 80%"},
		{WetSwingLimit, 31, "wet_swing_limit 31% is above its swing_limit 30%"},
		{WetSwingCross, 16, "wet_swing_cross 16% is above its swing_cross 15%"},
		{TetherAbove, 80, "tether_above 80% is above its limit 80%: it could never apply"},
		{ProcedureAbove, 90, "procedure_above 90% is above its limit 80%: it could never apply"},
		{"crawl", 5, `machine "boom" has no limit "crawl"`},
	} {
		m, err := everyLimit.With(c.limit, c.pct)
		assert.ErrorContains(t, err, c.words, "%s %g", c.limit, c.pct)
		assert.Equal(t, everyLimit, m, "as it was")
	}
	_, err := everyLimit.WithLimits(map[Limit]float64{AlongLimit: 10, WetLimit: 12})
	assert.ErrorContains(t, err, "wet_limit 12% is above its limit 10%", "both were asked for")
	m, err := everyLimit.WithLimits(map[Limit]float64{AlongLimit: 40, WetLimit: 38})
	require.NoError(t, err)
	assert.Equal(t, Limits{38, 20}, m.Wet)
}

// However limits are changed, one after another, a machine comes out whose limits keep
// every rule, as it is held and not as it is written.
func TestChangedLimitsKeepTheRules(t *testing.T) {
	rnd := rand.New(rand.NewPCG(12, 7))
	m := everyLimit
	for range 20_000 {
		if rnd.IntN(40) == 0 {
			m = everyLimit
		}
		s := specs[rnd.IntN(len(specs))]
		if !s.isLimit() {
			continue
		}
		next, err := m.With(s.Key, math.Ceil(120*rnd.Float64()))
		if err != nil {
			continue
		}
		m = next
		require.NoError(t, m.CheckLimits(), "%+v", m)
		assertRules(t, m)
		wet := m.On(Wet)
		require.NoError(t, wet.CheckLimits(), "%+v", m)
		require.NoError(t, m.Inside(func(p float64) float64 { return p / 3 }, func(p float64) float64 { return p - 3 }).CheckLimits(), "%+v", m)
		tethered := m.On(Dry).SteepestPct() > m.On(Dry).Driving().AlongPct
		require.False(t, tethered && m.TetherBasis == "", "%+v", m)
	}
}

func assertRules(t *testing.T, m Machine) {
	t.Helper()
	within := func(l, most Limits) bool {
		return l.AlongPct <= most.AlongPct && (most.CrossPct == 0 || l.CrossPct > 0 && l.CrossPct <= most.CrossPct)
	}
	dry, wet := m.On(Dry), m.On(Wet)
	require.True(t, within(wet.Driving(), dry.Driving()), "%+v", m)
	require.True(t, within(wet.Standing(), dry.Standing()), "%+v", m)
	require.True(t, within(dry.Standing(), dry.Driving()), "%+v", m)
	require.True(t, within(wet.Standing(), wet.Driving()), "%+v", m)
	require.LessOrEqual(t, dry.SteepestPct(), m.RatedMaxPct)
	require.LessOrEqual(t, wet.SteepestPct(), dry.SteepestPct())
}

// On wet ground a machine is held by its dry limits too, even one whose limits nobody
// checked; ground whose state is not known counts as wet.
func TestOnHoldsWetByDry(t *testing.T) {
	m := Machine{LimitPct: 5, CrossPct: 3, Wet: Limits{20, 10}, Swing: Limits{4, 2}, WetSwing: Limits{15, 5}}
	assert.Equal(t, Limits{5, 3}, m.On(Wet).Driving())
	assert.Equal(t, Limits{4, 2}, m.On(Wet).Standing())
	assert.Equal(t, m.On(Wet), m.On("damp"))
	assert.Equal(t, m, m.On(""))
}

// A margin below 0 raised every limit.
func TestInsideNeverRaisesALimit(t *testing.T) {
	for _, left := range []func(float64) float64{
		func(pct float64) float64 { return pct + 10 }, func(float64) float64 { return math.Inf(1) },
	} {
		assert.Equal(t, everyLimit, everyLimit.Inside(left, left))
	}
	for _, left := range []func(float64) float64{
		func(float64) float64 { return math.NaN() }, func(pct float64) float64 { return pct - 500 }, func(float64) float64 { return 0 },
	} {
		m := everyLimit.Inside(left, left)
		assert.Equal(t, []float64{leastLimitPct, leastLimitPct, leastLimitPct}, []float64{m.LimitPct, m.CrossPct, m.WetSwing.CrossPct})
		assert.Equal(t, 100.0, m.RatedMaxPct)
	}
	less := func(pct float64) float64 { return pct - 4 }
	m := everyLimit.Inside(less, less)
	assert.Equal(t, []float64{76, 36, 31, 16, 26, 11, 16, 6, 96, 61, 41, 46}, []float64{
		m.LimitPct, m.CrossPct, m.Wet.AlongPct, m.Wet.CrossPct, m.Swing.AlongPct, m.Swing.CrossPct, m.WetSwing.AlongPct, m.WetSwing.CrossPct,
		m.ReachUpPct, m.ReachDownPct, m.ProcedureAbovePct, m.TetherAbovePct,
	})
	assert.NoError(t, m.CheckLimits())
	wet := everyLimit.On(Wet)
	assert.Equal(t, DefaultEdgePct, wet.EdgePct)
	assert.InDelta(t, DefaultEdgePct-4, wet.Inside(less, less).EdgePct, 1e-9, "a boom keeps back from edges sooner, on wet ground too")
}
