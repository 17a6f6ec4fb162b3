package plan

import (
	"fmt"

	"github.com/acreband/acreband/zoning"
)

// thickStems says which machines that are brought do not handle the thickest stems of
// ground that they may work.
func (p *planner) thickStems(brought map[string]bool) []string {
	var out []string
	for _, k := range p.kinds {
		most := k.machine.StemM / zoning.MetresPerFoot * 12
		if !brought[k.machine.Key] || most == 0 {
			continue
		}
		thickest, acres := 0.0, 0.0
		for _, piece := range p.site.Pieces {
			if !piece.closed() && piece.May&(1<<k.fleet) != 0 && piece.ThickestIn > most*(1+1e-6) {
				thickest, acres = max(thickest, piece.ThickestIn), acres+piece.NetAcres
			}
		}
		if acres >= LeastWorkAcres {
			out = append(out, fmt.Sprintf("%s handles stems of %.3g in, and some on %s acres that it may work are up to %.3g in",
				k.machine.Name, most, acresText(acres), thickest))
		}
	}
	return out
}
