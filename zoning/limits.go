package zoning

import (
	"fmt"
	"maps"
	"math"
	"slices"
)

// Limit names a limit of a machine, as fleet files do.
type Limit string

// The limits of a machine, each a slope in percent.
const (
	AlongLimit     Limit = "limit"
	CrossLimit     Limit = "cross"
	WetLimit       Limit = "wet_limit"
	WetCross       Limit = "wet_cross"
	SwingLimit     Limit = "swing_limit"
	SwingCross     Limit = "swing_cross"
	WetSwingLimit  Limit = "wet_swing_limit"
	WetSwingCross  Limit = "wet_swing_cross"
	ReachUp        Limit = "reach_up"
	ReachDown      Limit = "reach_down"
	ProcedureAbove Limit = "procedure_above"
	TetherAbove    Limit = "tether_above"
	RatedMax       Limit = "rated_max"
)

// NoLimit is the value of a limit that a machine does not have of its own: it is held to
// what the field of [Machine] says in its place, or to nothing. No slope of 0% is a limit.
const NoLimit = 0.0

// MaxLimitPct is the steepest that any machine is planned for, 60deg.
const MaxLimitPct = 173.205080757

// Limit returns a limit of the machine in percent, [NoLimit] where it has none of its own.
func (m Machine) Limit(l Limit) (pct float64, known bool) {
	if of := m.limit(l); of != nil {
		return *of, true
	}
	return 0, false
}

func (m *Machine) limit(l Limit) *float64 {
	for i := range specs {
		if s := &specs[i]; s.Key == l && s.isLimit() {
			return s.Of(m)
		}
	}
	return nil
}

// LimitError says that a limit of a machine cannot be used.
type LimitError struct {
	Machine string // its key
	Limit   Limit
	Pct     float64 // as the machine is held, whether it has the limit of its own or not
	// Bound is the limit that it is above, and MostPct what that is; "" where it cannot be
	// used whatever the others are.
	Bound   Limit
	MostPct float64
}

func (e *LimitError) Error() string {
	switch {
	case new(Machine).limit(e.Limit) == nil:
		return fmt.Sprintf("machine %q has no limit %q", e.Machine, string(e.Limit))
	case e.Bound != "":
		return fmt.Sprintf("machine %q: %s %.10g%% is above its %s %.10g%%: %s", e.Machine, e.Limit, e.Pct, e.Bound, e.MostPct, e.rule())
	case e.Limit == AlongLimit && e.Pct > MaxLimitPct && !math.IsInf(e.Pct, 0):
		return fmt.Sprintf("machine %q: %s %.10g%% is above 60deg (173.2%%), the steepest that any machine is planned for", e.Machine, e.Limit, e.Pct)
	case e.Limit == AlongLimit && e.Pct == 0:
		return fmt.Sprintf("machine %q has limit 0%%; it must be above 0%%", e.Machine)
	}
	return fmt.Sprintf("machine %q: %s %g%% is no slope above 0%%", e.Machine, e.Limit, e.Pct)
}

// rule is the rule that the limit breaks.
func (e *LimitError) rule() string {
	switch {
	case e.Bound == RatedMax:
		return "no limit is set above the maker's rating"
	case e.AcrossAlong():
		return "a machine works no steeper across than along"
	case rowOf(e.Limit).Begins:
		return "it could never apply"
	}
	return "wet ground allows no more than dry, and a boom at work no more than driving"
}

// AcrossAlong reports whether the limit is one across that is above the one along.
func (e *LimitError) AcrossAlong() bool {
	return rowOf(e.Limit).Across() && rowOf(e.Bound).kind == alongKind
}

// rowOf is the row of a limit; an empty one of what is none.
func rowOf(l Limit) Spec {
	s, _ := SpecOf(l)
	return s
}

// CheckLimits returns the first limit of the machine that breaks a rule, as a
// [*LimitError]: every limit is a slope, 0% being none of its own, and that of driving
// above 0% and up to the rating and to 60deg; wet ground allows no more than dry, standing no more
// than driving, and across no more than along, also where a limit is taken over from
// another.
func (m Machine) CheckLimits() error {
	if e := m.breach(); e != nil {
		return e
	}
	return nil
}

