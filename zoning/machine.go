package zoning

import (
	"github.com/acreband/acreband/zoning/coverage"
)

// Machine is one kind of machine a crew may bring, with the slopes it is held
// to. Limits are planning values: the machine's manual, the local code and a
// competent person on the ground decide. A limit of 0 is [NoLimit].
type Machine struct {
	Key  string // short name used in files, such as "track-loader"
	Name string // what people call it

	// LimitPct is the steepest ground the machine drives on, straight up and
	// down, in percent (rise over run times 100); CrossPct the steepest slope
	// across it, which turning puts the whole slope to; 0 holds it to none.
	LimitPct, CrossPct float64
	// Wet are those limits on wet ground. A limit of 0 is that of dry ground.
	Wet Limits
	// Swing and WetSwing are the limits where it stands and swings its boom. A
	// limit of 0 is that of driving.
	Swing, WetSwing Limits

	// ReachM is how far a boom works from the middle of the machine, in metres, 0 for
	// one without; ReachUpPct and ReachDownPct are the steepest faces that it
	// works above and below where it stands, in percent.
	ReachM, ReachUpPct, ReachDownPct float64

	// EdgePct is the fall, in percent, of faces from whose upper edge a boom keeps back where
	// it swings; 0 means [DefaultEdgePct], or the steepest ground it drives on where that is
	// more. It does not depend on the state of the ground.
	EdgePct float64

	// CrestM is how far it keeps back, in metres, from a crest beyond which the ground falls
	// steeper than it may drive for 10 ft of height or more; 0 means FootprintM.
	CrestM float64
	// FacePct is the fall, in percent, of faces whose crests count beside those of faces
	// steeper than it drives on; [Machine.On] sets it, to what dry ground keeps it back from.
	FacePct float64

	// ProcedureAbovePct is the slope in percent above which the machine needs
	// a written procedure for the site; 0 means none is asked for.
	ProcedureAbovePct float64

	// TetherAbovePct is the slope in percent above which the machine works on
	// a tether only; 0 means never. TetherBasis says where its manual allows
	// that; where it is "", ground above TetherAbovePct is not worked. TetherM is
	// the length of the tether in metres, Anchor the key of the machine that
	// holds its upper end.
	TetherAbovePct float64
	TetherBasis    string
	TetherM        float64
	Anchor         string

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
	// WidthM is how wide it is, in metres; 0 fits anywhere, through gates too.
	WidthM float64
	// WeightKg and HeightM are those of the machine itself, as it stands on the ground, not of
	// its load on the road; 0 where nobody says, and then it passes nothing
	// that is posted so.
	WeightKg, HeightM float64
	// RunM is the longest run up or down the fall line, in metres, on ground above
	// CrossPct to ground where it can turn; 0 means [DefaultRunM].
	RunM float64

	// TallestM and StemM are the tallest growth and the thickest stem that it
	// handles, in metres; 0 holds it to none.
	TallestM, StemM float64
	// PressureKPa is its pressure on the ground; 0 where it is not known, and then
	// it is kept off ground of which it is known what it bears.
	PressureKPa float64
	// PatchAcres is the smallest patch that is worth moving it to.
	PatchAcres float64
	// Work is what it is for.
	Work Work
	// ThrownM is the thrown-object distance in its head's manual, in metres; 0 means
	// [DefaultThrownM].
	ThrownM float64

	Basis   string // where the limit comes from
	Caution string // what to mind when this machine is planned
}

// Limits are the steepest slopes along and across a machine, in percent.
type Limits struct{ AlongPct, CrossPct float64 }

// Work is the kind of clearing a machine is for.
type Work string

// Kinds of work. A machine that is for neither in particular does both.
const (
	AnyWork    Work = ""
	Production Work = "production" // clears whole ground; kept out of selective clearing
	Selective  Work = "selective"  // works among what is to stay, and whole ground too
)

// Moisture is the state of the ground that a map assumes.
type Moisture string

// States of the ground.
const (
	Dry Moisture = "dry"
	Wet Moisture = "wet"
)

