package plan

import (
	"fmt"
	"math"
)

// figure is one figure of a machine or a job, with what it may be. An optional one may be
// zero, for not given.
type figure struct {
	key      string
	r        Range
	in       unit
	optional bool
}

// ranged is a figure with a range.
func ranged(key string, r Range, in unit) figure { return figure{key, r, in, false} }

// needed is one without.
func needed(key string, v float64, in unit) figure { return ranged(key, Range{v, v, v}, in) }

// ifGiven is one that need not be given, and is zero then.
func ifGiven(key string, v float64, in unit) figure { return figure{key, Range{v, v, v}, in, true} }

// checkFigures holds figures to the bounds that files are held to: fields may be set
// without [Figures.Set] and [Job.Set].
func checkFigures(of string, all []figure) error {
	for _, f := range all {
		r := f.r
		switch {
		case f.optional && r == (Range{}):
		case !(r.Low <= r.Likely && r.Likely <= r.High):
			return &Error{fmt.Sprintf("%s: %s has %g, %g and %g as low, likely and high", of, f.key, r.Low, r.Likely, r.High), "give numbers that rise"}
		case r.Low < 0 || r.Low == 0 && !f.in.zero:
			return &Error{fmt.Sprintf("%s: %s is %g", of, f.key, r.Low), "give a number above zero"}
		case !atMost(r.High, f.in.most):
			return &Error{fmt.Sprintf("%s: %s is %g", of, f.key, r.High), fmt.Sprintf("give at most %g", f.in.most)}
		}
	}
	return nil
}

// checkNumbers says which figure of a job cannot be used.
func (j *Job) checkNumbers() error {
	return checkFigures("job", []figure{
		needed("haul_miles", j.HaulMiles, miles), needed("haul_speed", j.HaulMPH, milesPerHour),
		ranged("support_truck", j.SupportTruck, perHour), ranged("productive", j.Productive, percent),
		needed("day", j.DayH, dayHours), needed("week", j.WeekDays, weekDays), ranged("weather", j.Weather, lossPercent),
		ranged("obstacles", j.Obstacles, percent), ranged("finish", j.Finish, percent),
		ranged("hand_work", j.HandPerAcre, perAcre), needed("left_standing", j.StandingPerAcre, perAcre),
		needed("worth", j.WorthPerAcre, perAcre), needed("least_work", j.LeastWorkDays, leastDays), needed("minimum_charge", j.MinimumUSD, money), needed("overhead", j.Overhead, addPercent),
		needed("contingency", j.Contingency, addPercent), needed("margin", j.Margin, lossPercent),
		ifGiven("window", j.WindowDays, days), ifGiven("days", j.Days, days), ifGiven("budget", j.BudgetUSD, money), ifGiven("bridge", j.BridgeLb, pounds),
		ifGiven("gate", j.GateFt, feet), needed("tree_height", j.TreeFt, feet),
	})
}

// check says which figure of a machine cannot be used.
func (f *Figures) check() error {
	all := []figure{
		ranged("machine", f.Machine, perHour), ranged("operator", f.Operator, perHour),
		ranged("fuel", f.Fuel, perHour), ranged("teeth", f.Teeth, perHour),
		ifGiven("width", f.WidthFt, feet), ifGiven("height", f.HeightFt, feet), ifGiven("gross_weight", f.GrossLb, pounds), needed("haul_rate", f.HaulPerMile, perMile),
		needed("handling", f.HandlingH, hours), needed("permit", f.PermitUSD, money), {"walk_speed", Range{f.WalkMPH, f.WalkMPH, f.WalkMPH}, milesPerHour, f.text["walk_speed"] == ""},
	}
	for _, c := range Classes() {
		in := acresPerHour
		if f.Rate[c].PerDay {
			in = acresPerDay
		}
		all = append(all, figure{rateKey(c), f.Rate[c].Range, in, true})
	}
	if err := checkFigures(f.Key, all); err != nil {
		return err
	}
	switch {
	case f.Owned < 0:
		return &Error{fmt.Sprintf("%s: owned is %d", f.Key, f.Owned), "give how many there are"}
	case f.Loads < 1 || f.Loads > mostLoads:
		return &Error{fmt.Sprintf("%s: loads is %d", f.Key, f.Loads), fmt.Sprintf("give a number from 1 to %d", mostLoads)}
	}
	if err := f.SlopeFactor.check(); err != nil {
		return inKey(f.Key+": slope_factor", err)
	}
	if err := f.StemFactor.check(); err != nil {
		return inKey(f.Key+": stem_factor", err)
	}
	return nil
}

// mostLoads is how many truck loads a machine may travel in.
const mostLoads = 20

// check says what of a curve is no factor, or does not rise.
func (c Curve) check() error {
	before := math.Inf(-1)
	for _, k := range c {
		if !(k.Factor > 0 && finite(k.Factor)) {
			return &Error{fmt.Sprintf("a factor is %g", k.Factor), "give a number above zero"}
		}
		if !(k.At > before && finite(k.At)) {
			return &Error{fmt.Sprintf("a point at %g follows one at %g", k.At, before), "give points that rise"}
		}
		before = k.At
	}
	return nil
}
