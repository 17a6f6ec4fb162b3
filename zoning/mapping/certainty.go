package mapping

import (
	"fmt"
	"time"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/terrain/quality"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/trafficability"
)

// Options say how ground is judged.
type Options struct {
	Scale Scale
	// Noise is the vertical error of the elevation; nil assumes one from the size
	// of its cells, and says so.
	Noise *slope.Noise
	// Cautious draws zones by the slope that ground may have at the upper end of
	// that error, instead of the slope that was measured.
	Cautious bool
	// MarginPct is taken off every limit when zones are drawn, in points of slope, after
	// what Cautious takes: what readings on the ground asked for.
	MarginPct float64
	// Ground is the state of the ground that zones are drawn for; "" is dry.
	Ground zoning.Moisture
	// Rules keep machines off cells, after those of every map; nil adds none. A map of
	// SlopeOnly takes none.
	Rules []trafficability.Rule
	// Loads are what each machine of the fleet travels as on the road, in the order of the
	// fleet; nil where nobody says. They are held to what is posted at unload points.
	Loads []Load
	// SlopeOnly leaves out everything but slope, step and roughness: where a machine may
	// stand, as if it could get anywhere and turn there.
	SlopeOnly bool
	// Units are what the map is told in; the zero value is US.
	Units measure.Units
	// Progress is told how far the work is; nil tells the one of the [Request].
	Progress Progress
	// SimplifyM is how far from where they run lines between zones may be drawn.
	SimplifyM float64
	// WaterIsGround leaves water, dead-flat or all but, to the machines whose limits it meets.
	WaterIsGround bool
	// DrainageSetback is what machines keep from drainage lines with a few acres of flow, as
	// [site.ParseSetback] reads it: a published rule, such as filter-strip, or a width; "" where
	// nobody chose, and then that rule is proposed and not applied.
	DrainageSetback string
	// Surveyed is when the ground was measured, and OldestSurvey the oldest that its
	// reader trusts, as 2019, 2019-06 or 2019-06-30; "" where nobody says.
	Surveyed, OldestSurvey string
	// Detectors are asked what makes the heights doubtful after those of
	// [quality.Detectors]; what they find is told among the warnings.
	Detectors []quality.Detector
}

// Check returns the first option that cannot be used, with its name and value. Whatever
// takes options checks them so before any work.
func (o Options) Check() error {
	for _, check := range []func() error{o.checkGround, o.checkNoise, o.checkDates, o.checkSetback, o.Units.Check} {
		if err := check(); err != nil {
			return err
		}
	}
	if err := trafficability.CheckRules(o.Rules); err != nil {
		return fmt.Errorf("of Rules: %w", err)
	}
	if o.SlopeOnly && len(o.Rules) > 0 {
		return fmt.Errorf("SlopeOnly asks nothing but slope, step and roughness, and would leave out the rule %q: give Rules or SlopeOnly", o.Rules[0].Reason.Key)
	}
	if s := o.Scale; s != AutoScale && s != CellScale && s != MachineScale {
		return fmt.Errorf("slope scale %q; write cell or machine", s)
	}
	if m := o.MarginPct; !(m >= 0 && m <= zoning.MaxLimitPct) {
		return fmt.Errorf("MarginPct is %g; a margin is taken off every limit: 0 points of slope or more, at most %.4g", m, zoning.MaxLimitPct)
	}
	if m := o.SimplifyM; !(m >= 0 && m <= zoning.MaxSimplifyM) {
		return fmt.Errorf("SimplifyM is %g; lines are moved by 0 m to %d m", m, zoning.MaxSimplifyM)
	}
	return nil
}

func (o Options) checkGround() error {
	switch o.Ground {
	case "", zoning.Dry, zoning.Wet:
		return nil
	}
	return fmt.Errorf("Ground is %q; the ground is %s or %s", string(o.Ground), zoning.Dry, zoning.Wet)
}

func (o Options) checkNoise() error {
	if o.Noise == nil {
		return nil
	}
	if err := o.Noise.Check(); err != nil {
		return fmt.Errorf("of Noise: %w", err)
	}
	return nil
}

func (o Options) checkSetback() error {
	if o.DrainageSetback == "" {
		return nil
	}
	if _, err := site.ParseSetback(o.DrainageSetback); err != nil {
		return fmt.Errorf("DrainageSetback: %w", err)
	}
	return nil
}

func (o Options) checkDates() error {
	for _, d := range []struct{ name, date string }{{"Surveyed", o.Surveyed}, {"OldestSurvey", o.OldestSurvey}} {
		if d.date == "" {
			continue
		}
		if err := CheckDate(d.date); err != nil {
			return fmt.Errorf("%s: %w", d.name, err)
		}
	}
	return nil
}

// CheckDate refuses what is not a year, month or day.
func CheckDate(date string) error {
	for _, layout := range []string{"2006", "2006-01", "2006-01-02"} {
		if _, err := time.Parse(layout, date); err == nil {
			return nil
		}
	}
	return fmt.Errorf("%q is no date; write 2019, 2019-06 or 2019-06-30", date)
}

// tooOld reports whether a survey is older than its reader trusts, to the precision
// of the coarser of the two dates.
func (o Options) tooOld() bool {
	n := min(len(o.Surveyed), len(o.OldestSurvey))
	return n > 0 && o.Surveyed[:n] < o.OldestSurvey[:n]
}

// SurePct finds for each machine the slope in percent below which measured ground
// is within its limit with [slope.Certainty],
// by the error of the heights alone: what cells hide differs from place to place.
func SurePct(cov slope.Cov, fleet zoning.Fleet) []float64 {
	out := make([]float64, len(fleet))
	for i, m := range fleet {
		out[i] = 100 * cov.SureBelow(m.SteepestPct()/100-zoning.TieRise, slope.Certainty)
	}
	return out
}

// within is the fleet that zones are drawn by: held to slopes at which ground is surely
// within its limits along, and surely below what asks for a procedure or a tether, and
// to the margin. Limits across are held to the margin only: they are about half of those
// along, and what the error leaves of them is next to nothing.
func (o Options) within(cov slope.Cov, fleet zoning.Fleet) zoning.Fleet {
	margin := func(pct float64) float64 { return pct - o.MarginPct }
	inside := func(pct float64) float64 {
		if o.Cautious {
			pct = 100 * (cov.SureBelow(pct/100-zoning.TieRise, slope.Certainty) + zoning.TieRise)
		}
		return margin(pct)
	}
	held := make(zoning.Fleet, len(fleet))
	for i, m := range fleet {
		held[i] = m.Inside(inside, margin)
	}
	return held
}