func (m *Machine) breach() *LimitError {
	for i := range specs {
		s := &specs[i]
		pct := *s.Of(m)
		isSlope := pct >= 0 && !math.IsInf(pct, 0)
		if s.isLimit() && (!isSlope || s.Key == AlongLimit && (pct == 0 || pct > MaxLimitPct)) {
			return &LimitError{Machine: m.Key, Limit: s.Key, Pct: pct}
		}
	}
	for i := range specs {
		s := &specs[i]
		for _, bound := range s.upTo {
			if pct, most := *s.Of(m), *m.limit(bound); most != NoLimit && pct > most {
				return &LimitError{m.Key, s.Key, pct, bound, most}
			}
		}
	}
	return m.heldAcross()
}

// heldAcross compares across with along as the machine is held in each state.
func (m *Machine) heldAcross() *LimitError {
	untethered := *m
	untethered.TetherAbovePct = NoLimit // a tether holds up to the limit
	wet := untethered.On(Wet)
	for _, s := range []struct {
		cross, along Limit
		Limits
	}{
		{CrossLimit, AlongLimit, untethered.Driving()},
		{WetCross, WetLimit, wet.Driving()},
		{SwingCross, SwingLimit, untethered.Standing()},
		{WetSwingCross, WetSwingLimit, wet.Standing()},
	} {
		if s.CrossPct > s.AlongPct {
			return &LimitError{m.Key, s.cross, s.CrossPct, s.along, s.AlongPct}
		}
	}
	return nil
}

// With returns the machine with one of its limits changed, in percent. Limits that go with
// one that is lowered are lowered with it, so that none stands above what bounds it: see
// [Machine.CheckLimits]. A limit that is itself set above what bounds it is refused with
// a [*LimitError], and so is one that is no slope, or 0%.
//
// A limit on a tether, or on a procedure, is kept where the machine is held below it: it
// counts again once the machine is not.
func (m Machine) With(l Limit, pct float64) (Machine, error) {
	return m.WithLimits(map[Limit]float64{l: pct})
}

// WithLimits is [Machine.With] for several limits at once.
func (m Machine) WithLimits(pct map[Limit]float64) (Machine, error) {
	changed := m
	for _, l := range slices.Sorted(maps.Keys(pct)) {
		of := changed.limit(l)
		if of == nil || !(pct[l] > 0) {
			return m, &LimitError{Machine: m.Key, Limit: l, Pct: pct[l]}
		}
		*of = pct[l]
	}
	for {
		e := changed.breach()
		if e == nil {
			break
		}
		if _, asked := pct[e.Limit]; asked || e.Bound == "" {
			return m, e
		}
		*changed.limit(e.Limit) = e.MostPct // lower than it was: this comes to an end
	}
	for i := range specs {
		s := &specs[i]
		if at, asked := pct[s.Key]; asked && s.Begins && at >= changed.LimitPct {
			return m, &LimitError{m.Key, s.Key, at, AlongLimit, changed.LimitPct}
		}
	}
	return changed, nil
}

// leastLimitPct stands for a limit of which a margin leaves nothing: no ground is below
// it, while 0 would be no limit.
const leastLimitPct = 1e-3

// Inside returns the machine held inside its limits, as for a margin: inside gives what is
// left of a limit along or across. It never comes out above the limit, and where nothing
// is left no ground is below it. The slopes above which a procedure or a tether is asked
// for are lowered as limits along are, and so is the fall whose edge a boom keeps back
// from. The maker's rating stays.
func (m Machine) Inside(alongOf, acrossOf func(pct float64) float64) Machine {
	held := m
	lower := func(pct *float64, of func(float64) float64) {
		if *pct == NoLimit {
			return // it asks for nothing
		}
		left := of(*pct)
		if !(left > leastLimitPct) { // nor where it is no number
			left = leastLimitPct
		}
		*pct = min(left, *pct)
	}
	for i := range specs {
		switch s := &specs[i]; s.kind {
		case alongKind:
			lower(s.Of(&held), alongOf)
		case acrossKind:
			lower(s.Of(&held), acrossOf)
		}
	}
	for e := held.breach(); e != nil && e.Bound != ""; e = held.breach() {
		*held.limit(e.Limit) = e.MostPct
	}
	return held
}
