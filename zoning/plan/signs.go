package plan

import (
	"fmt"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
)

// Signs are what a map holds that a crew must be told of.
type Signs struct {
	NearLimitAcres   float64 // ground so near a machine's limit that it is to be verified
	NoElevationAcres float64
	DropOff          bool
	Water            bool
	OverheadLine     bool
	LineKV           float64 // 0 not known
	People           bool    // houses, roads or trails within the thrown-object distance
}

// Caution is what to mind, and where that is written; Source is "" for common
// practice.
type Caution struct {
	Text   string `json:"text"`
	Source string `json:"source,omitempty"`
}

// bareSoilAcres is the disturbed ground from which a stormwater permit is asked for.
const bareSoilAcres = 1

// crewFacts are what of a plan cautions depend on.
type crewFacts struct {
	w            wording
	machines     int
	remote       []string // names of machines with the operator outside
	clearedAcres float64
	apartFt      float64
	thickStems   []string // machines that do not handle all stems, with the figures
	overLimits   []string // machines whose load needs a permit, with the reason
}

// cautions are those that fit a job, the ones of every map apart.
func (s Signs) cautions(c crewFacts) []Caution {
	var out []Caution
	add := func(source, format string, args ...any) {
		out = append(out, Caution{fmt.Sprintf(format, args...), source})
	}
	if s.NearLimitAcres > 0 {
		add("", "%s lie so near a machine's limit that they are to be measured with a clinometer before it goes there. The machine's manual governs.", areaText(c.w, s.NearLimitAcres))
	}
	if s.NoElevationAcres > 0 {
		add("", "%s have no elevation data and are not in this plan. Walk them first; a competent person on the ground decides.", areaText(c.w, s.NoElevationAcres))
	}
	if s.DropOff {
		add("", "There is a drop-off: flag its edge and keep back as the manual and a competent person say. The edge may not bear a machine.")
	}
	if s.Water {
		add("", "There is water: ask for the setback of the state's forest practice rules and the local code before work near it.")
	}
	if s.OverheadLine {
		add(s.clearanceSource(), "There is an overhead line: %s. Its owner's rule governs where it asks for more.", s.clearance(c.w.units))
	}
	if s.People {
		add("", "People may come within the thrown-object distance: close roads and trails or work there with a lookout, and stop when anyone comes near. No regulator's number was found; the head's manual governs.")
	}
	for _, what := range c.thickStems {
		add("", "%s: walk the ground first and mark them; they are felled by hand or left, and that is in no hours here.", what)
	}
	for _, name := range c.remote {
		add("ISO 15817, by its scope", "%s is worked from outside: its operator stands in sight of it, uphill or to the side, outside the thrown-object distance and the way it would roll, as its manual says.", name)
	}
	if c.machines > 1 {
		add("29 CFR 1910.266(d)(6)(ii)", "Several machines work at once: keep two tree lengths between work areas, and the thrown-object distance of every head. This plan keeps %s.", c.w.units.AtLeast(c.apartFt*zoning.MetresPerFoot))
	}
	if c.clearedAcres >= bareSoilAcres {
		add("40 CFR 122.26(b)(15), from memory", "%s or more may be left as bare soil: ask the state whether a stormwater permit is needed before work.", c.w.units.Either("An acre", "0.4 hectares"))
	}
	for _, what := range c.overLimits {
		add("limits from memory; the state's rule governs", "%s: ask the state for the permit and the route.", what)
	}
	return out
}

// clearance is the distance to keep from a line: that which the map keeps booms from it.
func (s Signs) clearance(u measure.Units) string {
	keep := u.AtLeast(site.ClearanceM(s.LineKV))
	switch {
	case !(s.LineKV > 0):
		return fmt.Sprintf("keep at least %s, since its voltage is not known; ask its owner for it", keep)
	case s.LineKV > site.TableMaxKV:
		return fmt.Sprintf("%g kV is above the table: its owner or a registered engineer sets the distance", s.LineKV)
	}
	return fmt.Sprintf("keep at least %s from %g kV", keep, s.LineKV)
}

// clearanceSource is where that distance is written.
func (s Signs) clearanceSource() string {
	if !(s.LineKV > 0) {
		return "29 CFR 1926.1409(a), a rule for cranes used as a caution"
	}
	return "29 CFR 1926.1408 Table A, a rule for cranes used as a caution"
}
