package plan

import (
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/field/progress"
	"github.com/acreband/acreband/zoning/mapping"
)

// WorkMap is a map as worked ground is set against it. cover is that of ground of which
// no cover polygon tells the class.
func WorkMap(g *mapping.Ground, m *zoning.ZoneMap, cover Cover) progress.Map {
	out := progress.Map{Cells: m.Cells, Fleet: m.Fleet, Lots: m.Lots}
	if g.Site.Class == nil && cover == CoverNotGiven {
		return out
	}
	c := PieceCounter{Ground: g, Cover: cover}
	out.Covers = []string{CoverNotGiven.String()}
	for _, class := range Classes() {
		out.Covers = append(out.Covers, class.String())
	}
	out.Cover = make([]uint8, len(m.Cells.Masks))
	for i := range out.Cover {
		class, _ := c.Growth(i)
		out.Cover[i] = uint8(class)
	}
	return out
}

// ExpectedRates are the acres in a productive hour that work is held against: of a class
// of cover the likeliest of the book, of all cover what the recommended plan reckons
// with on this ground.
func ExpectedRates(p *Plan, book *Book) []progress.Rate {
	var rates []progress.Rate
	for _, f := range book.Machines {
		for _, class := range Classes() {
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
