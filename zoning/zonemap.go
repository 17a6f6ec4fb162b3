package zoning

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
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

// MapLot cuts the cells that machines may work at a parcel's boundary and
// gathers each band. The field holds the slopes of the same window of cells.
// surePct has, for each machine, the slope in percent below which measured ground
// is surely within its limit; nil where the elevation's error is not known.
// What [Fleet.Check] and [Cells.Check] refuse, and slopes of another window, are errors.
func MapLot(cells *Cells, field *slope.Field, fleet Fleet, surePct []float64, p Parcel) (LotMap, error) {
	return MapLotContext(context.Background(), cells, field, fleet, surePct, p)
}

// MapLotContext is [MapLot] until a context is done: it then ends with the context's error.
func MapLotContext(ctx context.Context, cells *Cells, field *slope.Field, fleet Fleet, surePct []float64, p Parcel) (_ LotMap, err error) {
	if err := checkLot(cells, field, fleet, surePct); err != nil {
		return LotMap{}, fmt.Errorf("lot %s: %w", p.Lot, err)
	}
	defer beside.Ended(&err)
	watched := *cells
	watched.Watch = beside.NewWatch(ctx)
	return gatherLot(&watched, field, fleet, surePct, p)
}

func checkLot(cells *Cells, field *slope.Field, fleet Fleet, surePct []float64) error {
	if err := fleet.Check(); err != nil {
		return err
	}
	if err := cells.Check(); err != nil {
		return err
	}
	if err := field.Check(); err != nil {
		return err
	}
	if field.Cols != cells.Cols || field.Rows != cells.Rows {
		return fmt.Errorf("slopes of %d × %d cells for masks of %d × %d", field.Cols, field.Rows, cells.Cols, cells.Rows)
	}
	if surePct != nil && len(surePct) != len(fleet) {
		return fmt.Errorf("%d sure slopes for %d machines", len(surePct), len(fleet))
	}
	return nil
}

// gatherLot is MapLot of what was checked.
func gatherLot(cells *Cells, field *slope.Field, fleet Fleet, surePct []float64, p Parcel) (LotMap, error) {
	cov, err := coverage.Cut(&cells.Window, p.Ground)
	if err != nil {
		return LotMap{}, fmt.Errorf("lot %s: %w", p.Lot, err)
	}
	cov = cov.Simplify(&cells.Window, len(fleet), cells.SimplifyM)
	lot := LotMap{Lot: p.Lot, Acres: cov.Acres(), Coverage: cov, surePct: surePct}
	n := len(fleet.Bands())
	band := fleet.Band
	sums := make([]bandSum, n)
	for i := range sums {
		sums[i].lost = make([][]float64, len(cells.Lost))
		for k := range sums[i].lost {
			sums[i].lost[k] = make([]float64, Reasons+len(cells.Added))
		}
		sums[i].sureRise, sums[i].footRise, sums[i].limits = math.NaN(), math.Inf(1), noLimits
		if cells.FootPct > 0 {
			sums[i].footRise = cells.FootPct/100 - TieRise
		}
		if i < len(surePct) {
			sums[i].sureRise = surePct[i] / 100
		}
		if i < len(fleet) {
			sums[i].limits = limitsOf(fleet[i])
		}
	}
	for _, f := range cov.Faces {
		sums[band(f.Mask)].m2 += f.M2
	}
	var zones []orb.MultiPolygon
	var drawing beside.Group
	defer drawing.Wait()
	drawing.Go(func() { zones = cov.Polygons(n, band) })
	footUpper := (cells.FootUpperPct/100 - TieRise) * (cells.FootUpperPct/100 - TieRise)
	unnamed := 0 // a reason that the cells do not name
	count := func(b, i int, share float64) {
		squared := float64(field.Squared[i])
		foot := field.UpperSquared == nil || cells.FootUpperPct == 0 || float64(field.UpperSquared[i]) < footUpper
		sums[b].add(squared, share, b < len(surePct) && cells.IsSure(i, b, math.Sqrt(squared), sums[b].sureRise), foot)
		for k, why := range cells.Lost {
			lost, reason := sums[b].lost[k], int(why[i])
			if reason >= len(lost) {
				unnamed = reason
				continue
			}
			lost[reason] += share
		}
		if b < len(cells.Crossings) && cells.Crossings[b] != nil {
			sums[b].wade(cells.Crossings[b][i])
		}
	}
	unknown := &sums[fleet.UnknownBand()]
	cov.EachCell(func(col, row int, share float64) {
		cells.Watch.Did(1)
		if col < 0 || row < 0 || col >= cells.Cols || row >= cells.Rows {
			unknown.add(math.NaN(), share, false, false)
			for k := range unknown.lost {
				unknown.lost[k][NotMeasured] += share
			}
			return
		}
		i := row*cells.Cols + col
		count(band(cells.Masks[i]), i, share)
	})
	cov.EachMoved(func(col, row int, share float64, from, to Mask) {
		i := row*cells.Cols + col
		count(band(from), i, -share)
		count(band(to), i, share)
	})
	drawing.Wait()
	if unnamed > 0 {
		return LotMap{}, fmt.Errorf("lot %s: Lost has reason %d, and with what is added there are %d", p.Lot, unnamed, Reasons+len(cells.Added))
	}
	for b, ground := range zones {
		if len(ground) > 0 {
			z := sums[b].zone()
			z.Band, z.Ground = b, ground
			if b < len(fleet) && field.Aspect != nil {
				z.Patches = patchesOf(&cells.Window, field, ground)
			}
			lot.Zones = append(lot.Zones, z)
		}
	}
	return lot, nil
}

