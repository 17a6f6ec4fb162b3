package zoning

import "github.com/paulmach/orb"

// Hazard is ground, or a spot, that people must know of before work near it.
type Hazard struct {
	Kind     HazardKind
	Geometry orb.Geometry // WGS84 longitude and latitude
	Words    string       // what is there, with its figures
	Machine  string       // key of the machine that it concerns; "" for all
}

// HazardKind says what a hazard is, as it is written in files.
type HazardKind string

// Kinds of hazards.
const (
	DropOff     HazardKind = "drop-off"
	BankLikely  HazardKind = "bank-likely"
	SteepAbove  HazardKind = "steep-above"
	SteepBelow  HazardKind = "steep-below"
	PinchPoint  HazardKind = "pinch-point"
	NoElevation HazardKind = "no_data"
	Drainage    HazardKind = "drainage"
	Depression  HazardKind = "depression"
	PeopleNear  HazardKind = "people-near"
	LineNear    HazardKind = "overhead-line"
	ThickStems  HazardKind = "thick-stems"
	BuriedLine  HazardKind = "buried-line"
	// ProposedStrip is no danger: ground that a published rule would keep out of.
	ProposedStrip HazardKind = "proposed-strip"
)

var hazardCautions = map[HazardKind]string{
	DropOff:       "Keep back from the edge by the machine's length, or the height of the drop where that is more; edges crumble.",
	BankLikely:    "Look at it on foot: it may stop or tip a machine, and machines were not kept from it.",
	SteepAbove:    "Material rolls down: nobody, and no machine, below ground that is being worked.",
	SteepBelow:    "What goes over the edge does not stop: keep the machine, and people below, away from it.",
	PinchPoint:    "Measure it before a machine is sent through.",
	NoElevation:   "Nobody has measured this ground: look at it before a machine comes near.",
	Drainage:      "Soft banks, and water after rain: look for a crossing on foot, and ask what the local code wants kept from water.",
	Depression:    "Soft or under water after rain: probe it before a machine enters.",
	PeopleNear:    "Nobody within the thrown-object distance in the head's manual while it turns: warn, close off, or leave standing.",
	ThickStems:    "Find and mark them on foot: fell them by hand, or leave them, before the machine works there.",
	ProposedStrip: "Proposed, not applied: ask what the local code wants kept from water before machines work here.",
	BuriedLine:    "Have it located and marked before work (29 CFR 1926.651), and ask its owner what may drive and turn over it.",
	LineNear:      "Overhead line: keep the clearance (29 CFR 1926.1408, a crane rule, used as a caution) with boom and falling trees; ask who owns it.",
}

// Caution is what to mind near a hazard of a kind.
func (k HazardKind) Caution() string { return hazardCautions[k] }

// IsDanger reports whether a hazard of a kind can hurt people or machines.
func (k HazardKind) IsDanger() bool { return k != ProposedStrip }

var hazardNames = map[HazardKind]string{
	DropOff:       "Drop-off",
	BankLikely:    "Bank likely",
	SteepAbove:    "Steep ground above",
	SteepBelow:    "Steep ground below",
	PinchPoint:    "Pinch point",
	NoElevation:   "No elevation data",
	Drainage:      "Drainage line",
	Depression:    "Low spot",
	PeopleNear:    "People near",
	BuriedLine:    "Buried line",
	LineNear:      "Overhead line",
	ThickStems:    "Thick stems",
	ProposedStrip: "Proposed strip",
}

// Name is what people call a hazard of a kind: short, as it stands on a map.
func (k HazardKind) Name() string {
	if name, ok := hazardNames[k]; ok {
		return name
	}
	return string(k)
}
