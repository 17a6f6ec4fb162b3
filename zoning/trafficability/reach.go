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
	b := p.boomOver(places, p.faceSquared(p.machine.ReachUpPct), p.faceSquared(p.machine.ReachDownPct))
	p.lie.grow(p.scratch.mark, places, b.disc, false, &p.scratch.spare)
	for i, near := range p.scratch.mark {
		p.watch.Did(1)
		works := near && p.whole(i) && (places[i] || b.reaches(i))
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

// boomReach is what reaches cells from places.
type boomReach struct {
	*mover
	disc     disc // cells that may be within its reach
	places   []bool
	up, down float32     // squares of the faces that it works above and below its place
	runM     [][]float64 // how far away the cells of the disc are, row by row
}

func (p *mover) boomOver(places []bool, up, down float32) *boomReach {
	b := &boomReach{mover: p, disc: p.lie.disc(p.machine.ReachM, atMost), places: places, up: up, down: down}
	for v := -len(b.disc.half) + 1; v < len(b.disc.half); v++ {
		half := b.disc.half[max(v, -v)]
		row := make([]float64, 2*half+1)
		for i := range row {
			row[i] = b.lie.distM(i-half, v)
		}
		b.runM = append(b.runM, row)
	}
	return b
}

// reaches reports whether some place is near enough to a cell, and the face between
// them and at the cell one that the boom works.
func (b *boomReach) reaches(i int) bool {
	squared := b.ground.Field.Squared[i]
	if squared >= max(b.up, b.down) {
		return false
	}
	c, r := i%b.lie.cols, i/b.lie.cols
	grid := b.ground.Grid
	z := grid.Z[r*grid.Stride+c]
	for n, runM := range b.runM {
		y, half := r+n-len(b.disc.half)+1, len(runM)/2
		if y < 0 || y >= b.lie.rows {
			continue
		}
		b.watch.Did(len(runM))
		from, to := max(c-half, 0), min(c+half+1, b.lie.cols)
		runM = runM[from-c+half:][:to-from]
		heights := grid.Z[y*grid.Stride+from:][:to-from]
		for x, place := range b.places[y*b.lie.cols+from:][:to-from] {
			if !place {
				continue
			}
			face := b.up
			rise := z - heights[x]
			if rise < 0 {
				face = b.down
			}
			run, h := runM[x], float64(rise)
			if squared < face && h*h <= float64(face)*run*run && math.Hypot(run, h) <= b.machine.ReachM {
				return true
			}
		}
	}
	return false
}
