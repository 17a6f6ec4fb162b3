package slope_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/slope"
)

// Slopes are rounded to 1/64, and stay as they are where the step below would put them under
// a limit: that limit, not another one, and no farther.
func TestRoundingBesideOneLimit(t *testing.T) {
	limit := float32(30.004)
	after := func(s float32) float32 { return math.Nextafter32(s, 99) }
	for name, c := range map[string]struct {
		limits []float64
		slope  float32
		want   float32
	}{
		"no limit":                     {nil, 30.006, 30},
		"over the limit":               {[]float64{float64(limit)}, 30.006, 30.006},
		"on the limit":                 {[]float64{float64(limit)}, limit, limit},
		"below the limit":              {[]float64{float64(limit)}, 30.003, 30},
		"below it and over others":     {[]float64{15, 30, float64(limit)}, 30.003, 30},
		"over it and others":           {[]float64{15, 30, float64(limit)}, 30.006, 30.006},
		"half a step up":               {[]float64{float64(limit)}, 30.0079, 30.015625},
		"over a limit on a step":       {[]float64{30}, after(30), 30},
		"on a step, the limit over it": {[]float64{30.0000005}, 30, 30},
		"beside limits that are none":  {[]float64{-0.03, 0, float64(limit)}, 0.001, 0},
		"a limit as steep as float32":  {[]float64{131072}, 131071.98, 131071.984375},
	} {
		got := []float32{c.slope}
		slope.NewRounding(c.limits).Pct(got)
		assert.Equal(t, c.want, got[0], name)
	}
	assert.Equal(t, 1.0/128, slope.RoundedOff, "half a step")
}
