package zoning

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Figures that no machine has were taken: a width of NaN or 1e9 m took all memory.
func TestFleetsThatAreRefused(t *testing.T) {
	require.NoError(t, Fleet([]Machine{everyLimit}).Check())
	for words, spoil := range map[string]func(*Machine){
		"has no key":           func(m *Machine) { m.Key = "" },
		"taken or reserved":    func(m *Machine) { m.Key = NoGoKey },
		"wet_limit 90%":        func(m *Machine) { m.Wet.AlongPct = 90 },
		"limit +Inf%":          func(m *Machine) { m.LimitPct, m.RatedMaxPct = math.Inf(1), 0 },
		"cross NaN%":           func(m *Machine) { m.CrossPct = math.NaN() },
		"width of NaNm":        func(m *Machine) { m.WidthM = math.NaN() },
		"width of 1e+09m":      func(m *Machine) { m.WidthM = 1e9 },
		"footprint of NaNm":    func(m *Machine) { m.FootprintM = math.NaN() },
		"footprint of -3m":     func(m *Machine) { m.FootprintM = -3 },
		"reach of 1e+09m":      func(m *Machine) { m.ReachM = 1e9 },
		"run of +Infm":         func(m *Machine) { m.RunM = math.Inf(1) },
		"tether of 1e+09m":     func(m *Machine) { m.TetherM = 1e9 },
		"step of NaNm":         func(m *Machine) { m.StepM = math.NaN() },
		"roughness of 30m":     func(m *Machine) { m.RoughM = 30 },
		"pressure of -1 kPa":   func(m *Machine) { m.PressureKPa = -1 },
		"patch of NaN acres":   func(m *Machine) { m.PatchAcres = math.NaN() },
		"edge of NaN%":         func(m *Machine) { m.EdgePct = math.NaN() },
		`"mow" is no kind`:     func(m *Machine) { m.Work = "mow" },
		"a basis for a tether": func(m *Machine) { m.TetherAbovePct = 0 },
	} {
		m := everyLimit
		spoil(&m)
		assert.ErrorContains(t, Fleet([]Machine{m}).Check(), words)
	}
	var many []Machine
	for i := range MaxMachines + 1 {
		many = append(many, Machine{Key: fmt.Sprint("m", i), LimitPct: 30})
	}
	require.NoError(t, Fleet(many[:MaxMachines]).Check())
	assert.EqualError(t, Fleet(many).Check(), "the fleet has 15 machines; at most 14 fit")
	assert.EqualError(t, Fleet(nil).Check(), "the fleet has no machine")
}
