package section

import (
	"errors"
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/profile"
	"github.com/acreband/acreband/zoning"
)

// Section is a zone map along a line. All slices but Hazards have one value for each place of
// the profile.
type Section struct {
	*profile.Profile
	SpanM     float64   // over which AlongPct is taken
	AlongPct  []float64 // along the line, above 0 where it rises; NaN where not known
	GroundPct []float64 // of the ground in its own direction; NaN where not known
	// Limits are the bands, by their index in [zoning.Fleet.Bands], of the first machine of
	// the fleet whose limit is above the steeper of both slopes: no machine's band where none
	// is, and unknown ground's where a slope is not known.
	Limits []int
	Zones  []int // bands of the map; Beyond off its lots
	// WalkFirst marks ground of a machine that is not surely within its limits: to be walked,
	// or sighted, first.
	WalkFirst []bool
	Hazards   []Met
}

// Beyond stands for ground that is of no lot.
const Beyond = -1

// ErrNoCells says that a map was made without the cells and slopes that a section is cut from.
var ErrNoCells = errors.New("the map is without the cells that its zones were cut from")

// Of returns the section of a map along the line between two places. Its grid is the one that
// the map was made on. Other errors are those of [profile.Along].
func Of(g *terrain.Grid, m *zoning.ZoneMap, from, to [2]float64) (*Section, error) {
	if m.Cells == nil || m.Field == nil || g.Check() != nil || m.Cells.Cols != g.Cols || m.Cells.Rows != g.Rows {
		return nil, ErrNoCells
	}
	p, err := profile.Along(g, from, to)
	if err != nil {
		return nil, err
	}
	s := &Section{Profile: p, SpanM: spanM(m.Fleet)}
	limits := limitsOf(m)
	lots := lotsOf(m)
	for i, cell := range p.Cells {
		along, ground := p.SlopePct(i, s.SpanM), math.NaN()
		if cell >= 0 {
			ground = m.Field.Pct(cell%g.Cols, cell/g.Cols)
		}
		s.AlongPct, s.GroundPct = append(s.AlongPct, along), append(s.GroundPct, ground)
		s.Limits = append(s.Limits, limits.of(math.Max(math.Abs(along), ground)))
		zone, walk := lots.at(orb.Point(p.LonLat[i]), cell)
		s.Zones, s.WalkFirst = append(s.Zones, zone), append(s.WalkFirst, walk)
	}
	s.Hazards = meets(g, m.Hazards, p)
	return s, nil
}

// spanM is the smallest footprint of a fleet, as the map takes slope over.
func spanM(fleet zoning.Fleet) float64 {
	least := math.Inf(1)
	for _, m := range fleet {
		least = min(least, LengthM(m))
	}
	return least
}

// LengthM is the length of ground that a machine stands on.
func LengthM(m zoning.Machine) float64 {
	if m.FootprintM == 0 {
		return zoning.DefaultFootprintM
	}
	return m.FootprintM
}

// limits are the slopes of a fleet, in its order, at which ground counts as over them.
type limits struct {
	fleet    zoning.Fleet
	belowPct []float64
}

// limitsOf are the limits that a map's zones were drawn by.
func limitsOf(m *zoning.ZoneMap) limits {
	fleet := m.Fleet
	if m.Drawn != nil {
		fleet = m.Drawn
	}
	l := limits{fleet: fleet}
	for _, machine := range fleet {
		l.belowPct = append(l.belowPct, machine.SteepestPct()-100*zoning.TieRise)
	}
	return l
}

func (l limits) of(pct float64) int {
	if math.IsNaN(pct) {
		return l.fleet.UnknownBand()
	}
	for k, below := range l.belowPct {
		if pct < below {
			return k
		}
	}
	return l.fleet.NoMachineBand()
}

// lots tell the zone of a place.
type lots struct {
	m        *zoning.ZoneMap
	outlines []orb.MultiPolygon
	bounds   []orb.Bound
	sureRise []float64 // measured slopes below which ground surely is within each machine's limit
}

func lotsOf(m *zoning.ZoneMap) lots {
	l := lots{m: m}
	for _, lot := range m.Lots {
		o := lot.Coverage.Outline()
		l.outlines, l.bounds = append(l.outlines, o), append(l.bounds, o.Bound())
	}
	for _, machine := range m.Fleet {
		l.sureRise = append(l.sureRise, m.Error.Slope.SureBelow(machine.SteepestPct()/100-zoning.TieRise, slope.Certainty))
	}
	return l
}

// at is the zone of a place, and whether it is to be walked first.
func (l lots) at(p orb.Point, cell int) (zone int, walk bool) {
	inside := false
	for i, o := range l.outlines {
		inside = inside || l.bounds[i].Contains(p) && planar.MultiPolygonContains(o, p)
	}
	switch {
	case !inside:
		return Beyond, false
	case cell < 0:
		return l.m.Fleet.UnknownBand(), false
	}
	zone = l.m.Fleet.Band(l.m.Cells.Masks[cell])
	if !l.m.Fleet.IsMachine(zone) || l.m.Error.SigmaM == 0 {
		return zone, false
	}
	rise := math.Sqrt(float64(l.m.Field.Squared[cell]))
	return zone, !l.m.Cells.IsSure(cell, zone, rise, l.sureRise[zone])
}
