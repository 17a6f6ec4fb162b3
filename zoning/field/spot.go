package field

import (
	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
)

// FootPct and WetFootPct are the steepest slopes on which people are sent on foot,
// in percent (planning values, no source).
const (
	FootPct    = zoning.FootPct
	WetFootPct = zoning.WetFootPct
)

// Checks are the spots of a map.
type Checks struct {
	View  zoning.View
	Bands []string // keys of the bands that are measured, in fleet order, "no-machine" last
	On    zoning.Moisture
	// LengthM is over how much ground a slope is to be measured: a machine's length.
	LengthM float64
	Units   measure.Units // that people are told in
	Spots   []Spot
}

// Spot is one place to measure.
type Spot struct {
	ID   string // S01 and so on; unique on the map
	Lot  string
	Band string // key of its zone

	At        orb.Point
	MappedPct float64 // slope on the map
	LimitPct  float64 // of its zone's machine here; 0 where it is no machine's
	// Machines are those that slope alone may keep off the spot, in fleet order. A
	// machine that step, growth, access or anything else keeps off is not among them.
	Machines []Held

	Why []Reason
	// DownhillDeg is the bearing of the fall line; NaN on the level.
	DownhillDeg float64
	// Sight says where to stand and sight the spot from; nil where people may walk
	// onto it.
	Sight *Sight
}

// Held is a machine with the limit it is held to at a spot.
type Held struct {
	Key      string  `json:"key"`
	LimitPct float64 `json:"limit_pct"`
}

// Sight is a place to measure a spot from that nobody should walk onto.
type Sight struct {
	At         orb.Point
	From       string // "toe" below the spot, "crest" above
	DistanceM  float64
	BearingDeg float64 // from here to the spot
}

// Stand is where a person stands to measure the spot.
func (s Spot) Stand() orb.Point {
	if s.Sight != nil {
		return s.Sight.At
	}
	return s.At
}

// Reason is why a spot was picked.
type Reason struct{ Kind, Words string }

// Kinds of reasons.
const (
	CouldTip = "could-tip" // the machine's limit is within the error of the slope
	AtHazard = "hazard"
	Spread   = "spread" // so that every part of a zone is measured
)

// Hazard is a place where something else than slope is dangerous.
type Hazard struct {
	At    orb.Point
	Words string
}

// bandAt is the key of the band that a slope gives the spot: the first of its
// machines that it stays below the limit of, after a margin is taken off.
func (s Spot) bandAt(slopePct, marginPct float64) string {
	for _, m := range s.Machines {
		if within(slopePct, m.LimitPct-marginPct) {
			return m.Key
		}
	}
	return zoning.NoMachineKey
}

// within reports whether a slope stays below a limit; a tie does not.
func within(slopePct, limitPct float64) bool { return slopePct < limitPct-100*zoning.TieRise }
