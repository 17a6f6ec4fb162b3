package plan

import (
	"fmt"
	"math"
	"slices"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/site"
)

// ForMap says what to bring to the ground of a map: figures are its owner's, cover that of
// ground of which no cover polygon tells the class. The
// book is not changed. Errors are [*Error].
func ForMap(g *mapping.Ground, m *zoning.ZoneMap, book *Book, cover Cover) (*Plan, error) {
	if book == nil {
		return nil, errNoBook
	}
	s, err := SiteOf(g, m, cover)
	if err != nil {
		return nil, err
	}
	p, err := Make(s, m.Fleet, book.Clone())
	if err != nil {
		return nil, err
	}
	p.cover, p.landing = cover, [2]float64{s.LandingEastM, s.LandingNorthM}
	return p, nil
}

// fit refuses a map that is not one of the ground, with its cells.
func fit(g *mapping.Ground, m *zoning.ZoneMap, cover Cover) error {
	const cure = "give the ground and a map that was made of it"
	switch {
	case g == nil || g.Elevation == nil || g.Elevation.Grid == nil || g.Site == nil || m == nil:
		return &Error{"there is no ground or no map", cure}
	case m.Cells == nil || m.Field == nil:
		return &Error{"the map is without the cells that its zones were cut from", cure}
	case cover >= covers:
		return &Error{fmt.Sprintf("cover %d is no class", cover), "use one of the classes"}
	}
	cells := m.Cells.Cols * m.Cells.Rows
	for _, has := range []int{len(m.Cells.Masks), len(m.Field.Squared), len(g.Elevation.Grid.Z)} {
		if has != cells {
			return &Error{fmt.Sprintf("the map has %d × %d cells and %d are given", m.Cells.Cols, m.Cells.Rows, has), cure}
		}
	}
	for _, lot := range m.Lots {
		if lot.Coverage == nil {
			return &Error{fmt.Sprintf("lot %q of the map is without its coverage", lot.Lot), cure}
		}
	}
	if err := m.Fleet.Check(); err != nil {
		return &Error{err.Error(), "give a fleet that can be used"}
	}
	return nil
}

// coverOf is a site's class of cover in a plan.
func coverOf(c site.Class) Cover {
	return [...]Cover{CoverNotGiven, Open, Light, Medium, Heavy}[c]
}

// signsOf are what a map holds that a crew must be told of.
func signsOf(g *mapping.Ground, m *zoning.ZoneMap) Signs {
	var s Signs
	for _, lot := range m.Lots {
		for _, z := range lot.Zones {
			if m.Fleet.IsMachine(z.Band) {
				s.NearLimitAcres += z.Acres - z.SureAcres
			}
			if z.Band == m.Fleet.UnknownBand() {
				s.NoElevationAcres += z.Acres
			}
		}
	}
	for _, h := range m.Hazards {
		switch h.Kind {
		case zoning.DropOff:
			s.DropOff = true
		case zoning.Drainage, zoning.Depression:
			s.Water = true
		case zoning.LineNear:
			s.OverheadLine = true
		case zoning.PeopleNear:
			s.People = true
		}
	}
	s.Water = s.Water || g.IsWet()
	s.LineKV = mostKV(g.Features)
	return s
}

// mostKV is the highest voltage of the overhead lines; 0 where that of one is not known.
func mostKV(features []site.Feature) (kv float64) {
	for _, f := range features {
		if f.Kind == site.OverheadLine {
			if f.KV == 0 {
				return 0
			}
			kv = max(kv, f.KV)
		}
	}
	return kv
}

// land finds where machines are unloaded.
func (c *pieceCounter) land(s *Site) {
	var acres float64
	for _, p := range s.Pieces {
		acres += p.GrossAcres
		s.LandingEastM += p.GrossAcres * p.EastM
		s.LandingNorthM += p.GrossAcres * p.NorthM
	}
	middleX, middleY := s.LandingEastM/acres, s.LandingNorthM/acres
	s.LandingEastM, s.LandingNorthM = middleX, middleY
	least := math.Inf(1)
	n := -1
	for _, f := range c.Features {
		if f.Kind != site.Staging {
			continue
		}
		if n++; c.m.Access.Lands != nil && c.m.Access.Lands[n] == 0 {
			continue // no load gets there
		}
		x, y := c.plane.Place(f.Geometry.Bound().Center())
		if d := math.Hypot(x-middleX, y-middleY); d < least {
			least, s.LandingEastM, s.LandingNorthM = d, x, y
		}
	}
}

// notes say how the site was counted.
func (c *pieceCounter) notes() []string {
	notes := []string{"All ground counts as ground to clear, except no-go, setbacks and the ground around leave trees."}
	if c.Site.Selective != nil {
		notes = append(notes, "Where clearing is selective the whole ground counts: what stays there is not known.")
	}
	if c.cover != CoverNotGiven {
		notes = append(notes, fmt.Sprintf("Cover is taken as %s where no cover polygon says.", c.cover))
	}
	if c.CoverByGrowth && c.HasSurface() {
		notes = append(notes, "Cover is "+c.CoverWords()+". Stems are not known from it; look before pricing.")
	}
	if slices.ContainsFunc(c.Features, func(f site.Feature) bool { return f.Kind == site.Cover && f.StemM > 0 && f.TypicalM == 0 }) {
		notes = append(notes, "Typical stems are not given for all cover whose thickest are: there the pace is that of the class of cover. Give them as typical, such as 3in.")
	}
	if !slices.ContainsFunc(c.Features, func(f site.Feature) bool { return f.Kind == site.Staging }) {
		notes = append(notes, "No staging was given: machines are taken to unload in the middle of the ground.")
	}
	return notes
}