// bandSum gathers a band. Cells weigh by their share inside the parcel; the
// acreage itself is measured on the outline.
type bandSum struct {
	m2                                       float64
	cells, slope, surface, procedure, tether float64
	steepest                                 float64
	sureRise, sure                           float64
	footRise, sight                          float64
	lost                                     [][]float64 // by machine and Why
	crossings                                int         // 1 more than the least; 0 where not known
	limits                                   limits
}

// limits are the rises from which a machine's acres are told apart.
type limits struct{ procedure, tether, driven float64 }

// noLimits are those of a band without a machine.
var noLimits = limits{math.Inf(1), math.Inf(1), math.Inf(1)}

func limitsOf(m Machine) limits {
	l := noLimits
	if m.ProcedureAbovePct > 0 {
		l.procedure = m.ProcedureAbovePct/100 - TieRise
	}
	if m.TetherAbovePct > 0 {
		l.tether = m.TetherAbovePct/100 - TieRise
	}
	if m.ReachM > 0 { // what a boom reaches and does not drive on asks for no procedure of driving
		l.driven = m.SteepestPct() / 100
	}
	return l
}

// add counts a cell, sure where it is surely within its machine's limits; foot says whether
// its upper slope lets people on.
func (s *bandSum) add(squared, share float64, sure, foot bool) {
	s.cells += share
	rise := math.Sqrt(squared)
	s.slope += share * rise
	s.surface += share * math.Sqrt(1+squared)
	s.steepest = max(s.steepest, rise) // NaN stays
	if rise >= s.limits.procedure && rise < s.limits.driven {
		s.procedure += share
	}
	if rise >= s.limits.tether {
		s.tether += share
	}
	switch {
	case sure:
		s.sure += share
	case rise >= s.footRise || !foot:
		s.sight += share
	}
}

func (s *bandSum) wade(crossings uint8) {
	if n := int(crossings); crossings != math.MaxUint8 && (s.crossings == 0 || n < s.crossings-1) {
		s.crossings = n + 1
	}
}

func (s *bandSum) zone() Zone {
	acres := s.m2 / terrain.SquareMetresPerAcre
	// Ground that moved away leaves the rounding of its shares: a hair less than none.
	acresOf := func(cells float64) float64 { return acres * max(0, min(1, cells/s.cells)) }
	sure, sight := acresOf(s.sure), acresOf(s.sight)
	if math.IsNaN(s.sureRise) {
		sure, sight = math.NaN(), math.NaN()
	}
	for k := range s.lost {
		for why := range s.lost[k] {
			s.lost[k][why] = acresOf(s.lost[k][why])
		}
		s.lost[k][Works] = 0
	}
	return Zone{
		LostAcres: s.lost, Crossings: s.crossings - 1,
		SureAcres:      sure,
		SightAcres:     sight,
		Acres:          acres,
		SurfaceAcres:   acres * s.surface / s.cells,
		SlopeMeanPct:   100 * s.slope / s.cells,
		SlopeMaxPct:    100 * s.steepest,
		ProcedureAcres: acresOf(s.procedure),
		TetherAcres:    acresOf(s.tether),
	}
}
