package trafficability

import (
	"math"

	"github.com/acreband/acreband/zoning"
)

// wayMarginM is what a way must be wider than a machine on either side: 1 ft
// (planning value, no source).
const wayMarginM = zoning.MetresPerFoot

// clearM is how far the middle of the machine keeps from the middle of a cell that it
// may not be on, so that it keeps its margin from the cell's side.
func (p *mover) clearM() float64 { return p.lie.clearM(p.machine.WidthM) }

func (l *lie) clearM(widthM float64) float64 {
	if widthM == 0 {
		return 0
	}
	return widthM/2 + wayMarginM + l.shortM/2
}

func (p *mover) footprintM() float64 {
	if p.machine.FootprintM == 0 {
		return zoning.DefaultFootprintM
	}
	return p.machine.FootprintM
}

// turnM is the same for where it turns round its middle.
func (p *mover) turnM() float64 {
	if p.machine.WidthM == 0 {
		return 0
	}
	return math.Hypot(p.machine.WidthM, p.footprintM())/2 + p.lie.shortM/2
}

// fit finds the cells on which the middle of the machine fits.
func (p *mover) fit() {
	p.notOpen(p.scratch.marks)
	blocked := p.scratch.grown
	p.lie.grow(blocked, p.scratch.marks, p.lie.disc(p.clearM(), atLeast), true, &p.scratch.spare)
	for r := range p.lie.rows {
		p.watch.Did(p.lie.cols)
		fits, off := p.scratch.fits.row(r), p.scratch.row
		for w, open := range p.scratch.open.row(r) {
			b := blocked.row(r)[w]
			fits[w], off[w] = blocked.inRow(w)&^b, open&b
		}
		each(off, (r+pad)*(p.lie.cols+2*pad)+pad, func(k int) { p.scratch.heads[k] = 0 })
	}
}

// notOpen finds the cells that the machine may not drive on.
func (p *mover) notOpen(cells cellSet) {
	for i, open := range p.scratch.open.bits {
		cells.bits[i] = cells.inRow(i%cells.words) &^ (open & p.drive.bits[i])
	}
}
