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
	for i, open := range p.scratch.open {
		p.scratch.mark[i] = !(open && p.ground.Drive[i])
	}
	p.lie.grow(p.scratch.mark, p.scratch.mark, p.lie.disc(p.clearM(), atLeast), true, &p.scratch.spare)
	p.eachRow(func(row, k int) {
		for i, blocked := range p.scratch.mark[row:][:p.lie.cols] {
			if blocked {
				p.scratch.heads[k+i] = 0
			} else {
				p.scratch.stage[k+i] = fits
			}
		}
	})
}
