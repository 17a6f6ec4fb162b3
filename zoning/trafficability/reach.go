package trafficability

import (
	"math"

	"github.com/acreband/acreband/zoning"
)

// reach gives a boom the ground that it reaches from where it may stand and swing, and
// takes off the ground it drives on without reaching it from there. It reaches no
// farther than its length from the middle of the machine, height counted, and works
// faces up to its limits above and below where it stands.
func (p *mover) reach() {
	places := p.places()
	p.lie.grow(p.scratch.mark, places, p.lie.disc(p.machine.ReachM, atMost), false, &p.scratch.spare)
	up, down := p.faceSquared(p.machine.ReachUpPct), p.faceSquared(p.machine.ReachDownPct)
	for i, near := range p.scratch.mark {
		p.watch.Did(1)
		works := near && p.whole(i) && (places[i] || p.reachedFrom(i, places, up, down))
		switch {
		case works:
			p.why[i] = zoning.Works
		case p.why[i] == zoning.Works && p.underLine(i):
			p.why[i] = zoning.InSetback
		case p.why[i] == zoning.Works:
			p.why[i] = zoning.OutOfReach
		}
	}
}

// underLine reports whether a boom at a cell could come within the clearance of a line
// overhead. It may drive there, boom down, but neither stands nor works there.
func (p *mover) underLine(i int) bool {
	return p.ground.LineM != nil && float64(p.ground.LineM[i]) < p.machine.ReachM
}

// faceSquared is the square of a face that a boom works; where none is given it works
// none that way.
func (p *mover) faceSquared(pct float64) float32 {
	if pct == 0 {
		return 0
	}
	return riseSquared(pct)
}

// reachedFrom reports whether some place is near enough to a cell, and the face between
// them and at the cell one that the boom works.
func (p *mover) reachedFrom(i int, places []bool, up, down float32) bool {
	squared := p.ground.Field.Squared[i]
	if squared >= max(up, down) {
		return false
	}
	c, r := i%p.lie.cols, i/p.lie.cols
	z := p.ground.Grid.Z[r*p.ground.Grid.Stride+c]
	d := p.lie.disc(p.machine.ReachM, atMost)
	for v := -len(d.half) + 1; v < len(d.half); v++ {
		y := r + v
		if y < 0 || y >= p.lie.rows {
			continue
		}
		half := d.half[max(v, -v)]
		p.watch.Did(2*half + 1)
		for x := max(c-half, 0); x <= min(c+half, p.lie.cols-1); x++ {
			if !places[y*p.lie.cols+x] {
				continue
			}
			face := up
			rise := z - p.ground.Grid.Z[y*p.ground.Grid.Stride+x]
			if rise < 0 {
				face = down
			}
			run := p.lie.distM(x-c, v)
			h := float64(rise)
			if squared < face && h*h <= float64(face)*run*run && math.Hypot(run, h) <= p.machine.ReachM {
				return true
			}
		}
	}
	return false
}
