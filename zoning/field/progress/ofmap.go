package progress

import (
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/plan"
)

// WorkMap is a map as worked ground is set against it. cover is that of ground of which
// no cover polygon tells the class.
func WorkMap(g *mapping.Ground, m *zoning.ZoneMap, cover plan.Cover) Map {
	out := Map{Cells: m.Cells, Fleet: m.Fleet, Lots: m.Lots}
	if g.Site.Class == nil && cover == plan.CoverNotGiven {
		return out
	}
	c := plan.PieceCounter{Ground: g, Cover: cover}
	out.Covers = []string{plan.CoverNotGiven.String()}
	for _, class := range plan.Classes() {
		out.Covers = append(out.Covers, class.String())
	}
	out.Cover = make([]uint8, len(m.Cells.Masks))
	for i := range out.Cover {
		class, _ := c.Growth(i)
		out.Cover[i] = uint8(class)
	}
	return out
}

// PlannedRates are the acres in a productive hour that work is held against: of a class
// of cover the likeliest of the book, of all cover what the recommended plan reckons
// with on this ground.
func PlannedRates(p *plan.Plan, book *plan.Book) []Rate {
	var rates []Rate
	for _, f := range book.Machines {
		for _, class := range plan.Classes() {
			if perHour := book.Job.PerHour(f.Rate[class]); perHour > 0 {
				rates = append(rates, Rate{Machine: f.Key, Cover: class.String(), AcresPerHour: perHour})
			}
		}
	}
	if len(p.Options) > 0 {
		for _, b := range p.Options[0].Crew {
			if b.ProductiveH > 0 {
				rates = append(rates, Rate{Machine: b.Key, AcresPerHour: b.NetAcres / b.ProductiveH})
			}
		}
	}
	return rates
}
