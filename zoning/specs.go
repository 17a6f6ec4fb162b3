package zoning

import (
	"cmp"
	"math"
	"slices"
)

// Spec is one number of a machine's specification: what fleet files call it, its unit and
// bounds, and how it holds the machine. Whatever reads, checks, compares or changes
// machines ranges over [Specs]; a new number is a field of [Machine] and a row there.
type Spec struct {
	Key  Limit                   // its key in fleet files; [Machine.Limit] knows those that are slopes
	Unit SpecUnit                // of the field that holds it
	Of   func(*Machine) *float64 // that field
	// Ground is the ground that it holds on: [Wet], or "" for any, wet ground too unless
	// one for wet ground says less. Standing is whether it holds only where the machine
	// stands and swings its boom.
	Ground   Moisture
	Standing bool
	// Least and Most bound it in fleet files, with units as there: only a mistaken unit or
	// a slipped decimal is beyond. "" for slopes, which [Machine.CheckLimits] bounds.
	Least, Most string
	// Cure says what to write in place of one that cannot be used; "" where fleet files do
	// not have it.
	Cure string
	// ForOneMap is what people call it where it may be changed for one map, "" where not.
	ForOneMap string
	// Begins is whether more is asked of the machine on ground above it, so that it means
	// nothing unless it is below the limit.
	Begins bool

	sense sense
	none  float64 // what it counts as, for sense, where it is 0
	// otherwise is the number that stands in its place where it is 0; "" for none.
	otherwise Limit
	kind      limitKind
	upTo      []Limit // those that it may not be above; 0 on either side bounds nothing
	// most is the most that a machine may have: far more than a fleet file may say, and
	// little enough to reckon with; 0 for slopes that CheckLimits bounds.
	most float64
}

// SpecUnit is the unit of a number of a machine.
type SpecUnit string

// Units of a machine's numbers.
const (
	Percent     SpecUnit = "%" // rise over run times 100
	Metres      SpecUnit = "m"
	Kilopascals SpecUnit = "kPa"
	AcreUnit    SpecUnit = "acres"
	Kilograms   SpecUnit = "kg"
)

// sense is which of two values leaves a machine more ground.
type sense int

const (
	alone   sense = iota // neither by itself: see AsLax
	greater              // the greater one
	smaller              // the smaller one
)

// limitKind tells slopes apart that a margin treats in its own way.
type limitKind int

const (
	notKept    limitKind = iota // no slope to work by
	alongKind                   // along the machine
	acrossKind                  // across it
)

const (
	asDry     = "write a slope above 0%, or delete the line to hold it to that of dry ground; for one that stays off wet ground, write 0.1%"
	asDriving = "write a slope above 0%, or delete the line to hold it to that of driving"
	noFace    = "write the steepest face it works, or delete the line if it works none that way"
)

