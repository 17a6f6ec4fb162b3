package trafficability

import "github.com/acreband/acreband/zoning"

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

// countUnloads lists the places of staging that it takes to get to all ground of the lots
// that the machine reaches: the first of each piece.
func (p *mover) countUnloads() {
	seen := make([]bool, len(p.scratch.stage))
	for n, place := range p.ground.Staging {
		if !p.usesPlace(n) {
			continue
		}
		lot := false
		for _, i := range place {
			if k := p.padded(i); p.scratch.stage[k] == reached && !seen[k] && p.lotFrom(k, seen) {
				lot = true
			}
		}
		if lot {
			p.unloads = append(p.unloads, n)
		}
	}
}

// lotFrom reports whether ground of a lot is among what is reached from a padded cell, and
// marks all of that as seen.
func (p *mover) lotFrom(k int, seen []bool) (lot bool) {
	moves := p.moves()
	seen[k] = true
	queue := append(p.scratch.queue[:0], int32(k))
	for n := 0; n < len(queue); n++ {
		p.watch.Did(len(moves))
		k := int(queue[n])
		lot = lot || p.ground.Lots[p.cell(k)]
		for w := range moves {
			if j := k + moves[w].to; p.scratch.stage[j] == reached && !seen[j] && p.may(k, &moves[w]) {
				seen[j] = true
				queue = append(queue, int32(j))
			}
		}
	}
	p.scratch.queue = queue
	return lot
}
