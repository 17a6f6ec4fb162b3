package zoning

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// Fleet is the machines that may come, in the order in which ground is given to them:
// each cell to the first that may work it. [NewFleet] makes one that can be used, and
// whatever maps for a fleet refuses one that [Fleet.Check] does. The zero Fleet has no
// machine: its bands are those that are no machine.
type Fleet []Machine

// NewFleet returns a fleet of its own of the machines, in their order, or the first reason
// why they make none: see [Fleet.Check].
func NewFleet(machines []Machine) (Fleet, error) {
	f := Fleet(slices.Clone(machines))
	if err := f.Check(); err != nil {
		return nil, err
	}
	return f, nil
}

// On returns the machines of the fleet as they are held on ground in some state.
func (f Fleet) On(ground Moisture) Fleet {
	out := make(Fleet, len(f))
	for i, m := range f {
		out[i] = m.On(ground)
	}
	return out
}

// LeastFootprintM is the smallest footprint of the fleet, in metres; +Inf without a machine.
// Slope is taken over that one for all its machines: a longer machine feels less than this.
func (f Fleet) LeastFootprintM() float64 {
	least := math.Inf(1)
	for _, m := range f {
		least = min(least, cmp.Or(m.FootprintM, DefaultFootprintM))
	}
	return least
}

// StepCareM is the least step, in metres, that any machine of the fleet is held to:
// smaller ones need not be told apart. +Inf where none is held to any.
func (f Fleet) StepCareM() float64 {
	care := math.Inf(1)
	for _, m := range f {
		if m.StepM > 0 {
			care = min(care, m.StepM)
		}
	}
	return care
}

// Check returns the first reason the fleet cannot be used: no machine, more than fit
// a [Mask], a key missing, taken or reserved, a limit that breaks a rule of
// [Machine.CheckLimits], a figure that is no number or that no machine has, a kind of
// work that is none, or a basis for a tether that the machine does not work on.
func (f Fleet) Check() error {
	if len(f) == 0 {
		return fmt.Errorf("the fleet has no machine")
	}
	if len(f) > MaxMachines {
		return fmt.Errorf("the fleet has %d machines; at most %d fit", len(f), MaxMachines)
	}
	seen := map[string]bool{}
	for _, key := range []string{NeedsMachineKey, WaitsDryKey, NoMachineKey, UnknownKey, NoGoKey} {
		seen[column(key)] = true
	}
	for i := range f {
		m := &f[i]
		switch {
		case m.Key == "":
			return fmt.Errorf("machine %d has no key", i+1)
		case seen[column(m.Key)]:
			return fmt.Errorf("machine key %q is taken or reserved", m.Key)
		}
		seen[column(m.Key)] = true
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
	for i := range specs {
		s := &specs[i]
		if v := *s.Of(m); !s.isLimit() && !(v >= 0 && v <= s.most) {
			unit := string(s.Unit)
			if len(unit) > 1 {
				unit = " " + unit
			}
			return fmt.Errorf("machine %q: %s of %g%s; write 0 to %.4g%s", m.Key, s.Key, v, unit, s.most, unit)
		}
	}
	switch m.Work {
	case AnyWork, Production, Selective:
	default:
		return fmt.Errorf("machine %q: %q is no kind of work; write %s or %s, or leave it out", m.Key, string(m.Work), Production, Selective)
	}
	if m.TetherBasis != "" && m.TetherAbovePct == NoLimit {
		return fmt.Errorf("machine %q has a basis for a tether (%q) and no slope above which it works on one (tether_above)", m.Key, m.TetherBasis)
	}
	return nil
}

// column is a key as the names of columns hold it: two keys of one column would be one figure.
func column(key string) string { return strings.ReplaceAll(key, "-", "_") }
