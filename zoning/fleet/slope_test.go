package fleet_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/fleet"
)

// The angles are those of trigonometric tables, tan(angle) = percent/100, to
// the two decimals usually printed; 100% and 173.2% (100 · √3) are exact.
func TestParseSlopeDegreesAgainstTables(t *testing.T) {
	for _, c := range []struct {
		deg string
		pct float64
	}{
		{"16.70deg", 30}, {"19.29deg", 35}, {"21.80deg", 40},
		{"26.57deg", 50}, {"33.02deg", 65}, {"45deg", 100}, {"60deg", 173.2},
	} {
		got, err := fleet.ParseSlope(c.deg)
		require.NoError(t, err, c.deg)
		// Half of the last printed decimal of the angle: d(pct) is
		// 100 (1 + tan²) d(angle). 173.2 is itself rounded to a decimal.
		step := 100 * (1 + c.pct*c.pct/1e4) * 0.005 * math.Pi / 180
		assert.InDelta(t, c.pct, got, step+1e-9, c.deg)
	}

	at45, err := fleet.ParseSlope("45deg")
	require.NoError(t, err)
	assert.Equal(t, 100.0, at45, "tan 45deg is 1 exactly")
	at60, err := fleet.ParseSlope("60deg")
	require.NoError(t, err)
	assert.InDelta(t, 100*math.Sqrt(3), at60, 1e-9, "tan 60deg is the root of 3")
}

func TestParseSlopeAccepts(t *testing.T) {
	for s, pct := range map[string]float64{
		"35%": 35, "0%": 0, "0deg": 0, "35 %": 35, " 35% ": 35, "12.5%": 12.5,
		".5%": 0.5, "45 deg": 100, "45.0deg": 100, "300%": 300, "007%": 7,
	} {
		got, err := fleet.ParseSlope(s)
		require.NoError(t, err, s)
		assert.Equal(t, pct, got, s)
	}
	steep, err := fleet.ParseSlope("89.999deg")
	require.NoError(t, err)
	assert.Greater(t, steep, 5e6)
}

func TestParseSlopeRefuses(t *testing.T) {
	const cure = "; write a slope with its unit, such as 35% or 19.3deg"
	for s, want := range map[string]string{
		"35":       `"35" has no unit; write 35% for percent or 35deg for degrees`,
		" 0.35 ":   `"0.35" has no unit; write 0.35% for percent or 0.35deg for degrees`,
		"":         "the slope is empty" + cure,
		"  ":       "the slope is empty" + cure,
		"-5%":      `"-5%" is below zero` + cure,
		"-5deg":    `"-5deg" is below zero` + cure,
		"-5":       `"-5" is below zero` + cure,
		"-0%":      `"-0%" is below zero` + cure,
		"nan%":     `"nan%" is not a finite number` + cure,
		"NaN":      `"NaN" is not a finite number` + cure,
		"inf%":     `"inf%" is not a finite number` + cure,
		"-infdeg":  `"-infdeg" is not a finite number` + cure,
		"1e999%":   `"1e999%" is not a finite number` + cure,
		"90deg":    `"90deg" is not below 90deg` + cure,
		"120deg":   `"120deg" is not below 90deg` + cure,
		"1e1%":     `"1e1%" is not a plain decimal number` + cure,
		"0x1p5%":   `"0x1p5%" is not a plain decimal number` + cure,
		"+30%":     `"+30%" is not a plain decimal number` + cure,
		"%":        `"%" is not a slope` + cure,
		"deg":      `"deg" is not a slope` + cure,
		"30%%":     `"30%%" is not a slope` + cure,
		"30°":      `"30°" is not a slope` + cure,
		"19,3deg":  `"19,3deg" is not a slope` + cure,
		"1_000%":   `"1_000%" is not a plain decimal number` + cure,
		"35 per":   `"35 per" is not a slope` + cure,
		"30% 20%":  `"30% 20%" is not a slope` + cure,
		"3 5%":     `"3 5%" is not a slope` + cure,
		"30DEG":    `"30DEG" is not a slope` + cure,
		"thirty%":  `"thirty%" is not a slope` + cure,
		"1:3":      `"1:3" is not a slope` + cure,
		"16.7 rad": `"16.7 rad" is not a slope` + cure,
	} {
		got, err := fleet.ParseSlope(s)
		assert.EqualError(t, err, want, "%q", s)
		assert.Zero(t, got, "%q", s)
		var e *fleet.Error
		assert.ErrorAs(t, err, &e)
	}
}
