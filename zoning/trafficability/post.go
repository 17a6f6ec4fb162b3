package trafficability

import (
	"math/bits"
	"slices"

	"github.com/acreband/acreband/zoning"
)

// Post is a gate or a bridge on the way: its cells, and what is posted there, in kilograms
// and meters; 0 is not posted.
type Post struct {
	Cells                     []int
	WeightKg, WidthM, HeightM float64
}

// Bars reports whether the machine may not pass, by its own figures. Nobody knows that one
// without weight or height may; one without width fits anywhere.
func (p Post) Bars(m zoning.Machine) bool {
	return over(m.WeightKg, p.WeightKg) || over(m.HeightM, p.HeightM) || m.WidthM > 0 && over(m.WidthM, p.WidthM)
}

// Posted reports whether anything is.
func (p Post) Posted() bool { return p.WeightKg > 0 || p.WidthM > 0 || p.HeightM > 0 }

// over reports whether a figure, 0 if not known, is above what is posted.
func over(figure, posted float64) bool {
	const rounding = 1e-9 // 20 tons are 40 000 lb
	return posted > 0 && (figure == 0 || figure > posted*(1+rounding))
}

// overPosting keeps a machine off the cells of the gates and bridges that it may not pass.
func overPosting(a Asked) func(int) bool {
	var barred []bool
	for _, p := range a.Ground.Posts {
		if !p.Bars(a.Machine) {
			continue
		}
		if barred == nil {
			barred = make([]bool, len(a.Ground.Field.Squared))
		}
		for _, i := range p.Cells {
			barred[i] = true
		}
	}
	return marked(barred)
}

// usesPlace reports whether the machine's load gets to a place of staging.
func (p *mover) usesPlace(n int) bool {
	return p.ground.Unloads == nil || p.ground.Unloads[n]>>p.index&1 != 0
}

// usedPlaces are the places of staging that the machine's load gets to.
func (p *mover) usedPlaces() (used []int) {
	for n := range p.ground.Staging {
		if p.usesPlace(n) {
			used = append(used, n)
		}
	}
	return used
}

// countUnloads lists the places of staging that it takes to get to all ground of the lots
// that the machine reaches: the first of each piece.
func (p *mover) countUnloads() {
	if used := p.usedPlaces(); len(used) == 1 { // all that is reached is from there
		p.staged(p.scratch.marks, reached)
		for r := range p.lie.rows {
			for w, word := range p.scratch.marks.row(r) {
				for ; word != 0; word &= word - 1 {
					if p.ground.Lots[r*p.lie.cols+w*64+bits.TrailingZeros64(word)] {
						p.unloads = used
						return
					}
				}
			}
		}
		return
	}
	for n, place := range p.ground.Staging {
		if !p.usesPlace(n) {
			continue
		}
		f := flood{mover: p, from: reached, to: across, runs: p.scratch.runs[:0]}
		for _, i := range place {
			if k := p.padded(i); p.scratch.stage[k] == reached {
				f.arrive(k)
			}
		}
		f.spread()
		p.scratch.runs = f.runs
		if slices.ContainsFunc(f.runs, p.inLot) {
			p.unloads = append(p.unloads, n)
		}
	}
	p.promote(across, reached)
}

// inLot reports whether some cell of a run is one of a lot.
func (p *mover) inLot(r run) bool {
	return slices.Contains(p.ground.Lots[p.cell(int(r.at)):][:r.n], true)
}
