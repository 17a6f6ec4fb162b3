package plan

import (
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/field/progress"
	"github.com/acreband/acreband/zoning/mapping"
)

// WorkMap is a map as worked ground is set against it. cover is that of ground of which
// no cover polygon tells the class. Errors are [*Error], where the map is not one of this
// ground.
func WorkMap(g *mapping.Ground, m *zoning.ZoneMap, cover Cover) (progress.Map, error) {
	if err := fit(g, m, cover); err != nil {
		return progress.Map{}, err
	}
	out := progress.Map{Units: m.Units, Cells: m.Cells, Fleet: m.Fleet, Lots: m.Lots}
	if g.Site.Class == nil && cover == CoverNotGiven {
		return out, nil
	}
	c := pieceCounter{Ground: g, cover: cover}
	out.Covers = []string{CoverNotGiven.String()}
	for _, class := range Classes() {
		out.Covers = append(out.Covers, class.String())
	}
	out.Cover = make([]uint8, len(m.Cells.Masks))
	for i := range out.Cover {
		class, _, _ := c.growth(i)
		out.Cover[i] = uint8(class)
	}
	return out, nil
}

// ExpectedRates are the acres in a productive hour that work is held against: of a class
// of cover the likeliest of the book, of all cover what the recommended plan reckons
// with on this ground. Without a plan or a book there are none of it.
func ExpectedRates(p *Plan, book *Book) []progress.Rate {
	var rates []progress.Rate
	for _, f := range book.machines() {
		for _, class := range Classes() {
			if perHour := book.Job.perHour(f.Rate[class].Likely, f.Rate[class].PerDay); perHour > 0 {
				rates = append(rates, progress.Rate{Machine: f.Key, Cover: class.String(), AcresPerHour: perHour})
			}
		}
	}
	if p != nil && len(p.Options) > 0 {
		for _, b := range p.Options[0].Crew {
			if b.ProductiveH > 0 {
				rates = append(rates, progress.Rate{Machine: b.Key, AcresPerHour: b.NetAcres / b.ProductiveH})
			}
		}
	}
	return rates
}
