package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/measure"
)

// Figures in metric units were refused. 1 ac is 0.40468564224 ha, 1 mi 1.609344 km, 1 lb 0.45359237 kg,
// 1 ft 0.3048 m (NIST SP 811).
func TestFiguresAreReadInEitherSystem(t *testing.T) {
	for _, c := range []struct {
		u          unit
		us, metric string
	}{
		{acresPerHour, "1ac/h", "0.40468564224ha/h"}, {acresPerDay, "1ac/day", "0.40468564224ha/day"},
		{perMile, "$1.609344/mi", "$1/km"}, {perAcre, "$40.468564224/ac", "$100/ha"}, {pounds, "1000lb", "453.59237kg"},
		{feet, "10ft", "3.048m"}, {inches, "4in", "10.16cm"}, {miles, "100mi", "160.9344km"}, {milesPerHour, "10mph", "16.09344km/h"},
	} {
		for _, system := range []measure.Units{measure.US, measure.Metric} {
			want, err := c.u.in(system).number(c.us)
			require.NoError(t, err, c.us)
			got, err := c.u.in(system).number(c.metric)
			require.NoError(t, err, c.metric)
			assert.InEpsilon(t, want, got, 1e-12, c.metric)
		}
		_, err := c.u.in(measure.Metric).number(c.u.also.example)
		assert.NoError(t, err, "the example is taken")
	}
	curve, err := inches.curve("100% at 10cm, 60% at 8in")
	require.NoError(t, err)
	assert.InDelta(t, 10/2.54, curve[0].At, 1e-12)
}

// What cannot be read is asked for in the system that people are told in, and noted as written.
func TestAJobIsSetInASystem(t *testing.T) {
	j := Default().Job
	require.NoError(t, j.SetIn(measure.Metric, "hand_work", "$8000/ha, $9000/ha, $10000/ha"))
	assert.InDelta(t, 9000/2.471053814671653, j.HandPerAcre.Likely, 1e-9)
	assert.Equal(t, "$8000/ha, $9000/ha, $10000/ha", j.text["hand_work"])
	for key, want := range map[string]string{
		"hand_work":  `hand_work: "9000" has no unit; write it with its unit, such as $8500/ha`,
		"haul_miles": `haul_miles: "9000" has no unit; write it with its unit, such as 50km`,
	} {
		assert.EqualError(t, j.SetIn(measure.Metric, key, "9000"), want)
	}
	assert.EqualError(t, j.SetIn(measure.Metric, "haul_miles", "9000km"), `haul_miles: "9000km" is out of range; write at most 8046.72km`)
	assert.EqualError(t, j.Set("haul_miles", "9000"), `haul_miles: "9000" has no unit; write it with its unit, such as 30mi`)
}
