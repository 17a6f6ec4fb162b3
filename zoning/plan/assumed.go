package plan

import (
	"fmt"
	"slices"
	"strings"
)

// assume lists the figures of the plan that are defaults and nobody's own, a line for
// the job and for each machine that may work some of the ground, with where they come
// from; and where its owner has the others from.
func (p *planner) assume(plan *Plan) {
	var bases []string
	of := map[string][]string{} // names by basis
	add := func(name string, t figuresText, keys []string) {
		if s := t.list(p.site.Units, keys); s != "" {
			plan.Assumptions = append(plan.Assumptions, name+": "+s)
			if of[t.assumedBasis] == nil {
				bases = append(bases, t.assumedBasis)
			}
			of[t.assumedBasis] = append(of[t.assumedBasis], name)
		}
		if own := t.ownBasis(); own != "" {
			plan.Bases = append(plan.Bases, name+": "+own)
		}
	}
	for _, k := range p.kinds {
		if keys := p.keysUsed(k); keys != nil {
			add(k.machine.Key, k.figures.figuresText, keys)
		}
	}
	add("job", p.job.figuresText, JobKeys())
	for _, b := range bases {
		plan.Assumptions = append(plan.Assumptions, fmt.Sprintf("these of %s: %s", strings.Join(of[b], ", "), b))
	}
}

// keysUsed are the figures of a machine that a plan depends on: all but the rates in covers
// that no ground has that it may work; nil where there is no such ground.
func (p *planner) keysUsed(k kind) []string {
	var keys []string
	var classes [covers]bool
	for _, piece := range p.site.Pieces {
		if !piece.closed() && piece.May&(1<<k.fleet) != 0 {
			classes[piece.Cover] = true
			keys = MachineKeys()
		}
	}
	return slices.DeleteFunc(keys, func(key string) bool {
		for _, c := range Classes() {
			if key == rateKey(c) {
				return !classes[c] && !classes[CoverNotGiven]
			}
		}
		return false
	})
}
