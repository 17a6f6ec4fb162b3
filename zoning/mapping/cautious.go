package mapping

import (
	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/trafficability"
)

// mayBeTooSteep keeps machines off ground that cells hide more of than the error of the
// heights, by which limits are lowered for a cautious map already: where it differs from
// place to place no limit can stand for it.
func (m *mapping) mayBeTooSteep() trafficability.Rule {
	return trafficability.Rule{
		Reason:    zoning.Reason{Key: "may-be-too-steep", Words: "steeper, it may be, than cells this coarse show"},
		BoomWorks: true,
		Of: func(a trafficability.Asked) func(int) bool {
			upper := a.Ground.Field.UpperSquared
			if upper == nil {
				return nil
			}
			limit := m.upperLimit(a.AlongPct)
			return func(i int) bool { return upper[i] >= limit }
		},
	}
}

// upperLimit is the square of what the upper slope of ground must stay below, where a
// limit of a machine as zones are drawn by it is given.
func (m *mapping) upperLimit(drawnPct float64) float32 {
	rise := max(0, m.worth.spread.Cov.Upper((drawnPct+m.o.MarginPct)/100-zoning.TieRise, slope.Certainty)-m.o.MarginPct/100)
	return float32(rise * rise)
}

// leaveDoubtful takes off the ground that mayBeTooSteep does, where slope alone is asked.
func (m *mapping) leaveDoubtful() {
	for k, machine := range m.drawn() {
		limit := m.upperLimit(machine.SteepestPct())
		for i, upper := range m.field.UpperSquared {
			if upper >= limit && m.cells.Masks[i] != zoning.Unknown && m.cells.Masks[i] != zoning.NoGo {
				m.cells.Masks[i] &^= 1 << k
			}
		}
	}
}

// hides reports whether slope may be off by more than the error of the heights.
func (r *resolution) hides() bool { return r.spread.Hidden != nil || r.spread.OffBy > 0 }
