package plan

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain/measure"
)

// Assumed figures stood for metric readers in the fleet file's units alone. An acre is 0.40468564224 ha, a
// mile 1.609344 km, a pound 0.45359237 kg, an inch 2.54 cm (NIST SP 811).
func TestAssumedFiguresInMetricToo(t *testing.T) {
	for written, want := range map[string]string{
		"0.3ac/h, 0.45ac/h, 0.7ac/h": "0.3ac/h, 0.45ac/h, 0.7ac/h (0.121ha/h, 0.182ha/h, 0.283ha/h)",
		"6ac/day":                    "6ac/day (2.43ha/day)",
		"$3,500/ac":                  "$3,500/ac ($8649/ha)",
		"$4/mi":                      "$4/mi ($2.49/km)",
		"30mi":                       "30mi (48.3km)",
		"3mph":                       "3mph (4.83km/h)",
		"75000lb":                    "75000lb (34019kg)",
		"8.5ft":                      "8.5ft (2.59m)",
		"100% at 4in, 60% at 6in":    "100% at 4in, 60% at 6in (100% at 10.2cm, 60% at 15.2cm)",
		"0mi":                        "0mi (0km)",
		"$95/h":                      "$95/h",
		"10h":                        "10h",
		"leave":                      "leave",
	} {
		assert.Equal(t, want, inUnits(measure.Metric, written))
		assert.Equal(t, written, inUnits(measure.US, written))
	}
}

// Every unit of figures that is not metric is turned, and what it is turned into is read as the same.
func TestEveryUnitOfFiguresIsTurned(t *testing.T) {
	for _, u := range []unit{acresPerHour, acresPerDay, perMile, perAcre, pounds, feet, inches, miles, milesPerHour} {
		turned, ok := strings.CutPrefix(inUnits(measure.Metric, u.example), u.example+" (")
		assert.True(t, ok, u.example)
		want, err := u.number(u.example)
		assert.NoError(t, err)
		got, err := u.number(strings.TrimSuffix(turned, ")"))
		assert.NoError(t, err)
		assert.InEpsilon(t, want, got, 0.005, turned)
	}
}
