package site

import (
	"math"
	"strings"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/units"
)

// Along is how a rule measures its width.
type Along string

// A rule's width lies along the ground or on the map. Where the copy of a source
// that was read does not say, it is taken as horizontal, which keeps back
// further.
const (
	SlopeDistance      Along = "slope distance"
	HorizontalDistance Along = "horizontal distance"
)

// Rule is a published setback from water that grows with the slope of the ground
// beside it.
type Rule struct {
	Key    string // its name in files
	Source string // where it is published
	Along  Along
	steps  []step
}

// step is a class of slope: from FromPct up, a width in feet that grows by
// PerPct for each percent above.
type step struct{ fromPct, feet, perPct float64 }

// Rules returns the rules known here.
func Rules() []Rule {
	return []Rule{
		{"kentucky-for-69",
			"University of Kentucky, FOR-69 Field Guide to Best Management Practices for Timber Harvesting, BMP No. 3, table 3-1: perennial streams, surface distance",
			SlopeDistance, []step{{0, 25, 0}, {15, 55, 0}}},
		{"filter-strip",
			"Filter Strip Width Guide (slope distance) that goes with state guidelines for riparian zones, Minnesota's from memory",
			SlopeDistance, []step{{0, 50, 0}, {10, 50, 2}}},
		{"trimble-sartz",
			"Trimble and Sartz 1957, How far from a stream should a logging road be located?, Journal of Forestry 55:339-341, from memory; taken as horizontal, its copy was not read",
			HorizontalDistance, []step{{0, 25, 2}}},
		{"south-carolina",
			"South Carolina Forestry Commission, Best Management Practices, figure 2: primary and secondary zones together; taken as horizontal, it does not say",
			HorizontalDistance, []step{{0, 40, 0}, {5, 80, 0}, {20, 120, 0}, {40, 160, 0}}},
	}
}

// WidthM is the width the rule asks for at a slope in percent, in meters along
// what [Rule.Along] says. A slope on the edge of a class counts to the wider one.
func (r Rule) WidthM(slopePct float64) float64 {
	feet := 0.0
	for _, s := range r.steps {
		if slopePct >= s.fromPct {
			feet = s.feet + s.perPct*(slopePct-s.fromPct)
		}
	}
	return feet * zoning.MetresPerFoot
}

// Setback is how far machines keep from a shape: a width, horizontal, or what a
// rule says; the zero value is none.
type Setback struct {
	WidthM float64
	Rule   *Rule
}

// DefaultLeaveTreeM is the setback of a leave tree that has none of its own: 10 ft
// (planning value, no source).
const DefaultLeaveTreeM = 10 * zoning.MetresPerFoot

// defaultSetbackM are the setbacks, in meters, of shapes that have none of their own
// (common practice, no source): half of a railway's right-of-way of 100 ft and of a
// pipeline's of 50 ft; what a tower's legs and a machine beside them take; a machine's length
// from an edge.
var defaultSetbackM = map[Kind]float64{
	LeaveTree: DefaultLeaveTreeM, Railway: 50 * zoning.MetresPerFoot, Pipeline: 25 * zoning.MetresPerFoot,
	Tower: 30 * zoning.MetresPerFoot, Edge: zoning.DefaultFootprintM,
}

// ParseSetback reads a width with its unit, "50ft" or "15m", or a rule's key.
func ParseSetback(s string) (Setback, error) {
	word := strings.NewReplacer(" ", "-", "_", "-").Replace(strings.ToLower(strings.TrimSpace(s)))
	var keys []string
	for _, r := range Rules() {
		if word == r.Key {
			return Setback{Rule: &r}, nil
		}
		keys = append(keys, r.Key)
	}
	metres, err := units.Length(s)
	if err != nil {
		bad := err.(*units.Error)
		return Setback{}, &units.Error{Problem: bad.Problem, Cure: bad.Cure + ", or a rule: " + strings.Join(keys, ", ")}
	}
	return Setback{WidthM: metres}, nil
}

// slackM is how far beyond a setback a cell still counts as within it.
const slackM = 0.001

// Holds reports whether ground at a horizontal distance is within the setback,
// where the ground between rises or falls by slope, as rise over run. By
// [zoning.TieRise] more of it is taken: float32 heights are no better, and a
// tie goes to the steeper side.
func (s Setback) Holds(distM, slope float64) bool {
	if s.Rule == nil {
		return distM <= s.WidthM+slackM
	}
	if s.Rule.Along == SlopeDistance {
		distM *= math.Hypot(1, slope)
	}
	return distM <= s.Rule.WidthM(100*(slope+zoning.TieRise))+slackM
}

// reachM is the greatest distance at which ground can be within the setback,
// where heights differ by no more than reliefM. Ground at a distance d is no
// steeper than reliefM/d on the whole, and a rule asks for no less where it is
// steeper, so there is one distance at which the two meet.
func (s Setback) reachM(reliefM float64) float64 {
	if s.Rule == nil {
		return s.WidthM + slackM
	}
	beyond := func(d float64) bool { return d > s.Rule.WidthM(100*(reliefM/d+zoning.TieRise))+slackM }
	lo, hi := 0.0, 1.0
	for !beyond(hi) {
		lo, hi = hi, 2*hi
	}
	for hi-lo > slackM {
		if mid := (lo + hi) / 2; beyond(mid) {
			hi = mid
		} else {
			lo = mid
		}
	}
	return hi
}
