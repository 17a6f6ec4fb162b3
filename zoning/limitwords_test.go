package zoning

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The words of a limit that cannot be used tell its value, and what bounds it.
func TestWordsOfALimitThatCannotBeUsed(t *testing.T) {
	for want, e := range map[string]LimitError{
		`machine "a": limit 174% is above 60deg (173.2%), the steepest that any machine is planned for`:                                         {Limit: AlongLimit, Pct: 174},
		`machine "a": limit +Inf% is no slope above 0%`:                                                                                         {Limit: AlongLimit, Pct: math.Inf(1)},
		`machine "a": limit -Inf% is no slope above 0%`:                                                                                         {Limit: AlongLimit, Pct: math.Inf(-1)},
		`machine "a": limit NaN% is no slope above 0%`:                                                                                          {Limit: AlongLimit, Pct: math.NaN()},
		`machine "a": limit -1% is no slope above 0%`:                                                                                           {Limit: AlongLimit, Pct: -1},
		`machine "a" has limit 0%; it must be above 0%`:                                                                                         {Limit: AlongLimit},
		`machine "a": wet_limit 174% is no slope above 0%`:                                                                                      {Limit: WetLimit, Pct: 174},
		`machine "a": wet_limit 0% is no slope above 0%`:                                                                                        {Limit: WetLimit},
		`machine "a" has no limit "crawl"`:                                                                                                      {Limit: "crawl", Pct: 5},
		`machine "a": limit 50% is above its rated_max 40%: no limit is set above the maker's rating`:                                           {Limit: AlongLimit, Pct: 50, Bound: RatedMax, MostPct: 40},
		`machine "a": wet_cross 20% is above its wet_limit 15%: a machine works no steeper across than along`:                                   {Limit: WetCross, Pct: 20, Bound: WetLimit, MostPct: 15},
		`machine "a": wet_cross 20% is above its cross 15%: wet ground allows no more than dry, and a boom at work no more than driving`:        {Limit: WetCross, Pct: 20, Bound: CrossLimit, MostPct: 15},
		`machine "a": wet_limit 20% is above its limit 15%: wet ground allows no more than dry, and a boom at work no more than driving`:        {Limit: WetLimit, Pct: 20, Bound: AlongLimit, MostPct: 15},
		`machine "a": procedure_above 45% is above its limit 40%: it could never apply`:                                                         {Limit: ProcedureAbove, Pct: 45, Bound: AlongLimit, MostPct: 40},
		`machine "a": tether_above 45% is above its limit 40%: it could never apply`:                                                            {Limit: TetherAbove, Pct: 45, Bound: AlongLimit, MostPct: 40},
		`machine "a": swing_limit 45.5% is above its limit 40.25%: wet ground allows no more than dry, and a boom at work no more than driving`: {Limit: SwingLimit, Pct: 45.5, Bound: AlongLimit, MostPct: 40.25},
	} {
		e.Machine = "a"
		assert.Equal(t, want, e.Error())
	}
}

// A limit across is above one along, or above another across, or is one along.
func TestAcrossAboveAlong(t *testing.T) {
	for _, c := range []struct {
		limit, bound Limit
		is           bool
	}{{CrossLimit, AlongLimit, true}, {WetSwingCross, WetSwingLimit, true}, {WetCross, CrossLimit, false}, {WetLimit, AlongLimit, false}, {AlongLimit, RatedMax, false}, {CrossLimit, "", false}} {
		assert.Equal(t, c.is, (&LimitError{Limit: c.limit, Bound: c.bound}).AcrossAlong(), c)
	}
}

// Every limit is found by its name; no other name is a limit.
func TestEveryLimitByItsName(t *testing.T) {
	m := everyLimit
	for limit, want := range map[Limit]float64{
		AlongLimit: 80, CrossLimit: 40, RatedMax: 100, WetLimit: 35, WetCross: 20, SwingLimit: 30, SwingCross: 15,
		WetSwingLimit: 20, WetSwingCross: 10, ReachUp: 100, ReachDown: 65, ProcedureAbove: 45, TetherAbove: 50,
	} {
		pct, known := m.Limit(limit)
		assert.True(t, known, limit)
		assert.Equal(t, want, pct, limit)
	}
	pct, known := m.Limit("crawl")
	assert.False(t, known)
	assert.Zero(t, pct)
	pct, known = Machine{LimitPct: 30}.Limit(CrossLimit)
	assert.True(t, known)
	assert.Equal(t, NoLimit, pct)
}

// The limit of driving is above 0% and up to 60deg, whose tangent is √3; any limit is a
// number of 0% and more.
func TestLimitsFromZeroToSixtyDegrees(t *testing.T) {
	assert.InDelta(t, 100*math.Sqrt(3), MaxLimitPct, 1e-6)
	for limit, ok := range map[float64]bool{0: false, 0.01: true, 0.5: true, MaxLimitPct: true, MaxLimitPct + 1e-6: false, -1: false} {
		err := Machine{Key: "a", LimitPct: limit}.CheckLimits()
		assert.Equal(t, ok, err == nil, "%g%%", limit)
	}
	assert.ErrorContains(t, Machine{Key: "a", LimitPct: 30, ReachUpPct: math.Inf(1)}.CheckLimits(), "reach_up +Inf% is no slope")
	assert.ErrorContains(t, Machine{Key: "a", LimitPct: 30, ReachUpPct: math.Inf(-1)}.CheckLimits(), "reach_up -Inf% is no slope")
	assert.NoError(t, Machine{Key: "a", LimitPct: 30, ReachUpPct: 0.2}.CheckLimits())
}

// What a margin eats whole is a thousandth of a percent: no limit is 0, which is none.
func TestNothingIsLeftOfALimit(t *testing.T) {
	for _, left := range []float64{0, -5, 1e-3, 0.9e-3, math.NaN()} {
		to := func(float64) float64 { return left }
		m := Machine{LimitPct: 30, CrossPct: 20}.Inside(to, to)
		assert.Equal(t, []float64{1e-3, 1e-3}, []float64{m.LimitPct, m.CrossPct}, "%g", left)
	}
	to := func(float64) float64 { return 1.05e-3 }
	assert.Equal(t, 1.05e-3, Machine{LimitPct: 30}.Inside(to, to).LimitPct)
	up := func(pct float64) float64 { return 2 * pct }
	assert.Equal(t, 30.0, Machine{LimitPct: 30}.Inside(up, up).LimitPct, "never above the limit")
}

// A machine's work is one of those that there are; a basis for a tether goes with a slope
// above which it works on one, and where its figures are from with nothing.
func TestWorkAndTetherOfAMachine(t *testing.T) {
	for words, m := range map[string]Machine{
		"":                         {},
		" ":                        {Work: Production, Basis: "the books"},
		"  ":                       {Work: Selective},
		"   ":                      {TetherAbovePct: 20, TetherBasis: "p. 3"},
		`"any" is no kind of work`: {Work: "any"},
		`a basis for a tether ("p. 3") and no slope above which it works on one (tether_above)`: {TetherBasis: "p. 3", Basis: "the books"},
	} {
		m.Key, m.LimitPct = "a", 30
		err := Fleet{m}.Check()
		if len(words) < 4 {
			assert.NoError(t, err)
		} else {
			assert.ErrorContains(t, err, words)
		}
	}
}
