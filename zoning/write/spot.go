package write

import "github.com/paulmach/orb"

// Spot is a place to go to or to mind.
type Spot struct {
	Kind  SpotKind
	Name  string // short, as it stands on a map: "Check 3"
	Words string // what to do or to mind there
	At    orb.Point
}

// SpotKind is what a spot is for; it is the spot's kind in files too.
type SpotKind string

// Kinds of spots.
const (
	FieldCheck SpotKind = "check"        // slope to be measured before work
	Staging    SpotKind = "staging"      // where the trailer unloads
	WayIn      SpotKind = "access-route" // where machines come onto the ground
	Emergency  SpotKind = "emergency"    // where help is to come
)

// SpotProperties lists what is told of a spot, in the order of files.
func SpotProperties() []Property {
	return []Property{
		{"kind", Text, "", "what it is for", true},
		{"name", Text, "", "name, as it stands on a map", true},
		{"words", Text, "", "what to do or to mind there", true},
	}
}

// spotValues are what files tell of a spot, in the order of [SpotProperties].
func spotValues(s Spot) []any { return []any{string(s.Kind), s.Name, s.Words} }

// spotKinds lists the kinds with their headings, in the order of files.
var spotKinds = []struct {
	kind    SpotKind
	heading string
}{
	{Emergency, "Emergency location"},
	{FieldCheck, "Field checks"},
	{Staging, "Staging"},
	{WayIn, "Access routes"},
}

// spotHeading is the heading of a kind; one that is not known goes by itself.
func spotHeading(kind SpotKind) string {
	for _, k := range spotKinds {
		if k.kind == kind {
			return k.heading
		}
	}
	return string(kind)
}

// byKind sorts spots into their kinds, in the order of files, those of other kinds
// after them; each kind keeps the order given.
func byKind(spots []Spot) [][]Spot {
	place := map[SpotKind]int{}
	for i, k := range spotKinds {
		place[k.kind] = i
	}
	sorted := make([][]Spot, len(spotKinds))
	for _, s := range spots {
		i, known := place[s.Kind]
		if !known {
			i = len(sorted)
			place[s.Kind] = i
			sorted = append(sorted, nil)
		}
		sorted[i] = append(sorted[i], s)
	}
	return sorted
}
