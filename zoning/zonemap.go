package zoning

import (
	"encoding/json"
	"slices"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning/coverage"
)

// ZoneMap is the answer for one parcel or several. Writers take it as it is;
// nothing is computed again.
type ZoneMap struct {
	// Units are what its words are written in and its figures are told in; the zero value is US.
	// Its own figures are acres and meters all the same.
	Units measure.Units `json:",omitempty"`

	View View
	// Limits is the map by limits that a planned map was made from; nil by limits. See
	// [ZoneMap.ByLimits].
	Limits *ZoneMap

	Fleet Fleet
	// Drawn is the fleet with the lower limits that zones were drawn by, for a margin or
	// for the error of the heights; nil where they are its own.
	Drawn    Fleet
	Lots     []LotMap
	Sources  []terrain.Source // the elevation used
	Surveyed string           // when its ground was measured, as its owner says; "" where nobody does
	// SourceAcres are the lots' acres whose heights came from each of Sources; nil
	// where there is one source.
	SourceAcres []float64
	// Boundary says how well the lots' lines are known; "" where nobody said.
	Boundary string

	// DrainageSetback is what is kept from drainage lines, a rule or a width; "" where nothing is.
	DrainageSetback string `json:",omitempty"`

	Scale string // the ground over which slope was taken, in words
	// Ground is the state of the ground that the zones are for, and Otherwise the acres
	// by band, over all lots, in the other state; nil where it was not asked.
	Ground    Moisture
	Otherwise []float64
	Access    Access
	Hazards   []Hazard
	Growth    *Growth // nil without a first surface
	// Added are the reasons from [Reasons] on: those of rules that the maker of the map
	// added; nil where there are none.
	Added []Reason

	Error ElevationError // of those heights

	// Cells and Field are what the zones were cut from, for writers of rasters and of
	// single spots; nil where a map was made otherwise.
	Cells *Cells
	Field *slope.Field

	// Plan is what to bring, as it stands in the summary of a GeoJSON file; nil where
	// nobody planned.
	Plan json.Marshaler

	Assumed  []string // what was not declared and was assumed
	Warnings []string // what went otherwise than asked
	Cautions []string // what every reader must be told

	// Concerns are the machines that one of Warnings is about, by its words; those that are
	// not there are about the ground. A planned map leaves out what is about none of its crew.
	Concerns map[string]Mask
}

// WarnOf adds a warning that is about some machines only.
func (m *ZoneMap) WarnOf(machines Mask, words string) {
	if m.Concerns == nil {
		m.Concerns = map[string]Mask{}
	}
	m.Warnings = append(m.Warnings, words)
	m.Concerns[words] |= machines
}

// ElevationError is the vertical error that a map reckons with.
type ElevationError struct {
	SigmaM   float64 // standard deviation of a height, metres; 0 where not known
	From     string  // where the figure comes from, in words
	Assumed  bool
	Measured bool // from the heights themselves
	Cautious bool // whether zones were drawn inside limits by it
	// Slope is the covariance of gradients that it makes, at the scale of the map.
	Slope slope.Cov
	// Unseen is what the elevation's cells hide of slope, in words; "" where that is nothing.
	Unseen string
}

// Access says how machines get to the ground.
type Access struct {
	// Checked is whether the ground was held to the ways in from Staging. Without, it may
	// lie in pieces that a machine cannot drive between.
	Checked bool
	Staging []orb.Point
	Pockets []Pocket
	// Lands has of each of Staging the machines whose load gets there on the road; nil where
	// nothing is posted: all do. Unloads are, by machine, the places of Staging that it takes to
	// get to all the ground that it reaches.
	Lands   []Mask  `json:",omitempty"`
	Unloads [][]int `json:",omitempty"`
	// Proposed are places to unload at beside Staging, the one that opens most first; nil
	// where nobody asked.
	Proposed []UnloadPoint `json:",omitempty"`
}

// UnloadPoint is a place on the boundary where a trailer may unload.
type UnloadPoint struct {
	At orb.Point
	// Acres are opened by it: ground that machines get to from there, and from no place before it.
	Acres float64
	// WayM is how far the middle of that ground lies, in meters in a straight line, and SavedM
	// how much less that is than on the average of the places that open the same; 0 where it
	// is not less.
	WayM, SavedM float64
	// RoadM is how far the nearest drawn road lies, in meters; nil where none lies near.
	RoadM *float64 `json:",omitempty"`
}

