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
		assert.Equal(t, Limits{40, 20}, m.Driving(on))
		assert.Equal(t, Limits{40, 20}, m.Standing(on))
	}
	m.Wet, m.Swing = Limits{30, 0}, Limits{25, 10}
	assert.Equal(t, Limits{40, 20}, m.Driving(Dry))
	assert.Equal(t, Limits{30, 20}, m.Driving(Wet))
	assert.Equal(t, Limits{25, 10}, m.Standing(Dry))
	assert.Equal(t, Limits{25, 10}, m.Standing(Wet), "wet ground allows no more, with a boom out too")
	m.Wet = Limits{15, 12}
	assert.Equal(t, Limits{15, 10}, m.Standing(Wet))
	m.WetSwing = Limits{0, 5}
	assert.Equal(t, Limits{15, 5}, m.Standing(Wet))

	// 0 across is no limit, not the lowest.
	none := Machine{LimitPct: 40, Wet: Limits{30, 0}, Swing: Limits{20, 10}}
	assert.Equal(t, Limits{30, 0}, none.Driving(Wet))
	assert.Equal(t, Limits{20, 10}, none.Standing(Wet))
	none.Swing.CrossPct = 0
	assert.Equal(t, Limits{20, 0}, none.Standing(Wet))
}
