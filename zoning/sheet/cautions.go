package sheet

import (
	"cmp"
	"slices"
	"strings"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
)

// cautionKind is what cautions warn of, and what of a job shows that it holds that.
type cautionKind struct {
	phrases  []string // any of which a caution of the kind has
	hazards  []zoning.HazardKind
	features []site.Kind
}

// cautionKinds stand in the order in which they kill: current and gas at once, then a machine
// that tips, what is thrown or falls, a person alone on bad ground, water (planning order, no
// source). The last two are no sooner for being held.
var cautionKinds = []cautionKind{
	{[]string{"overhead", "utilities", "buried line", "power line"},
		[]zoning.HazardKind{zoning.LineNear, zoning.BuriedLine}, []site.Kind{site.OverheadLine, site.Pipeline, site.Tower}},
	{[]string{"work straight up and down", "travel straight up and down", "across the slope", "tip over", "limit that they are to be measured"},
		[]zoning.HazardKind{zoning.DropOff, zoning.SteepBelow, zoning.SteepAbove, zoning.BankLikely}, []site.Kind{site.Edge}},
	{[]string{"thrown", "tree lengths", "bystander"},
		[]zoning.HazardKind{zoning.PeopleNear}, []site.Kind{site.People, site.Building, site.Path, site.Road}},
	{[]string{"walk onto", "go alone", "does not see a hole", "has not been checked for holes"}, nil, nil},
	{[]string{"there is water", "wet ground", "stream"}, nil, nil},
}

// inOrderOfHarm sorts cautions: those of what the job holds before those of what nothing on it
// shows, and each by how soon it kills. None is left out: that no line or stream was drawn is no
// proof that there is none.
func (p *Page) inOrderOfHarm(cautions []string) []string {
	held := make([]bool, len(cautionKinds)+1)
	for i, k := range cautionKinds {
		held[i] = slices.ContainsFunc(p.Map.Hazards, func(h zoning.Hazard) bool { return slices.Contains(k.hazards, h.Kind) }) ||
			slices.ContainsFunc(p.Features, func(f site.Feature) bool { return slices.Contains(k.features, f.Kind) })
	}
	order := func(caution string) int {
		kind := cautionKindOf(caution)
		if held[kind] {
			return kind
		}
		return kind + len(held)
	}
	out := slices.Clone(cautions)
	slices.SortStableFunc(out, func(a, b string) int { return cmp.Compare(order(a), order(b)) })
	return out
}

// cautionKindOf is the first kind that a caution is of; the number of kinds where it is of none.
func cautionKindOf(caution string) int {
	caution = strings.ToLower(caution)
	i := slices.IndexFunc(cautionKinds, func(k cautionKind) bool {
		return slices.ContainsFunc(k.phrases, func(phrase string) bool { return strings.Contains(caution, phrase) })
	})
	if i < 0 {
		return len(cautionKinds)
	}
	return i
}
