package measure_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/measure"
)

const us, metric = measure.US, measure.Metric

// An acre is 4046.8564224 m², a pound 0.45359237 kg and a mile 1.609344 km (NIST Handbook 44, appendix C).
func TestMeasuresInBothSystems(t *testing.T) {
	assert.InDelta(t, 0.40468564224, metric.Area(1), 1e-15)
	assert.InDelta(t, 1, metric.Acres(metric.Area(1)), 1e-15)
	assert.InDelta(t, 1, us.Area(1), 0)
	assert.InDelta(t, 2.471053814671653, metric.PerArea(1), 1e-12)
	assert.InDelta(t, 1.609344, metric.Miles(measure.MetresPerMile), 1e-12)
	for _, c := range [][2]string{
		{us.AreaText(12.04, 1), "12.0 acres"}, {metric.AreaText(12.04, 1), "4.87 hectares"}, {metric.AreaText(2471, 0), "1000 hectares"},
		{us.Length(3.048), "10 ft"}, {metric.Length(3.048), "3.0 m"}, {metric.Length(122), "122 m"},
		{us.Size(2.5908), "8.5 ft"}, {metric.Size(2.5908), "2.59 m"},
		{us.Thickness(0.2032), "8 in"}, {metric.Thickness(0.2032), "20 cm"}, {us.Thickness(0.6122), "2.01 ft"},
		{us.Stem(0.1016), "4 in"}, {metric.Stem(0.1016), "10.2 cm"},
		{us.LongLength(3218.688), "2 miles"}, {metric.LongLength(3218.688), "3.22 km"},
		{us.Between(0.75, 1), "2 to 4 ft"}, {metric.Between(0.75, 1), "0.7 to 1.0 m"},
	} {
		assert.Equal(t, c[1], c[0])
	}
}

// Ten feet from a line of 50 kV (29 CFR 1926.1408, table A) is 3.048 m: written 3.0 m it would be
// less. So were 10.2 feet written as 10.
func TestADistanceToKeepIsRoundedUp(t *testing.T) {
	assert.Equal(t, "10 ft", us.AtLeast(10*0.3048))
	assert.Equal(t, "11 ft", us.AtLeast(10.2*0.3048))
	assert.Equal(t, "3.1 m", metric.AtLeast(3.048))
	assert.Equal(t, "15.0 m", metric.AtLeast(15))
}

func TestParse(t *testing.T) {
	for said, want := range map[string]measure.Units{"us": us, "": us, "metric": metric} {
		got, err := measure.Parse(said)
		require.NoError(t, err)
		assert.Equal(t, want, got)
	}
	_, err := measure.Parse("imperial")
	assert.ErrorContains(t, err, "imperial")
}

// A name tells its unit; what is in an object under it keeps its names, those of zones and reasons.
func TestPropertiesAreTurnedByTheirNames(t *testing.T) {
	for from, want := range map[string]string{"acres": "hectares", "track_loader_acres": "track_loader_hectares", "acres_wet": "hectares_wet",
		"keep_apart_ft": "keep_apart_m", "slope_max_pct": "slope_max_pct", "price_of_each_extra_acre_usd": "price_of_each_extra_hectare_usd"} {
		got, _ := metric.Property(from)
		assert.Equal(t, want, got)
	}
	got, err := metric.JSON([]byte(`{"acres":{"acre-lot":10,"x":[1,null]},"price_of_each_extra_acre_usd":100,"words":"2 acres","days":3}`))
	require.NoError(t, err)
	assert.JSONEq(t, `{"hectares":{"acre-lot":4.046856422,"x":[0.404685642,null]},"price_of_each_extra_hectare_usd":247.105381467,"words":"2 acres","days":3}`, string(got))
	same, err := us.JSON(got)
	require.NoError(t, err)
	assert.Equal(t, got, same)
}