// Pocket is ground cut off, for a machine, from the largest piece of what it works.
type Pocket struct {
	Machine int // index in the fleet
	Acres   float64
	At      orb.Point // a spot of it
}

// LotMap is the zones of one parcel. Their acres sum to Acres.
type LotMap struct {
	Lot      string
	Place    int     // of the lot in its file, from 1; 0 where it comes from none
	Acres    float64 // plan acres of the parcel as written
	Zones    []Zone  // one for each band that has ground here, in band order
	Coverage *coverage.Coverage
	// EdgeAcres lie so near the lot's line that it must be flagged before work
	// there; 0 where the quality of the boundary is not known.
	EdgeAcres float64
	Notes     []string // what was repaired or assumed about the boundary

	surePct []float64 // that its zones were gathered by
}

// Zone is the ground of one band in one parcel.
type Zone struct {
	Band int // index in [Fleet.Bands]

	// Acres is the plan acreage of Ground: what its outline measures.
	Acres float64
	// SurfaceAcres is the acreage along the slope: each cell's share of Acres
	// times √(1+slope²). NaN where slope is unknown.
	SurfaceAcres float64
	// SlopeMeanPct and SlopeMaxPct are the mean over the ground and the
	// steepest cell, in percent; NaN where slope is unknown.
	SlopeMeanPct, SlopeMaxPct float64
	// ProcedureAcres and TetherAcres are the part of Acres that is steeper than
	// the machine's ProcedureAbovePct and TetherAbovePct.
	ProcedureAcres, TetherAcres float64
	// SureAcres is the part of Acres that lies within the machine's limit with
	// slope.Certainty, the error of the elevation counted; the rest is to be
	// verified first. NaN where the error is not known, or the band no machine.
	SureAcres float64
	// SightAcres is the part of that rest on which nobody is sent on foot, by
	// Cells.FootPct: it is to be sighted from its toe or crest. NaN where SureAcres is.
	SightAcres float64
	// LostAcres is the part of Acres that each machine of the fleet does not work, by
	// [Why]; nil where nobody asked.
	LostAcres [][]float64
	// Patches are the pieces of Ground that are large enough for a working direction;
	// nil where no aspect is known.
	Patches []Patch
	// Crossings is the least number of water lines to be crossed on the way in; -1
	// where that is not known.
	Crossings int

	Ground orb.MultiPolygon
}

// BandAcres sums the acres of the lot's zones by band, for each of n bands.
func (l *LotMap) BandAcres(n int) []float64 {
	acres := make([]float64, n)
	for _, z := range l.Zones {
		acres[z.Band] += z.Acres
	}
	return acres
}

// BandAcres sums over all lots the acres of zones, for each of n bands.
func (m *ZoneMap) BandAcres(n int) []float64 {
	acres := make([]float64, n)
	for _, lot := range m.Lots {
		for _, z := range lot.Zones {
			acres[z.Band] += z.Acres
		}
	}
	return acres
}

// Credit is what is owed to those whose map the answer rests on in part; "" where it rests
// on none.
func (m *ZoneMap) Credit() string {
	if slices.Contains(m.Cautions, OpenStreetMapUsed) {
		return OpenStreetMapCredit
	}
	return ""
}

// Reason is why a machine does not work ground of the map.
func (m *ZoneMap) Reason(why Why) Reason { return why.Among(m.Added) }

// LostAcres sums over all lots, by machine, the acres that it does not work, by [Why]; nil
// where nobody asked.
func (m *ZoneMap) LostAcres() [][]float64 {
	var out [][]float64
	for _, lot := range m.Lots {
		for _, z := range lot.Zones {
			out = AddLostAcres(out, z.LostAcres)
		}
	}
	return out
}

// AddLostAcres adds acres by machine and [Why] to a sum of them, and returns the sum, which
// it makes where that is nil.
func AddLostAcres(sum, acres [][]float64) [][]float64 {
	for k, reasons := range acres {
		if k == len(sum) {
			sum = append(sum, nil)
		}
		if more := len(reasons) - len(sum[k]); more > 0 {
			sum[k] = append(sum[k], make([]float64, more)...)
		}
		for why, acres := range reasons {
			sum[k][why] += acres
		}
	}
	return sum
}
