package units_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/units"
)

// Conversions of NIST Special Publication 811 (2008), appendix B.8: psi 6.894757
// kPa, pound 0.4535924 kg, short ton 907.1847 kg, acre 4046.873 m² (of US survey
// feet; the international acre is 4046.856 m²), to seven figures.
func TestQuantitiesAgainstNIST(t *testing.T) {
	for _, c := range []struct {
		read func(string) (float64, error)
		text string
		want float64
	}{
		{units.Length, "50ft", 15.24}, {units.Length, "18 in", 0.4572}, {units.Length, "0.5m", 0.5},
		{units.Pressure, "1psi", 6.894757}, {units.Pressure, "40kPa", 40}, {units.Pressure, "40 kPa", 40},
		{units.Weight, "1lb", 0.4535924}, {units.Weight, "1tons", 907.1847}, {units.Weight, "18000kg", 18000},
		{units.Voltage, "115kV", 115}, {units.Voltage, "115 kV", 115}, {units.Voltage, "7200V", 7.2},
		{units.Area, "0.1ac", 0.1}, {units.Area, "1ha", 2.471054}, {units.StemDensity, "300/ac", 300}, {units.StemDensity, "1000/ha", 404.6856},
		{units.Slope, "45deg", 100}, {units.Slope, "35%", 35}, {units.Slope, "0%", 0},
	} {
		got, err := c.read(c.text)
		require.NoError(t, err, c.text)
		assert.InEpsilon(t, c.want+1, got+1, 1.5e-7, c.text)
	}
}

func TestNoUnitNoQuantity(t *testing.T) {
	for _, c := range []struct {
		read       func(string) (float64, error)
		text, want string
	}{
		{units.Length, "50", `"50" is not a length with a unit; write a length with its unit, such as 10ft, 18in or 3m`},
		{units.Length, "-5m", `"-5m" is not a length above zero; write a length with its unit, such as 10ft, 18in or 3m`},
		{units.Pressure, "6", `"6" is not a pressure with a unit; write a pressure with its unit, such as 5psi or 35kPa`},
		{units.Voltage, "115", `"115" is not a voltage with a unit; write a voltage with its unit, such as 115kV or 7200V`},
		{units.Weight, "20t", `"20t" is not a weight with a unit; write a weight with its unit, such as 40000lb, 20tons (of 2000 lb) or 18000kg`},
		{units.Weight, "0lb", `"0lb" is not a weight above zero; write a weight with its unit, such as 40000lb, 20tons (of 2000 lb) or 18000kg`},
		{units.StemDensity, "", `"" is not a number of stems with a unit; write a number of stems with its unit, such as 300/ac or 740/ha`},
		{units.Pressure, "1e3psi", `"1e3psi" is not a pressure above zero; write a pressure with its unit, such as 5psi or 35kPa`},
	} {
		got, err := c.read(c.text)
		assert.EqualError(t, err, c.want)
		assert.Zero(t, got, c.text)
	}
	_, err := units.Length("50")
	var bad *units.Error
	require.ErrorAs(t, err, &bad)
	assert.EqualError(t, bad.Of("setback"), `setback "50" is not a length with a unit; write a length with its unit, such as 10ft, 18in or 3m`)
}

func FuzzQuantity(f *testing.F) {
	for _, s := range []string{"10ft", "6psi", "115kV", "20tons", "300/ac", "19.3deg", "35%", ".m", "1e9m", "NaNft", "\xff%"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, read := range []func(string) (float64, error){
			units.Length, units.Pressure, units.Voltage, units.Weight, units.Area, units.StemDensity,
		} {
			if v, err := read(s); (err == nil) != (v > 0) || math.IsInf(v, 0) {
				t.Fatalf("%q is %g, %v", s, v, err)
			}
		}
		if v, err := units.Slope(s); !(v >= 0) || math.IsInf(v, 0) || err != nil && v != 0 {
			t.Fatalf("%q is a slope of %g, %v", s, v, err)
		}
	})
}

func TestPSI(t *testing.T) {
	assert.InEpsilon(t, 1, units.PSI(6.894757), 1e-7) // NIST SP 811, as above
}
