package zoning

import (
	"fmt"
	"math"
)

// FleetOn returns the machines of a fleet as they are held on ground in some state.
func FleetOn(fleet []Machine, ground Moisture) []Machine {
	out := make([]Machine, len(fleet))
	for i, m := range fleet {
		out[i] = m.On(ground)
	}
	return out
}

// LeastFootprintM is the smallest footprint of a fleet, in metres. Slope is taken
// over that one for all its machines: a longer machine feels less than this.
func LeastFootprintM(fleet []Machine) float64 {
	least := math.Inf(1)
	for _, m := range fleet {
		f := m.FootprintM
		if f == 0 {
			f = DefaultFootprintM
		}
		least = min(least, f)
	}
	return least
}

// figures are what a machine has beside its limits, each with the most that it may be: far
// more than a fleet file may say, and little enough to reckon with. 0 is none.
var figures = []struct {
	key  string
	of   func(Machine) float64
	most float64
	unit string
}{
	{"reach", func(m Machine) float64 { return m.ReachM }, 200, "m"},
	{"footprint", func(m Machine) float64 { return m.FootprintM }, 200, "m"},
	{"width", func(m Machine) float64 { return m.WidthM }, 100, "m"},
	{"step", func(m Machine) float64 { return m.StepM }, 100, "m"},
	{"roughness", func(m Machine) float64 { return m.RoughM }, 10, "m"},
	{"run", func(m Machine) float64 { return m.RunM }, 1e6, "m"},
	{"tether", func(m Machine) float64 { return m.TetherM }, 10000, "m"},
	{"tallest", func(m Machine) float64 { return m.TallestM }, 1000, "m"},
	{"stem", func(m Machine) float64 { return m.StemM }, 100, "m"},
	{"thrown", func(m Machine) float64 { return m.ThrownM }, 10000, "m"},
	{"pressure", func(m Machine) float64 { return m.PressureKPa }, 10000, " kPa"},
	{"patch", func(m Machine) float64 { return m.PatchAcres }, 1e6, " acres"},
	{"edge", func(m Machine) float64 { return m.EdgePct }, MaxLimitPct, "%"},
}

// CheckFleet returns the first reason a fleet cannot be used: no machine, more than fit
// a [Mask], a key missing, taken or reserved, a limit that breaks a rule of
// [Machine.CheckLimits], a figure that is no number or that no machine has, a kind of
// work that is none, or a basis for a tether that the machine does not work on. Whatever
// takes a fleet checks it so.
func CheckFleet(fleet []Machine) error {
	if len(fleet) == 0 {
		return fmt.Errorf("the fleet has no machine")
	}
	if len(fleet) > MaxMachines {
		return fmt.Errorf("the fleet has %d machines; at most %d fit", len(fleet), MaxMachines)
	}
	seen := map[string]bool{NoMachineKey: true, UnknownKey: true, NoGoKey: true}
	for i := range fleet {
		m := &fleet[i]
		switch {
		case m.Key == "":
			return fmt.Errorf("machine %d has no key", i+1)
		case seen[m.Key]:
			return fmt.Errorf("machine key %q is taken or reserved", m.Key)
		}
		seen[m.Key] = true
		if err := m.check(); err != nil {
			return err
		}
	}
	return nil
}

// check returns the first reason that the machine cannot be used.
func (m *Machine) check() error {
	if e := m.breach(); e != nil {
		return e
	}
	for _, f := range figures {
		if v := f.of(*m); !(v >= 0 && v <= f.most) {
			return fmt.Errorf("machine %q: %s of %g%s; write 0 to %.4g%s", m.Key, f.key, v, f.unit, f.most, f.unit)
		}
	}
	switch m.Work {
	case AnyWork, Production, Selective:
	default:
		return fmt.Errorf("machine %q: %q is no kind of work; write %s or %s, or leave it out", m.Key, string(m.Work), Production, Selective)
	}
	if m.TetherBasis != "" && m.TetherAbovePct == 0 {
		return fmt.Errorf("machine %q has a basis for a tether (%q) and no slope above which it works on one (tether_above)", m.Key, m.TetherBasis)
	}
	return nil
}
