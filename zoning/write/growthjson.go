package write

import (
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
)

type growth struct {
	DSM      []elevation                  `json:"dsm"`
	Surveyed string                       `json:"surveyed,omitempty"`
	How      string                       `json:"how"`
	Acres    map[string]number            `json:"acres"`
	Unknown  number                       `json:"no_data_acres"`
	Water    number                       `json:"water_acres"`
	Cover    map[string]map[string]number `json:"proposed_cover,omitempty"` // acres of each zone by class, from heights alone
	Lots     []map[string]number          `json:"lots,omitempty"`
}

// summariseGrowth lists lots by themselves, in the map's order, where there are
// several.
func summariseGrowth(u measure.Units, g *zoning.Growth) *growth {
	if g == nil {
		return nil
	}
	total := g.Total()
	s := &growth{DSM: []elevation{}, Surveyed: g.Surveyed, How: g.How, Acres: byGrowth(u, total), Unknown: number(total.Unknown), Water: number(total.Water)}
	for _, e := range g.Sources {
		s.DSM = append(s.DSM, elevationOf(e))
	}
	for band, acres := range g.Cover {
		if s.Cover == nil {
			s.Cover = map[string]map[string]number{}
		}
		s.Cover[band] = map[string]number{}
		for class, word := range zoning.CoverWords() {
			s.Cover[band][word] = number(u.Area(acres[class]))
		}
	}
	if len(g.Lots) > 1 {
		for _, lot := range g.Lots {
			one := byGrowth(u, lot)
			one[zoning.UnknownKey], one["water"] = number(lot.Unknown), number(lot.Water)
			for key, acres := range one { // no name above them says that they are areas
				one[key] = number(u.Area(float64(acres)))
			}
			s.Lots = append(s.Lots, one)
		}
	}
	return s
}

func byGrowth(u measure.Units, a zoning.GrowthAcres) map[string]number {
	out := map[string]number{}
	for class, acres := range a.ByClass {
		out[zoning.GrowthClassKey(u, class)] = number(acres)
	}
	return out
}
