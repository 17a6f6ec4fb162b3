package site_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/site"
)

const foot = 0.3048

func rule(t testing.TB, key string) *site.Rule {
	t.Helper()
	s, err := site.ParseSetback(key)
	require.NoError(t, err)
	require.NotNil(t, s.Rule, key)
	return s.Rule
}

// Widths in feet as each source states them. Kentucky FOR-69, BMP No. 3, table
// 3-1: less than 15% 25 ft, greater 55 ft. Filter Strip Width Guide: to 10% 50 ft,
// then 2 ft more for each percent; its worked example is 27%, 84 ft. Trimble and
// Sartz 1957: 25 ft and 2 ft for each percent (from memory). South Carolina BMP,
// figure 2: 40 ft, and 40, 80 and 120 ft more from 5, 21 and over 40%.
func TestRulesAsPublished(t *testing.T) {
	for key, widths := range map[string]map[float64]float64{
		"kentucky-for-69": {0: 25, 14.9: 25, 15.1: 55, 60: 55},
		"filter-strip":    {0: 50, 10: 50, 11: 52, 27: 84, 100: 230},
		"trimble-sartz":   {0: 25, 10: 45, 40: 105},
		"south-carolina":  {0: 40, 4.9: 40, 5: 80, 19.9: 80, 21: 120, 39.9: 120, 41: 160},
	} {
		r := rule(t, key)
		for pct, feet := range widths {
			assert.InDelta(t, feet*foot, r.WidthM(pct), 1e-12, "%s at %g%%", key, pct)
		}
		assert.NotEmpty(t, r.Source)
	}
	assert.Len(t, site.Rules(), 4)
}

// What a source leaves open between two classes goes to the wider one.
func TestEdgeOfAClassIsWider(t *testing.T) {
	assert.InDelta(t, 55*foot, rule(t, "kentucky-for-69").WidthM(15), 1e-12)
	assert.InDelta(t, 120*foot, rule(t, "south-carolina").WidthM(20), 1e-12)
	assert.InDelta(t, 160*foot, rule(t, "south-carolina").WidthM(40), 1e-12)
}

func TestRulesNeverShrinkWithSlope(t *testing.T) {
	for _, r := range site.Rules() {
		before := 0.0
		for pct := 0.0; pct < 200; pct += 0.25 {
			w := r.WidthM(pct)
			assert.GreaterOrEqual(t, w, before, "%s at %g%%", r.Key, pct)
			before = w
		}
	}
}

// Table 3-1 of FOR-69 has "surface distance" and the width guide "slope
// distance"; the copies of the others do not say.
func TestWhatARuleMeasuresAlong(t *testing.T) {
	assert.Equal(t, site.SlopeDistance, rule(t, "kentucky-for-69").Along)
	assert.Equal(t, site.SlopeDistance, rule(t, "Filter strip").Along)
	assert.Equal(t, site.HorizontalDistance, rule(t, "trimble_sartz").Along)
	assert.Equal(t, site.HorizontalDistance, rule(t, "SOUTH-CAROLINA").Along)
}

func TestParseSetback(t *testing.T) {
	s, err := site.ParseSetback("50 ft")
	require.NoError(t, err)
	assert.Equal(t, site.Setback{WidthM: 15.24}, s)
	_, err = site.ParseSetback("50")
	assert.EqualError(t, err, `"50" is not a length with a unit; write a length with its unit, such as 10ft, 18in or 3m, `+
		"or a rule: kentucky-for-69, filter-strip, trimble-sartz, south-carolina")
	_, err = site.ParseSetback("ohio")
	assert.ErrorContains(t, err, `"ohio" is not a length with a unit`)
}

// 29 CFR 1926.1408 Table A, feet up to and including a voltage; 1926.1409(a) for
// a voltage that is not known.
func TestClearances(t *testing.T) {
	for kV, feet := range map[float64]float64{
		7.2: 10, 50: 10, 50.1: 15, 200: 15, 230: 20, 350: 20, 500: 25, 750: 35, 765: 45, 1000: 45, 0: 50, 1100: 50,
	} {
		assert.InDelta(t, feet*foot, site.ClearanceM(kV), 1e-12, "%g kV", kV)
	}
}
