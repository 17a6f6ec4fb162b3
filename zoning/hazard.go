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
	SteepAbove  HazardKind = "steep-above"
	SteepBelow  HazardKind = "steep-below"
	PinchPoint  HazardKind = "pinch-point"
	NoElevation HazardKind = "no-elevation"
	WaterLine   HazardKind = "water-line"
	Hollow      HazardKind = "hollow"
	PeopleNear  HazardKind = "people-near"
	LineNear    HazardKind = "overhead-line"
)