// On returns the machine as it is held on ground in some state: on ground that is not
// dry, its limits are those for wet ground and no higher than those for dry, and it works
// on no tether.
func (m Machine) On(ground Moisture) Machine {
	if ground == Dry || ground == "" {
		return m
	}
	if m.EdgePct == NoLimit {
		m.EdgePct = max(DefaultEdgePct, m.Driving().AlongPct)
	}
	if m.FacePct == NoLimit {
		m.FacePct = m.Driving().AlongPct
	}
	standing := m.Standing()
	driving := m.Wet.or(m.Driving()).least(m.Driving())
	m.Swing = m.WetSwing.or(standing).least(standing).least(driving)
	if m.TetherAbovePct > 0 { // off a tether along may be less than across
		driving.CrossPct = min(driving.CrossPct, driving.AlongPct)
		m.Swing.CrossPct = min(m.Swing.CrossPct, m.Swing.AlongPct)
	}
	m.LimitPct, m.CrossPct = driving.AlongPct, driving.CrossPct
	m.Wet, m.WetSwing = m.Wet.upTo(driving), m.WetSwing.upTo(m.Swing)
	m.TetherBasis = ""
	return m
}

// Driving returns the limits of a machine on the move and off a tether, [NoLimit]
// being none.
func (m Machine) Driving() Limits {
	l := Limits{m.LimitPct, m.CrossPct}
	if m.TetherAbovePct > 0 {
		l.AlongPct = min(l.AlongPct, m.TetherAbovePct)
	}
	return l
}

// SteepestPct is the steepest ground that the machine may be on at all: on a tether,
// where its manual allows one.
func (m Machine) SteepestPct() float64 {
	if m.TetherBasis != "" {
		return m.LimitPct
	}
	return m.Driving().AlongPct
}

// Standing returns the limits of a machine where it stands and works.
func (m Machine) Standing() Limits { return m.Swing.or(m.Driving()).least(m.Driving()) }

// or fills limits that are [NoLimit] from others.
func (l Limits) or(o Limits) Limits {
	if l.AlongPct == NoLimit {
		l.AlongPct = o.AlongPct
	}
	if l.CrossPct == NoLimit {
		l.CrossPct = o.CrossPct
	}
	return l
}

// upTo lowers limits to others that bound them; one that is left out stays so.
func (l Limits) upTo(most Limits) Limits {
	if most.AlongPct > 0 {
		l.AlongPct = min(l.AlongPct, most.AlongPct)
	}
	if most.CrossPct > 0 {
		l.CrossPct = min(l.CrossPct, most.CrossPct)
	}
	return l
}

// least is the lower of two limits, along and across, [NoLimit] being none.
func (l Limits) least(o Limits) Limits {
	lower := func(a, b float64) float64 {
		if a == NoLimit || b != NoLimit && b < a {
			return b
		}
		return a
	}
	return Limits{lower(l.AlongPct, o.AlongPct), lower(l.CrossPct, o.CrossPct)}
}

// DefaultRunM is how far from ground where it can turn a machine works ground that
// it cannot turn on: 200 ft (planning value, no source).
const DefaultRunM = 200 * MetresPerFoot

// DefaultThrownM is the distance to which a mulching head may throw objects: 300 ft
// (planning value; no regulator's number was found, the head's manual governs).
const DefaultThrownM = 300 * MetresPerFoot

// DefaultEdgePct is the fall of a face that does not stand by itself: 1 1/2 horizontal to 1
// vertical, the steepest slope of an excavation in the weakest soil (29 CFR 1926 subpart P,
// appendix B, type C; from memory).
const DefaultEdgePct = 100 / 1.5

// DefaultFootprintM stands for a footprint that is not given: tracks about 10 ft
// long (common practice, no source).
const DefaultFootprintM = 3.0

// MetresPerFoot is the international foot, exactly.
const MetresPerFoot = 0.3048

// MaxMachines is how many machines a fleet may hold.
const MaxMachines = coverage.MaxClasses
