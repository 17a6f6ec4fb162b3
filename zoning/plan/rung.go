package plan

import (
	"math"

	"github.com/acreband/acreband/zoning"
)

// Rung is a crew of a ladder, with what it clears and what it leaves.
type Rung struct {
	Option
	Acres float64 // net acres that it clears, those of hand work among them
	// ExtraPerAcreUSD is the price of each acre more than on the rung below; NaN on the
	// first.
	ExtraPerAcreUSD float64
	// Left is what the crew does not clear, by why; with Acres it adds up to the ground.
	Left []Left
	// Waits is what of Left the crew works once the ground is dry, by machine.
	Waits []Waiting
}

// Left is ground that a crew does not clear. Why is one of the keys of package zoning for
// ground that no machine works, or one of those here.
type Left struct {
	Why   string
	Acres float64
}

// Why ground is left, beside the keys of the zones of a planned map.
const (
	LeftByDays   = "no-days"   // the crew would work it, and has no days left
	LeftByBudget = "no-budget" // the crew would work it, and the budget is spent
	LeftByChoice = "kept"      // not to be cleared: gross acres less net
)

// Waiting is ground that waits until it is dry for a machine of the crew.
type Waiting struct {
	Key, Name string
	Acres     float64
}

// rung works a step out; below is nil for the first.
func (b *bidder) rung(s step, below *step, drawn []values) Rung {
	r := Rung{Option: b.option(Cheapest, s.assignment, drawn), Acres: s.acres, ExtraPerAcreUSD: math.NaN()}
	if below != nil {
		r.ExtraPerAcreUSD = (s.priceUSD - below.priceUSD) / (s.acres - below.acres)
	}
	acres := map[string]float64{}
	for _, piece := range b.site.Pieces {
		switch {
		case piece.May&zoning.NoGo != 0:
			acres[zoning.NoGoKey] += piece.GrossAcres
		case piece.May&zoning.Unknown != 0:
			acres[zoning.UnknownKey] += piece.GrossAcres
		default:
			acres[LeftByChoice] += piece.GrossAcres - piece.NetAcres
		}
	}
	waits := make([]float64, len(b.kinds))
	for i := range b.lumps {
		l := &b.lumps[i]
		left := (1 - s.share[i]) * l.acres
		if left == 0 {
			continue
		}
		why := b.why(s.assignment, i)
		acres[why] += left
		if why == zoning.WaitsDryKey {
			waits[b.whenDry(s.crew, l)] += left
		}
	}
	for _, why := range []string{zoning.NeedsMachineKey, zoning.WaitsDryKey, zoning.NoMachineKey, LeftByDays, LeftByBudget,
		zoning.UnknownKey, zoning.NoGoKey, LeftByChoice} {
		if acres[why] > 0 {
			r.Left = append(r.Left, Left{why, acres[why]})
		}
	}
	for k, a := range waits {
		if a > 0 {
			r.Waits = append(r.Waits, Waiting{b.kinds[k].machine.Key, b.kinds[k].machine.Name, a})
		}
	}
	return r
}