// specs is the one table of what machines are held to, in the order of fleet files.
var specs = [...]Spec{
	{Key: AlongLimit, Unit: Percent, Of: func(m *Machine) *float64 { return &m.LimitPct },
		kind: alongKind, upTo: []Limit{RatedMax}, ForOneMap: "up and down", Cure: "write the steepest slope it works, such as 30%"},
	{Key: CrossLimit, Unit: Percent, Of: func(m *Machine) *float64 { return &m.CrossPct },
		kind: acrossKind, ForOneMap: "across", Cure: "write the steepest slope across it, or delete the line if it is held to none"},
	{Key: WetLimit, Unit: Percent, Of: func(m *Machine) *float64 { return &m.Wet.AlongPct }, Ground: Wet,
		kind: alongKind, upTo: []Limit{AlongLimit}, ForOneMap: "up and down, wet", Cure: asDry},
	{Key: WetCross, Unit: Percent, Of: func(m *Machine) *float64 { return &m.Wet.CrossPct }, Ground: Wet,
		kind: acrossKind, upTo: []Limit{CrossLimit}, ForOneMap: "across, wet", Cure: asDry},
	{Key: SwingLimit, Unit: Percent, Of: func(m *Machine) *float64 { return &m.Swing.AlongPct }, Standing: true,
		kind: alongKind, upTo: []Limit{AlongLimit}, Cure: asDriving},
	{Key: SwingCross, Unit: Percent, Of: func(m *Machine) *float64 { return &m.Swing.CrossPct }, Standing: true,
		kind: acrossKind, upTo: []Limit{CrossLimit}, Cure: asDriving},
	{Key: WetSwingLimit, Unit: Percent, Of: func(m *Machine) *float64 { return &m.WetSwing.AlongPct }, Ground: Wet, Standing: true,
		kind: alongKind, upTo: []Limit{SwingLimit, WetLimit, AlongLimit}, Cure: asDry},
	{Key: WetSwingCross, Unit: Percent, Of: func(m *Machine) *float64 { return &m.WetSwing.CrossPct }, Ground: Wet, Standing: true,
		kind: acrossKind, upTo: []Limit{SwingCross, WetCross, CrossLimit}, Cure: asDry},
	{Key: "reach", Unit: Metres, Of: func(m *Machine) *float64 { return &m.ReachM },
		sense: greater, Least: "3ft", Most: "60ft", most: 200, Cure: "write how far the boom works from the middle of the machine"},
	{Key: ReachUp, Unit: Percent, Of: func(m *Machine) *float64 { return &m.ReachUpPct },
		kind: alongKind, sense: greater, Cure: noFace},
	{Key: ReachDown, Unit: Percent, Of: func(m *Machine) *float64 { return &m.ReachDownPct },
		kind: alongKind, sense: greater, Cure: noFace},
	{Key: "edge", Unit: Percent, Of: func(m *Machine) *float64 { return &m.EdgePct },
		kind: alongKind, most: MaxLimitPct},
	{Key: "face", Unit: Percent, Of: func(m *Machine) *float64 { return &m.FacePct },
		kind: alongKind, most: MaxLimitPct},
	{Key: ProcedureAbove, Unit: Percent, Of: func(m *Machine) *float64 { return &m.ProcedureAbovePct }, Begins: true,
		kind: alongKind, Cure: "delete the line if no procedure is asked for; for one on all ground, write 0.1%"},
	{Key: TetherAbove, Unit: Percent, Of: func(m *Machine) *float64 { return &m.TetherAbovePct }, Begins: true,
		kind: alongKind, ForOneMap: "up and down, off a tether", Cure: "delete the line if no tether is asked for; for one on all ground, write 0.1%"},
	{Key: "tether", Unit: Metres, Of: func(m *Machine) *float64 { return &m.TetherM },
		Least: "10ft", Most: "2000ft", most: 10000, Cure: "write the length of its tether"},
	{Key: RatedMax, Unit: Percent, Of: func(m *Machine) *float64 { return &m.RatedMaxPct },
		Cure: "enter the rating from the machine's manual, or delete the line"},
	{Key: "footprint", Unit: Metres, Of: func(m *Machine) *float64 { return &m.FootprintM },
		sense: smaller, none: DefaultFootprintM, Least: "2ft", Most: "50ft", most: 200, Cure: "write the length of the ground it stands on"},
	{Key: "width", Unit: Metres, Of: func(m *Machine) *float64 { return &m.WidthM },
		sense: smaller, Least: "2ft", Most: "20ft", most: 100, Cure: "write how wide it is with its head"},
	{Key: "weight", Unit: Kilograms, Of: func(m *Machine) *float64 { return &m.WeightKg },
		sense: smaller, none: math.Inf(1), Least: "500lb", Most: "300000lb", most: 1e6, Cure: "write what the machine weighs with its head, without truck and trailer"},
	{Key: "height", Unit: Metres, Of: func(m *Machine) *float64 { return &m.HeightM },
		sense: smaller, none: math.Inf(1), Least: "1ft", Most: "30ft", most: 100, Cure: "write how high it stands on the ground, without truck and trailer"},
	{Key: "step", Unit: Metres, Of: func(m *Machine) *float64 { return &m.StepM },
		sense: greater, none: math.Inf(1), Least: "1in", Most: "6ft", most: 100, Cure: "write the greatest step it crosses"},
	{Key: "roughness", Unit: Metres, Of: func(m *Machine) *float64 { return &m.RoughM },
		sense: greater, none: math.Inf(1), Least: "1in", Most: "3ft", most: 10, Cure: "write the greatest roughness it works"},
	{Key: "crest", Unit: Metres, Of: func(m *Machine) *float64 { return &m.CrestM },
		sense: smaller, otherwise: "footprint", Least: "2ft", Most: "100ft", most: 200, Cure: "write how far it keeps back from a crest, or delete the line if by its own length"},
	{Key: "run", Unit: Metres, Of: func(m *Machine) *float64 { return &m.RunM },
		sense: greater, none: DefaultRunM, Least: "20ft", Most: "2000ft", most: 1e6, Cure: "write the longest run up or down to where it can turn"},
	{Key: "tallest", Unit: Metres, Of: func(m *Machine) *float64 { return &m.TallestM },
		sense: greater, none: math.Inf(1), Least: "1ft", Most: "300ft", most: 1000, Cure: "write the height of the tallest growth it handles"},
	{Key: "stem", Unit: Metres, Of: func(m *Machine) *float64 { return &m.StemM },
		sense: greater, none: math.Inf(1), Least: "0.5in", Most: "4ft", most: 100, Cure: "write the thickness of the thickest stem it handles"},
	{Key: "pressure", Unit: Kilopascals, Of: func(m *Machine) *float64 { return &m.PressureKPa },
		sense: smaller, none: math.Inf(1), Least: "0.5psi", Most: "60psi", most: 10000, Cure: "write its pressure on the ground from the manual"},
	{Key: "patch", Unit: AcreUnit, Of: func(m *Machine) *float64 { return &m.PatchAcres },
		sense: smaller, Least: "0.001ac", Most: "100ac", most: 1e6, Cure: "write the smallest patch worth moving it to"},
	{Key: "thrown", Unit: Metres, Of: func(m *Machine) *float64 { return &m.ThrownM },
		Least: "30ft", Most: "2000ft", most: 10000, Cure: "write the thrown-object distance in its head's manual"},
}

