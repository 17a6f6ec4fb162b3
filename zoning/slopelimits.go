package zoning

import "slices"

// SlopesPct lists the slopes in percent, rising, that the fleet's machines are held to in
// any state of the ground, and those a tie below, which count as over them: slopes in a
// file must not be rounded from one of them to below it.
func (f Fleet) SlopesPct() (out []float64) {
	for _, ground := range []Moisture{Dry, Wet} {
		for _, m := range f.On(ground) {
			for _, s := range specs {
				if s.Unit != Percent {
					continue
				}
				if pct := *s.Of(&m); pct > 0 {
					out = append(out, pct, pct-100*TieRise)
				}
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}
