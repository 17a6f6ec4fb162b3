package sheet

import (
	"cmp"
	"fmt"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geo"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/text"
)

// Danger is what can hurt people on a job, and where.
type Danger struct {
	Kind  zoning.HazardKind
	Words string
	At    orb.Point
}

// otherPlaceM is how far apart two dangers lie that are two places, in metres: 100 ft.
const otherPlaceM = 30.48

// CrewDangers are at most so many of the worst dangers on or beside ground that the machines
// with these keys work, each at a different place, the worst first; nil keys are the whole
// fleet. One of each kind comes before a second of any, and the larger before the smaller.
// A danger of a machine that does not come is none. The map holds its cells.
func CrewDangers(zm *zoning.ZoneMap, keys []string, most int) []Danger {
	ground := crewGroundOf(zm, crewMask(zm.Fleet, keys))
	if ground == nil {
		return nil
	}
	var left []zoning.Hazard
	for _, h := range zm.Hazards {
		if h.Kind.IsDanger() && (h.Machine == "" || keys == nil || slices.Contains(keys, h.Machine)) {
			left = append(left, h)
		}
	}
	rank := func(k zoning.HazardKind) int { return cmp.Or(hazardRanks[k], lineRank) }
	slices.SortStableFunc(left, func(a, b zoning.Hazard) int {
		return cmp.Or(cmp.Compare(rank(a.Kind), rank(b.Kind)), cmp.Compare(extent(b.Geometry), extent(a.Geometry)))
	})
	var out []Danger
	for _, another := range []bool{false, true} { // of a kind that is told already
		for _, h := range left {
			if len(out) == most || !another && slices.ContainsFunc(out, func(d Danger) bool { return d.Kind == h.Kind }) {
				continue
			}
			at, beside := ground.place(h.Geometry)
			if !beside || slices.ContainsFunc(out, func(d Danger) bool { return geo.Distance(d.At, at) < otherPlaceM }) {
				continue
			}
			out = append(out, Danger{h.Kind, text.OneLine(h.Words), at})
		}
	}
	slices.SortStableFunc(out, func(a, b Danger) int { return cmp.Compare(rank(a.Kind), rank(b.Kind)) })
	return out
}

// crewMask is the machines with these keys; nil is the whole fleet.
func crewMask(fleet zoning.Fleet, keys []string) (crew zoning.Mask) {
	for i, m := range fleet {
		if keys == nil || slices.Contains(keys, m.Key) {
			crew |= 1 << i
		}
	}
	return crew
}

// words tell a danger and its place.
func (d Danger) words() string { return fmt.Sprintf("%s: %s", degreesText(d.At), d.Words) }
