package trafficability

import (
	"math"

	"github.com/acreband/acreband/zoning"
)

// slideLengths is how far back what can slide reaches at most, in lengths of the machine
// (common practice, no source).
const slideLengths = 1.5

// places marks where the machine may stand and swing its boom. A place is as large as the
// machine: all round its middle, as where it turns, the ground is within its standing limits
// on one heading, which it can keep there. A cell alone that reads gentler than the ground
// around it, as by the error of its height, is no place.
func (p *mover) places() []bool {
	limits := p.machine.Standing()
	along, cross := riseSquared(limits.AlongPct), riseSquared(limits.CrossPct)
	heads, places := make([]uint8, len(p.stands)), p.scratch.places
	for i, open := range p.scratch.open {
		if open && p.ground.Drive[i] && p.ground.Field.Squared[i] < along {
			heads[i] = p.headingsAt(i, cross)
		}
		p.scratch.mark[i] = heads[i] == 0
	}
	d := p.lie.disc(p.turnM(), atLeast)
	p.lie.grow(p.scratch.mark, p.scratch.mark, d, true, &p.scratch.spare)
	for i, stands := range p.stands {
		places[i] = stands && !p.scratch.mark[i] && !p.underLine(i)
	}
	// One heading must serve where not all do.
	for i, h := range heads {
		p.scratch.mark[i] = h != math.MaxUint8
	}
	p.lie.grow(p.scratch.mark, p.scratch.mark, d, false, &p.scratch.spare)
	for i, some := range p.scratch.mark {
		places[i] = places[i] && (!some || p.keepsHeading(i, heads, d))
	}
	p.keepFromFaces(places)
	return places
}

// keepsHeading reports whether one heading serves on all cells of a disc.
func (p *mover) keepsHeading(i int, heads []uint8, d disc) bool {
	all := heads[i]
	p.lie.eachNear(i, d, func(from, to int) {
		p.watch.Did(to - from)
		for _, h := range heads[from:to] {
			all &= h
		}
	})
	return all != 0
}

// edgePct is the fall of faces from whose edge a boom keeps back where it swings.
func (p *mover) edgePct() float64 {
	if p.machine.EdgePct > 0 {
		return p.machine.EdgePct
	}
	return max(zoning.DefaultEdgePct, p.machine.Driving().AlongPct)
}

// keepFromFaces takes off the places that are too near to the edge of a face which does not
// stand by itself: nearer than the machine is long, or than the face is high, as far as that
// can slide. A hill's height is none of its business.
func (p *mover) keepFromFaces(places []bool) {
	lengthM := p.footprintM()
	f := faces{lie: p.lie, ground: p.ground, watch: p.watch, rise: p.edgePct() / 100, mostM: slideLengths * lengthM}
	for _, x := range f.crests(leastDropM, slideLengths*lengthM) {
		p.lie.eachAbove(p.ground.Grid, x, max(lengthM, float64(x.faceM)), func(i int) { places[i] = false })
	}
}
