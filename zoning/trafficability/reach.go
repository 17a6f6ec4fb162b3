package trafficability

import (
	"math"
	"math/bits"

	"github.com/acreband/acreband/zoning"
)

// reach gives a boom the ground that it reaches from where it may stand and swing, and
// takes off the ground it drives on without reaching it from there. It reaches no
// farther than its length from the middle of the machine, height counted, and works
// faces up to its limits above and below where it stands.
func (p *mover) reach() {
	places, near := p.places(), p.scratch.grown
	b := p.boomOver(places, p.faceSquared(p.machine.ReachUpPct), p.faceSquared(p.machine.ReachDownPct))
	p.lie.grow(near, places, b.disc, false, &p.scratch.spare)
	for r := range p.lie.rows {
		p.watch.Did(p.lie.cols)
		works, from, off := p.works.row(r), r*p.lie.cols, p.scratch.row
		for w, word := range near.row(r) {
			reached := word & p.free.row(r)[w]
			for left := reached; left != 0; left &= left - 1 {
				j := bits.TrailingZeros64(left)
				if i := from + w*64 + j; !p.whole(i) || places.row(r)[w]>>j&1 == 0 && !b.reaches(i) {
					reached &^= 1 << j
				}
			}
			off[w] = works[w] &^ reached
			works[w] |= reached
			if p.why != nil {
				each([]uint64{reached}, from+w*64, func(i int) { p.why[i] = zoning.Works })
			}
		}
		each(off, from, func(i int) {
			if p.underLine(i) {
				p.refuseCell(i, zoning.InSetback)
			} else {
				p.refuseCell(i, zoning.OutOfReach)
			}
		})
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
	places   cellSet
	up, down float32     // squares of the faces that it works above and below its place
	runM     [][]float64 // how far away the cells of the disc are, row by row
}

func (p *mover) boomOver(places cellSet, up, down float32) *boomReach {
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
	for away := range 2*len(b.disc.half) - 1 { // the nearest rows first: most cells lie beside a place
		v := (away + 1) / 2
		if away%2 == 1 {
			v = -v
		}
		y, half := r+v, b.disc.half[max(v, -v)]
		if y < 0 || y >= b.lie.rows {
			continue
		}
		b.watch.Did(2*half + 1)
		runM, places := b.runM[v+len(b.disc.half)-1], b.places.row(y)
		from, to := max(c-half, 0), min(c+half+1, b.lie.cols)
		for w := from / 64; w <= (to-1)/64; w++ {
			word := places[w] & (math.MaxUint64 << max(0, from-w*64)) & (math.MaxUint64 >> max(0, (w+1)*64-to))
			for ; word != 0; word &= word - 1 {
				x := w*64 + bits.TrailingZeros64(word)
				face := b.up
				rise := z - grid.Z[y*grid.Stride+x]
				if rise < 0 {
					face = b.down
				}
				run, h := runM[x-c+half], float64(rise)
				if squared < face && h*h <= float64(face)*run*run && math.Hypot(run, h) <= b.machine.ReachM {
					return true
				}
			}
		}
	}
	return false
}
