package zoning

import (
	"fmt"
	"math"
)

// Machine is one kind of machine a crew may bring, with the slopes it is held
// to. Limits are planning values: the machine's manual, the local code and a
// competent person on the ground decide.
type Machine struct {
	Key  string // short name used in files, such as "track-loader"
	Name string // what people call it

	// LimitPct is the steepest ground the machine works, straight up and
	// down, in percent (rise over run times 100).
	LimitPct float64

	// ProcedureAbovePct is the slope in percent above which the machine needs
	// a written procedure for the site; 0 means none is asked for.
	ProcedureAbovePct float64

	// TetherAbovePct is the slope in percent above which the machine works on
	// a tether only; 0 means never.
	TetherAbovePct float64

	// RatedMaxPct is the maker's rating in percent as its owner read it in the
	// manual; 0 means not entered. It caps LimitPct and is never printed as
	// what the machine can do.
	RatedMaxPct float64

	// FootprintM is the length of the ground the machine stands on, in metres: the
	// scale at which it feels slope; 0 means [DefaultFootprintM]. StepM is the
	// greatest step between neighbouring cells of a footprint that it crosses, and
	// RoughM the greatest root mean square roughness it works; 0 means that no
	// limit is set. Both count only at machine scale.
	FootprintM, StepM, RoughM float64

	Basis   string // where the limit comes from
	Caution string // what to mind when this machine is planned
}

// DefaultFootprintM stands for a footprint that is not given: tracks about 10 ft
// long (common practice, no source).
const DefaultFootprintM = 3.0

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

// MaxMachines is how many machines a fleet may hold: the bits of a [Mask] that
// are free for them.
const MaxMachines = 14

// Mask is the set of machines that may stand on, or work, one cell: bit i is
// machine i in fleet order. A cell without elevation is [Unknown], never a
// set of machines.
type Mask uint16

// Marks of cells that are no set of machines.
const (
	// Unknown marks a cell whose slope the elevation does not tell.
	Unknown Mask = 1 << 15
	// NoGo marks a cell that is closed to every machine, whatever its slope.
	NoGo Mask = 1 << 14
)

// First returns the first machine of the set in fleet order, or -1 where the
// set is empty or unknown.
func (m Mask) First() int {
	if m&(Unknown|NoGo) != 0 {
		return -1
	}
	for i := range MaxMachines {
		if m&(1<<i) != 0 {
			return i
		}
	}
	return -1
}

// Keys of the bands that are no machine.
const (
	NoMachineKey = "no-machine"
	UnknownKey   = "unknown"
	NoGoKey      = "no-go"
)

// Band is one answer a cell can have: the first machine that may work it, no
// machine, unknown, or closed to machines.
type Band struct {
	Key     string
	Name    string
	Machine int // index in the fleet; -1 for the others
}

// Bands returns a fleet's bands in the order maps list them: each machine, no
// machine, unknown, no-go.
func Bands(fleet []Machine) []Band {
	bands := make([]Band, 0, len(fleet)+3)
	for i, m := range fleet {
		bands = append(bands, Band{m.Key, m.Name, i})
	}
	return append(bands,
		Band{NoMachineKey, "No machine: hand work or leave", -1},
		Band{UnknownKey, "No elevation data", -1},
		Band{NoGoKey, "No-go: closed to machines", -1})
}

// BandOf returns the index in [Bands] of the band a mask belongs to, for a
// fleet of n machines.
func BandOf(m Mask, n int) int {
	switch {
	case m&NoGo != 0:
		return n + 2
	case m&Unknown != 0:
		return n + 1
	}
	if i := m.First(); i >= 0 {
		return i
	}
	return n
}

// CheckFleet reports the first reason a fleet cannot be used: no machine, too
// many, a key missing, taken or reserved, or a limit that is not a positive
// slope.
func CheckFleet(fleet []Machine) error {
	if len(fleet) == 0 {
		return fmt.Errorf("the fleet has no machine")
	}
	if len(fleet) > MaxMachines {
		return fmt.Errorf("the fleet has %d machines; at most %d fit", len(fleet), MaxMachines)
	}
	seen := map[string]bool{NoMachineKey: true, UnknownKey: true, NoGoKey: true}
	for i, m := range fleet {
		switch {
		case m.Key == "":
			return fmt.Errorf("machine %d has no key", i+1)
		case seen[m.Key]:
			return fmt.Errorf("machine key %q is taken or reserved", m.Key)
		case !(m.LimitPct > 0):
			return fmt.Errorf("machine %q has limit %g%%; it must be above 0%%", m.Key, m.LimitPct)
		}
		seen[m.Key] = true
	}
	return nil
}
