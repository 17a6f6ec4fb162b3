package trafficability

import (
	"math/bits"

	"github.com/acreband/acreband/zoning"
)

// slideLengths is how far back what can slide reaches at most, in lengths of the machine
// (common practice, no source).
const slideLengths = 1.5

// places are where the machine may stand and swing its boom. A place is as large as the
// machine: all round its middle, as where it turns, the ground is within its standing limits
// on one heading, which it can keep there. A cell alone that reads gentler than the ground
// around it, as by the error of its height, is no place.
func (p *mover) places() cellSet {
	admits := p.standHeadings()
	places, marks, grown := p.scratch.fits, p.scratch.marks, p.scratch.grown
	clear(places.bits)
	d := p.lie.disc(p.turnM(), atLeast)
	for _, serves := range admits {
		for i, on := range serves.bits {
			marks.bits[i] = marks.inRow(i%marks.words) &^ on
		}
		p.lie.grow(grown, marks, d, true, &p.scratch.spare)
		for i, off := range grown.bits {
			places.bits[i] |= p.stands.bits[i] &^ off
		}
	}
	if p.ground.LineM != nil {
		for r := range p.lie.rows {
			each(places.row(r), r*p.lie.cols, func(i int) {
				if p.underLine(i) {
					places.drop(i)
				}
			})
		}
	}
	p.keepFromFaces(places)
	return places
}

// standHeadings are, by heading, the cells whose slope admits it within the standing limits.
func (p *mover) standHeadings() []cellSet {
	limits := p.machine.Standing()
	along, cross := riseSquared(limits.AlongPct), riseSquared(limits.CrossPct)
	if p.scratch.admits == nil {
		for range headings {
			p.scratch.admits = append(p.scratch.admits, p.lie.noCells())
		}
	}
	for r := range p.lie.rows {
		p.watch.Did(p.lie.cols)
		squared, stands := p.ground.Field.Squared[r*p.lie.cols:][:p.lie.cols], p.scratch.row
		below(stands, squared, along)
		open, drive, gentle := p.scratch.open.row(r), p.drive.row(r), p.scratch.gentle.row(r)
		below(gentle, squared, cross)
		for w := range stands {
			stands[w] &= open[w] & drive[w]
			var steep [64]uint8 // headings of the steeper cells
			for word := stands[w] &^ gentle[w]; word != 0; word &= word - 1 {
				j := bits.TrailingZeros64(word)
				steep[j] = p.headingsAt(r*p.lie.cols+w*64+j, cross)
			}
			for k, admit := range byHeading(steep[:]) {
				p.scratch.admits[k].row(r)[w] = admit | stands[w]&gentle[w]
			}
		}
	}
	return p.scratch.admits
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
func (p *mover) keepFromFaces(places cellSet) {
	lengthM, near := p.footprintM(), p.scratch.marks
	clear(near.bits)
	f := faces{lie: p.lie, ground: p.ground, watch: p.watch, rise: p.edgePct() / 100, leastM: leastDropM, mostM: slideLengths * lengthM}
	for _, x := range f.crests(slideLengths * lengthM) {
		disc := p.lie.crestDisc(p.ground.Grid, max(lengthM, float64(x.faceM)))
		disc.addTo(near, x)
	}
	for i, off := range near.bits {
		places.bits[i] &^= off
	}
}
