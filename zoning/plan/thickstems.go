package plan

import (
	"fmt"

	"github.com/acreband/acreband/zoning"
)

// thickStems says which machines that are brought do not handle the thickest stems of
// ground that they may work.
func (p *planner) thickStems(brought map[string]bool) []string {
	var out []string
	u := p.site.Units
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
			out = append(out, fmt.Sprintf("%s handles stems of %s, and some on %s that it may work are up to %s",
				k.machine.Name, u.Stem(k.machine.StemM), areaText(wording{u, p.site.WholeAcres}, acres), u.Stem(thickest/12*zoning.MetresPerFoot)))
		}
	}
	return out
}
