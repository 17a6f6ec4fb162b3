package zoning

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// What is left out is taken over so that wet ground allows no more than dry, and
// standing no more than driving.
func TestLimitsLeftOut(t *testing.T) {
	m := Machine{LimitPct: 40, CrossPct: 20}
	for _, on := range []Moisture{Dry, Wet} {
		assert.Equal(t, Limits{40, 20}, m.On(on).Driving())
		assert.Equal(t, Limits{40, 20}, m.On(on).Standing())
	}
	m.Wet, m.Swing = Limits{30, 0}, Limits{25, 10}
	assert.Equal(t, Limits{40, 20}, m.On(Dry).Driving())
	assert.Equal(t, Limits{30, 20}, m.On(Wet).Driving())
	assert.Equal(t, Limits{25, 10}, m.On(Dry).Standing())
	assert.Equal(t, Limits{25, 10}, m.On(Wet).Standing(), "wet ground allows no more, with a boom out too")
	m.Wet = Limits{15, 12}
	assert.Equal(t, Limits{15, 10}, m.On(Wet).Standing())
	m.WetSwing = Limits{0, 5}
	assert.Equal(t, Limits{15, 5}, m.On(Wet).Standing())

	// 0 across is no limit, not the lowest.
	none := Machine{LimitPct: 40, Wet: Limits{30, 0}, Swing: Limits{20, 10}}
	assert.Equal(t, Limits{30, 0}, none.On(Wet).Driving())
	assert.Equal(t, Limits{20, 10}, none.On(Wet).Standing())
	none.Swing.CrossPct = 0
	assert.Equal(t, Limits{20, 0}, none.On(Wet).Standing())
}
