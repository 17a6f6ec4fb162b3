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
func (f *flood) countUnloads() {
	used := f.usedPlaces()
	if len(used) == 1 { // all that is reached is from there
		for at, cells := range f.got.words {
			if f.inLot(news{at, cells}) {
				f.unloads = used
				return
			}
		}
		return
	}
	again := *f
	again.left, again.got = padSet{f.got.stride, slices.Clone(f.got.words)}, f.waded
	for _, n := range used {
		again.news = again.news[:0]
		for _, i := range f.ground.Staging[n] {
			again.arrive(i)
		}
		again.spread()
		if slices.ContainsFunc(again.news, again.inLot) {
			f.unloads = append(f.unloads, n)
		}
	}
}

// inLot reports whether some cell is one of a lot.
func (f *flood) inLot(n news) bool {
	for first := f.firstCell(n.at); n.cells != 0; n.cells &= n.cells - 1 {
		if f.ground.Lots[first+bits.TrailingZeros64(n.cells)] {
			return true
		}
	}
	return false
}
