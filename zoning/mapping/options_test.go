//go:build cgo

package mapping_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
)

// Ground "Wet" was mapped by dry limits and stamped wet, and a margin of -10 raised every
// limit: options went unchecked into the work.
func TestOptionsAreCheckedBeforeAnyWork(t *testing.T) {
	g, _ := survey(t, defaults(), twoLots...)
	noise := func(n slope.Noise) mapping.Options { return mapping.Options{Noise: &n} }
	for _, c := range []struct {
		options mapping.Options
		words   string
	}{
		{mapping.Options{Ground: "Wet"}, `Ground is "Wet"; the ground is dry or wet`},
		{mapping.Options{Ground: "damp"}, `Ground is "damp"; the ground is dry or wet`},
		{mapping.Options{MarginPct: -10}, "MarginPct is -10;"},
		{mapping.Options{MarginPct: math.NaN()}, "MarginPct is NaN;"},
		{mapping.Options{MarginPct: math.Inf(1)}, "MarginPct is +Inf;"},
		{mapping.Options{SimplifyM: -1}, "SimplifyM is -1;"},
		{mapping.Options{SimplifyM: math.NaN()}, "SimplifyM is NaN;"},
		{mapping.Options{SimplifyM: 1e9}, "SimplifyM is 1e+09;"},
		{mapping.Options{Scale: "span"}, `slope scale "span"; write cell or machine`},
		{mapping.Options{Surveyed: "last year"}, `Surveyed: "last year" is no date`},
		{mapping.Options{OldestSurvey: "2019-13"}, `OldestSurvey: "2019-13" is no date`},
		{noise(slope.Noise{SigmaM: -0.1}), "Noise: SigmaM is -0.1;"},
		{noise(slope.Noise{SigmaM: math.Inf(1)}), "Noise: SigmaM is +Inf;"},
		{noise(slope.Noise{SigmaM: 0.1, RangeM: math.NaN()}), "Noise: RangeM is NaN;"},
		{noise(slope.Noise{SigmaM: 0.1, RangeM: math.Inf(1)}), "Noise: RangeM is +Inf;"},
	} {
		c.options.Progress = func(string, int, int) { t.Error("work was begun") }
		assertRefused(t, g, defaults(), c.options, c.words)
	}
	assert.NoError(t, mapping.Options{Noise: &slope.Noise{SigmaM: math.NaN()}}.Check(), "nobody knows it")

	machines := defaults()
	machines[1].Work = "mow"
	assertRefused(t, g, machines, mapping.Options{}, `"mow" is no kind of work`)
	var many []zoning.Machine
	for range zoning.MaxMachines + 1 {
		many = append(many, defaults()[0])
	}
	assertRefused(t, g, many, mapping.Options{}, "15 machines; at most 14")
	machines = defaults()
	machines[0].LimitPct = 5
	assertRefused(t, g, machines, mapping.Options{}, "wet_limit 20% is above its limit 5%")
}

// assertRefused asserts that whatever judges ground refuses a fleet and options.
func assertRefused(t *testing.T, g *mapping.Ground, machines []zoning.Machine, o mapping.Options, words string) {
	t.Helper()
	_, err := mapping.Map(t.Context(), g, machines, o)
	assert.ErrorContains(t, err, words)
	_, err = bySlope(g.Elevation, machines, terrain.Window{Row0: 0, Row1: 1, Col0: 0, Col1: 1}, false, o)
	assert.ErrorContains(t, err, words)
	_, _, err = mapping.BeyondCells(machines, [2]float64{1, 1}, o)
	assert.ErrorContains(t, err, words)
	_, err = mapping.WorthOf(g.Elevation, machines, o)
	assert.ErrorContains(t, err, words)
}

// What the guide for embedders says: change a limit, and call Map again. On wet ground no
// machine then works more than on dry.
func TestAChangedLimitOnWetGround(t *testing.T) {
	g, _ := survey(t, defaults(), twoLots...)
	for _, pct := range []float64{1, 5, 12, 29} {
		machines := defaults()
		var err error
		machines[0], err = machines[0].With(zoning.AlongLimit, pct)
		require.NoError(t, err)
		dry, err := mapping.Map(t.Context(), g, machines, mapping.Options{})
		require.NoError(t, err)
		wet, err := mapping.Map(t.Context(), g, machines, mapping.Options{Ground: zoning.Wet})
		require.NoError(t, err)
		assert.LessOrEqual(t, wet.Fleet[0].LimitPct, pct)
		for i := range dry.Cells.Masks {
			if wet.Cells.Masks[i]&1 != 0 && wet.Cells.Masks[i]&(zoning.Unknown|zoning.NoGo) == 0 {
				require.NotZero(t, dry.Cells.Masks[i]&1, "cell %d at %g%%", i, pct)
			}
		}
	}
}
