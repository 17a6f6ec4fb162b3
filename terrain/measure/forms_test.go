package measure

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// 1 ft is 0.3048 m, 1 mi 1609.344 m, 1 in 2.54 cm, 1 lb 0.45359237 kg, 1 psi 6.894757 kPa (NIST SP 811).
func TestFormsOfLengthsWeightsAndPressures(t *testing.T) {
	for want, got := range map[string]string{
		"10 ft": US.Length(3.048), "3.0 m": Metric.Length(3.048), "91 m": Metric.Length(91.44), "0 m": Metric.Length(0),
		"0.13 m (0.4 ft)": US.Height(0.13), "0.13 m": Metric.Height(0.13),
		"8.5 ft": US.Size(2.5908), "2.59 m": Metric.Size(2.5908),
		"6 in": US.Stem(0.1524), "15.2 cm": Metric.Stem(0.1524),
		"18 in": US.Thickness(0.4572), "46 cm": Metric.Thickness(0.4572), "2.5 ft": US.Thickness(0.762), "1.2 m": Metric.Thickness(1.2),
		"1.0 psi (7 kPa)": US.Pressure(6.894757), "35 kPa": Metric.Pressure(35),
		"less than 1 ft": US.LengthOrLess(0.1), "less than 0.1 m": Metric.LengthOrLess(0.04), "0.1 m": Metric.LengthOrLess(0.1), "1 ft": US.LengthOrLess(0.3),
	} {
		assert.Equal(t, want, got)
	}
	assert.InDelta(t, 1, US.Miles(1609.344), 1e-12)
	assert.InDelta(t, 1.609344, Metric.Miles(1609.344), 1e-12)
	assert.InDelta(t, 100, US.Pounds(45.359237), 1e-9)
	assert.InDelta(t, 45.359237, Metric.Pounds(45.359237), 0)
}

// What is to be kept from a line is never told shorter than it is, nor a range narrower.
func TestRangesAreRoundedOutward(t *testing.T) {
	assert.Equal(t, "10 ft", US.AtLeast(3.048))
	assert.Equal(t, "3.1 m", Metric.AtLeast(3.048))
	assert.Equal(t, "3.1 m", Metric.AtLeast(3.1), "what is round stays")
	assert.Equal(t, "92 m", Metric.AtLeast(91.44))
	assert.Equal(t, "2 to 4 ft", US.Between(0.75, 1.0))
	assert.Equal(t, "0.7 to 1.1 m", Metric.Between(0.76, 1.06))
}

// Names of properties change with the unit that they hold, and their figures with them.
func TestNamesOfProperties(t *testing.T) {
	for us, want := range map[string]string{
		"acres": "hectares", "track_loader_acres": "track_loader_hectares", "acres_wet": "hectares_wet", "acres_per_hour": "hectares_per_hour",
		"price_of_each_extra_acre_usd": "price_of_each_extra_hectare_usd", "keep_apart_ft": "keep_apart_m", "miles_from_previous": "km_from_previous",
		"slope_mean_pct": "slope_mean_pct", "lot": "lot", "ft_300_acres": "ft_300_hectares",
	} {
		name, _ := Metric.Property(us)
		assert.Equal(t, want, name)
		name, times := US.Property(us)
		assert.Equal(t, us, name)
		assert.Equal(t, 1.0, times)
	}
	_, times := Metric.Property("lost_acres")
	assert.InDelta(t, 0.40468564224, times, 1e-15)
	_, times = Metric.Property("price_of_an_extra_acre_usd")
	assert.InDelta(t, 2.4710538, times, 1e-7)
}

// All numbers below a name that tells their unit are of that unit; the names below are of zones.
func TestJSONInEitherUnits(t *testing.T) {
	const us = `{"units":"x","acres":{"track-loader":10,"acres":1e3},"list":[{"acres":null,"at":[1.5,2]}],"a<b":"12 acres","keep_apart_ft":100}`
	got, err := Metric.JSON([]byte(us))
	require.NoError(t, err)
	assert.Equal(t, `{"units":"x","hectares":{"track-loader":4.046856422,"acres":404.68564224},"list":[{"hectares":null,"at":[1.5,2]}],"a<b":"12 acres","keep_apart_m":30.48}`, string(got))
	got, err = US.JSON([]byte(us))
	require.NoError(t, err)
	assert.Equal(t, us, string(got))
	_, err = Metric.JSON([]byte(`{"acres":`))
	assert.Error(t, err)
	got, err = Metric.PropertyJSON("lost_acres", []byte(`{"a":{"slope":1}}`))
	require.NoError(t, err)
	assert.Equal(t, `{"a":{"slope":0.404685642}}`, string(got))
}

func TestUnitsAreParsed(t *testing.T) {
	for text, want := range map[string]Units{"": US, "us": US, "metric": Metric} {
		got, err := Parse(text)
		require.NoError(t, err)
		assert.Equal(t, want, got)
	}
	_, err := Parse("acres")
	assert.EqualError(t, err, `units "acres"; write us or metric`)
	assert.Error(t, Units("imperial").Check())
	assert.NoError(t, Metric.Check())
	assert.Equal(t, []string{"us", "metric"}, []string{US.String(), Metric.String()})
}
