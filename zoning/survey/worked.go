package survey

import (
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/jobplan"
	"github.com/acreband/acreband/zoning/progress"
)

// WorkMap is a map as worked ground is set against it. cover is that of ground of which
// no cover polygon tells the class.
func WorkMap(g *Ground, m *zoning.ZoneMap, cover jobplan.Cover) progress.Map {
	out := progress.Map{Cells: m.Cells, Fleet: m.Fleet, Lots: m.Lots}
	if g.Site.Class == nil && cover == jobplan.CoverNotGiven {
		return out
	}
	c := pieceCounter{Ground: g, cover: cover}
	out.Covers = []string{jobplan.CoverNotGiven.String()}
	for _, class := range jobplan.Classes() {
		out.Covers = append(out.Covers, class.String())
	}
	out.Cover = make([]uint8, len(m.Cells.Masks))
	for i := range out.Cover {
		class, _ := c.growth(i)
		out.Cover[i] = uint8(class)
	}
	return out
}

// PlannedRates are the acres in a productive hour that work is held against: of a class
// of cover the likeliest of the book, of all cover what the recommended plan reckons
// with on this ground.
func PlannedRates(p *jobplan.Plan, book *jobplan.Book) []progress.Rate {
	var rates []progress.Rate
	for _, f := range book.Machines {
		for _, class := range jobplan.Classes() {
			if perHour := book.Job.PerHour(f.Rate[class]); perHour > 0 {
				rates = append(rates, progress.Rate{Machine: f.Key, Cover: class.String(), AcresPerHour: perHour})
			}
		}
	}
	if len(p.Options) > 0 {
		for _, b := range p.Options[0].Crew {
			if b.ProductiveH > 0 {
				rates = append(rates, progress.Rate{Machine: b.Key, AcresPerHour: b.NetAcres / b.ProductiveH})
			}
		}
	}
	return rates
}
