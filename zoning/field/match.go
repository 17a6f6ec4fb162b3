package field

import (
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geo"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/field/fieldfile"
)

// MatchM is how far from a spot a reading known by its place only may lie and still
// be of that spot: 30 ft, for the receiver of a phone (planning value, no source).
const MatchM = 30 * zoning.MetresPerFoot

// StrayM is how far from the spot of its id a reading may lie that says its place: 200 ft, beyond
// what a receiver errs under trees (planning value, no source). Ids begin anew in each list of
// spots, so one farther off is of another list.
const StrayM = 200 * zoning.MetresPerFoot

// Compared is a spot with what was measured there.
type Compared struct {
	Spot
	MeasuredPct float64
	Note        string
	Readings    int // how many were taken; the steepest counts
}

// OverPct is how many points the reading is over the limit of the spot's machine,
// 0 being a tie, which is over it; negative within it, NaN where the spot is no
// machine's.
func (c Compared) OverPct() float64 {
	switch over := c.MeasuredPct - c.LimitPct; {
	case c.LimitPct == 0:
		return math.NaN()
	case within(c.MeasuredPct, c.LimitPct):
		return over
	default:
		return max(over, 0)
	}
}

// over reports whether the reading is over the limit of the spot's machine.
func (c Compared) over() bool { return c.OverPct() >= 0 }

// Match puts readings to spots, in the order of the spots. A reading with an id is
// of that spot; one that lies more than [StrayM] from it is refused. One without, or whose id no spot has though it
// has a place, is of the nearest spot within [MatchM] of where it lies or is to be
// measured from; else it is made a spot by elsewhere, which gives the map at any
// place and may be nil. Errors are [*fieldfile.Error].
func (c *Checks) Match(file string, readings []Reading, elsewhere func(orb.Point) (Spot, bool)) ([]Compared, error) {
	byID := map[string]int{}
	for i, s := range c.Spots {
		byID[strings.ToLower(s.ID)] = i
	}
	found := make([]Compared, len(c.Spots))
	var others []Compared
	for _, r := range readings {
		i, ok := byID[strings.ToLower(r.ID)]
		if !ok && r.At != nil {
			i, ok = c.nearest(*r.At)
		}
		if ok {
			if r.At != nil && c.Spots[i].fromM(*r.At) > StrayM {
				return nil, fieldfile.Refuse(file, r.Line, "give the list of spots that it was measured by, or take its place out",
					"the reading %s lies %s from the spot of that id", c.Spots[i].ID, c.Units.Length(c.Spots[i].fromM(*r.At)))
			}
			found[i].Spot = c.Spots[i]
			found[i].add(r)
			continue
		}
		if r.At == nil {
			return nil, fieldfile.Refuse(file, r.Line, "use an id of the list of spots, or give lat and lon", "no spot has the id %q", r.ID)
		}
		var other Compared
		if elsewhere != nil {
			other.Spot, ok = elsewhere(*r.At)
		}
		if ok && !slices.Contains(c.Bands, other.Band) {
			return nil, fieldfile.Refuse(file, r.Line, "give the fleet with which the spots were picked", "the reading at %s is of band %q, which the list of spots does not have", degrees(*r.At), other.Band)
		}
		if !ok {
			return nil, fieldfile.Refuse(file, r.Line, "check the place, give the id of a spot, or leave the reading out", "the reading at %s is of no spot and of no mapped ground", degrees(*r.At))
		}
		other.ID = r.ID
		other.add(r)
		others = append(others, other)
	}
	var all []Compared
	for _, f := range found {
		if f.Readings > 0 {
			all = append(all, f)
		}
	}
	return append(all, others...), nil
}

// add counts a reading of the spot: the steepest is kept.
func (c *Compared) add(r Reading) {
	if c.Readings == 0 || r.SlopePct > c.MeasuredPct {
		c.MeasuredPct = r.SlopePct
	}
	if c.Note != "" && r.Note != "" {
		c.Note += "; "
	}
	c.Note += r.Note
	c.Readings++
}

// nearest is the spot that lies, or is measured, nearest to a place.
func (c *Checks) nearest(p orb.Point) (best int, ok bool) {
	least := MatchM
	for i, s := range c.Spots {
		if d := s.fromM(p); d <= least {
			best, ok, least = i, true, d
		}
	}
	return best, ok
}

// fromM is how far in metres a place lies from the spot, or from where it is measured.
func (s Spot) fromM(p orb.Point) float64 {
	return min(geo.Distance(s.At, p), geo.Distance(s.Stand(), p))
}
