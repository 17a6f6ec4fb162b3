package site

import (
	"slices"
	"strings"
)

// Kind says what a shape is.
type Kind string

// Kinds, and what [Describe] wants to know of them.
const (
	NoGo         Kind = "no-go"         // closed to machines
	SoftGround   Kind = "soft"          // bears a pressure and no more
	LeaveTree    Kind = "leave-tree"    // a tree or a group that stays
	Selective    Kind = "selective"     // clearing among what stays
	OverheadLine Kind = "overhead-line" // a power line, with its voltage
	Building     Kind = "building"      // closed to machines; people
	Road         Kind = "road"          // people
	Path         Kind = "path"          // people
	Cover        Kind = "cover"         // growth: class, stems, height
	Staging      Kind = "staging"       // where the trailer unloads, with what is posted on the road there
	Travel       Kind = "travel"        // machines may cross it, outside the parcel too
	DryGround    Kind = "ground"        // no water, however flat the elevation is there
	Gate         Kind = "gate"          // no wider than
	Bridge       Kind = "bridge"        // no heavier than, by its posted weight
	Water        Kind = "water"         // closed to machines: a stream as a line, a pond as an area
	Railway      Kind = "railway"       // closed to machines, with a strip beside it; people
	Pipeline     Kind = "pipeline"      // or a cable in the ground: closed to machines, with a strip beside it
	Tower        Kind = "tower"         // a tower, mast or pole: closed to machines, with a disc around it
	Edge         Kind = "cliff"         // the edge of a cliff or a bank: closed to machines, which keep back from it
	People       Kind = "people"        // a school, a campsite: a place of people
)

// shape is the least a kind may be drawn as.
type shape int

const (
	anyShape shape = iota
	lineOrArea
	area
)

// spec is what a kind may be drawn as and have said of it.
type spec struct {
	kind       Kind
	also       []string // other spellings
	drawn      shape
	attributes []string // beside name
}

var specs = []spec{
	{NoGo, []string{"nogo", "closed"}, anyShape, []string{"setback"}},
	{SoftGround, []string{"soft-ground"}, anyShape, []string{"bears", "setback"}},
	{LeaveTree, []string{"leave"}, anyShape, []string{"setback"}},
	{Selective, []string{"selective-clearing"}, area, nil},
	{OverheadLine, []string{"power-line", "powerline"}, lineOrArea, []string{"kv", "setback"}},
	{Building, []string{"house"}, anyShape, []string{"setback"}},
	{Road, nil, lineOrArea, []string{"setback"}},
	{Path, []string{"trail"}, lineOrArea, []string{"setback"}},
	{Cover, []string{"growth"}, area, []string{"class", "stem", "typical", "tall", "stems"}},
	{Staging, nil, anyShape, []string{"weight", "width", "height"}},
	{Travel, nil, area, nil},
	{DryGround, []string{"dry-ground", "not-water"}, area, nil},
	{Gate, nil, anyShape, []string{"width", "weight", "height"}},
	{Bridge, nil, anyShape, []string{"weight", "width", "height"}},
	{Water, []string{"waterway", "stream", "pond", "lake", "river"}, anyShape, []string{"setback"}},
	{Railway, []string{"rail"}, lineOrArea, []string{"setback"}},
	{Pipeline, []string{"buried-line", "buried-cable"}, lineOrArea, []string{"setback"}},
	{Tower, []string{"mast", "pole"}, anyShape, []string{"setback"}},
	{Edge, []string{"embankment", "edge"}, lineOrArea, []string{"setback"}},
	{People, []string{"school", "campsite"}, anyShape, []string{"setback"}},
}

// Takes reports whether a shape of this kind may have an attribute said of it.
func (k Kind) Takes(attribute string) bool {
	return attribute == "name" || slices.Contains(specOf(k).attributes, attribute)
}

// Attributes are the fields of a file that tell more of a shape than its kind.
var Attributes = []string{"name", "setback", "bears", "stem", "typical", "tall", "stems", "class", "kv", "width", "weight", "height"}

// KindOf reads a kind in any case, with spaces or underscores for hyphens, in the
// plural, or in one of a few other spellings, such as "power line" and "house".
func KindOf(word string) (k Kind, known bool) {
	word = strings.NewReplacer(" ", "-", "_", "-").Replace(strings.ToLower(strings.TrimSpace(word)))
	word = strings.TrimSuffix(word, "s")
	for _, s := range specs {
		if word == string(s.kind) {
			return s.kind, true
		}
		for _, a := range s.also {
			if word == a {
				return s.kind, true
			}
		}
	}
	return "", false
}

// AllKinds are the kinds, in the order of [Kinds].
func AllKinds() []Kind {
	out := make([]Kind, len(specs))
	for i, s := range specs {
		out[i] = s.kind
	}
	return out
}

// Kinds lists the kinds for people.
func Kinds() string {
	words := make([]string, len(specs))
	for i, s := range specs {
		words[i] = string(s.kind)
	}
	return strings.Join(words, ", ")
}

func specOf(k Kind) spec {
	for _, s := range specs {
		if s.kind == k {
			return s
		}
	}
	return spec{kind: k}
}

// NeedsArea reports whether a shape of this kind must be drawn as a polygon.
func (k Kind) NeedsArea() bool { return specOf(k).drawn == area }