// Specs returns what machines are held to, in the order of fleet files.
func Specs() []Spec { return slices.Clone(specs[:]) }

// SpecOf returns the row of a key, and whether there is one.
func SpecOf(key Limit) (Spec, bool) {
	for i := range specs {
		if specs[i].Key == key {
			return specs[i], true
		}
	}
	return Spec{}, false
}

// AsLax reports whether the number by itself leaves o all ground that it leaves m. It is
// true of those that keep a machine off no ground and of those that hold only together
// with others: a tether, and the slopes of [Machine.Driving] and [Machine.Standing].
func (s Spec) AsLax(o, m Machine) bool {
	ofO, ofM := s.counts(&o), s.counts(&m)
	switch s.sense {
	case greater:
		return ofO >= ofM
	case smaller:
		return ofO <= ofM
	}
	return true
}

// counts is what the number of a machine counts as.
func (s *Spec) counts(m *Machine) float64 {
	if v := *s.Of(m); v != 0 || s.otherwise == "" {
		return cmp.Or(v, s.none)
	}
	instead, _ := SpecOf(s.otherwise)
	return instead.counts(m)
}

// Across reports whether the number is a slope across the machine.
func (s Spec) Across() bool { return s.kind == acrossKind }

// isLimit reports whether the number is a slope that [Machine.CheckLimits] bounds.
func (s *Spec) isLimit() bool { return s.Unit == Percent && s.most == 0 }
