package trafficability

import (
	"math"

	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/zoning"
)

// crestFaceM is how high a face is that a machine keeps back from the crest of: 10 ft
// (common practice, no source).
const crestFaceM = 10 * zoning.MetresPerFoot

// crestM is how far the machine keeps back from such a crest: its own length, unless told
// otherwise.
func (p *mover) crestM() float64 {
	if p.machine.CrestM > 0 {
		return p.machine.CrestM
	}
	return p.footprintM()
}

// crest is a spot of a line at which falling ground becomes too steep. It lies between the
// middles of two cells, where the slope passes the limit, and not at one of them: so the
// ground kept from it is as wide on coarse cells, and on turned ones, as on fine.
type crest struct {
	col, row float64 // in cells from the middle of the window's first
	z        float64 // of the upper cell
	faceM    float64 // how far the ground falls on below it, see faces.heightM
}

// faces finds the crests of faces.
type faces struct {
	*lie
	ground *Ground
	watch  *beside.Watch
	rise   float64 // the fall of a face, as rise over run
	mostM  float64 // faces are followed until they are so high
}

// squared is a slope as a square of rise over run; one that is not known is none.
func (f *faces) squared(i int) float32 { return f.ground.Field.Squared[i] }

// between finds the crest between two cells side by side, of which the first may be driven on
// and the second, lower one is too steep.
func (f *faces) between(up, down int) crest {
	from, to := math.Sqrt(float64(f.squared(up))), math.Sqrt(float64(f.squared(down)))
	t := 0.0
	if to > from {
		t = min(max((f.rise-from)/(to-from), 0), 1)
	}
	c, r := float64(up%f.cols), float64(up/f.cols)
	dc, dr := float64(down%f.cols)-c, float64(down/f.cols)-r
	// Height counts from the upper cell: slope is that of the ground around, and passes the
	// limit a little below where the ground breaks off.
	x := crest{col: c + t*dc, row: r + t*dr, z: float64(f.ground.Grid.Z[up/f.cols*f.ground.Grid.Stride+up%f.cols])}
	x.faceM = f.heightM(x)
	return x
}

// heightM is how far the ground falls from a crest, down the fall line, as far as it falls as
// steeply as a face on the whole, and no more than mostM. A ledge on the way counts if it is
// short: up to ledgeM of a face may be missing.
func (f *faces) heightM(x crest) (most float64) {
	col, row := x.col, x.row
	for way := (f.mostM/f.rise + ledgeM) / f.shortM; way > 0 && most < f.mostM; way-- { // in a pit it would go round
		f.watch.Did(1)
		dc, dr, ok := f.downhill(int(col+0.5), int(row+0.5))
		if !ok {
			return most
		}
		col, row = col+dc, row+dr
		fall := x.z - f.ground.Grid.Between(col+0.5, row+0.5)
		u, v := col-x.col, row-x.row
		run := math.Sqrt(f.e*u*u + 2*f.f*u*v + f.g*v*v)
		switch {
		case fall >= f.rise*run:
			most = max(most, min(fall, f.mostM))
		case !(fall > f.rise*(run-ledgeM)): // nor where it is not known
			return most
		}
	}
	return most
}

// ledgeM is how much of its run may be missing from a face, where it eases on the way: a
// machine's length (planning value, no source).
const ledgeM = zoning.DefaultFootprintM

// downhill is the way straight down from a cell, in cells, as long as a cell's shorter
// side; ok is false where none leads on.
func (f *faces) downhill(c, r int) (dc, dr float64, ok bool) {
	g := f.ground.Grid
	if c < 1 || r < 1 || c >= f.cols-1 || r >= f.rows-1 {
		return 0, 0, false
	}
	i := r*g.Stride + c
	up, row, down := g.Z[i-g.Stride-1:][:3], g.Z[i-1:][:3], g.Z[i+g.Stride-1:][:3]
	p := float64((up[2] - up[0]) + 2*(row[2]-row[0]) + (down[2] - down[0]))
	q := float64((down[0] - up[0]) + 2*(down[1]-up[1]) + (down[2] - up[2]))
	// The gradient's direction in cells: by the inverse of the first fundamental form.
	dc, dr = f.f*q-f.g*p, f.f*p-f.e*q
	length := math.Sqrt(f.e*dc*dc + 2*f.f*dc*dr + f.g*dr*dr)
	if !(length > 0) {
		return 0, 0, false
	}
	return dc * f.shortM / length, dr * f.shortM / length, true
}

// eachRim visits the pairs of cells side by side of which the lower is too steep and the
// upper is not: of those below one limit and above it, and of those below and above a
// second, higher one.
func (f *faces) eachRim(limit, second float32, visit func(up, down int)) {
	z, stride := f.ground.Grid.Z, f.ground.Grid.Stride
	grade := func(s float32) (n uint8) {
		if s >= limit {
			n++
		}
		if s >= second {
			n++
		}
		return n
	}
	rim := func(a, b int, za, zb float32, steeper bool) {
		if !steeper {
			a, b, za, zb = b, a, zb, za
		}
		if s := f.ground.Field.Squared[a]; za > zb && s == s {
			visit(a, b)
		}
	}
	above := make([]uint8, f.cols)
	for r := range f.rows {
		f.watch.Did(f.cols)
		var before uint8
		for c, s := range f.ground.Field.Squared[r*f.cols:][:f.cols] {
			g := grade(s)
			if c > 0 && g != before {
				rim(r*f.cols+c-1, r*f.cols+c, z[r*stride+c-1], z[r*stride+c], g > before)
			}
			if r > 0 && g != above[c] {
				rim((r-1)*f.cols+c, r*f.cols+c, z[(r-1)*stride+c], z[r*stride+c], g > above[c])
			}
			before, above[c] = g, g
		}
	}
}

// eachNear visits the cells around a crest that are nearer than a distance and not below the
// face: no lower than half its height.
func (f *faces) eachNear(x crest, metres float64, visit func(i int)) {
	tie := 1 - 1e-9 // rounding does not decide about a cell at the very distance
	r2 := metres * metres * tie
	reachR := metres / math.Sqrt((f.g - f.f*f.f/f.e))
	for r := max(int(math.Ceil(x.row-reachR)), 0); r <= min(int(math.Floor(x.row+reachR)), f.rows-1); r++ {
		v := float64(r) - x.row
		// e u² + 2 f u v + g v² < r²
		mid, left := -f.f*v/f.e, r2/f.e-v*v*(f.g/f.e-f.f*f.f/(f.e*f.e))
		if left < 0 {
			continue
		}
		half := math.Sqrt(left)
		from, to := max(int(math.Ceil(x.col+mid-half)), 0), min(int(math.Floor(x.col+mid+half)), f.cols-1)
		row := f.ground.Grid.Z[r*f.ground.Grid.Stride:]
		for c := from; c <= to; c++ {
			if float64(row[c]) > x.z-x.faceM/2 {
				visit(r*f.cols + c)
			}
		}
	}
}

// keepFromCrests takes off the ground that is nearer than the machine's length to a crest
// beyond which the ground falls steeper than it may drive, for 10 ft or more. A boom works
// over such an edge: its middle keeps back so far, and what it reaches is found later.
//
// On ground that is not dry the crests of dry ground count too: a crest that is moved up
// the slope would else leave some cell in a corner to the machine.
func (p *mover) keepFromCrests() {
	driving := p.machine.Driving().AlongPct
	p.keepFromCrestsOf(driving)
	if p.machine.FacePct > driving {
		p.keepFromCrestsOf(p.machine.FacePct)
	}
}

func (p *mover) keepFromCrestsOf(facePct float64) {
	squared := p.ground.Field.Squared
	free, along := riseSquared(facePct), riseSquared(p.alongPct())
	f := faces{lie: p.lie, ground: p.ground, watch: p.watch, rise: facePct / 100, mostM: crestFaceM}
	metres := p.crestM()
	f.eachRim(free, max(free, along), func(up, down int) {
		// Within a face that is worked on a tether its end holds the machine, too.
		hung := squared[up] >= free
		if !hung && squared[down] < along && (p.scratch.open[down] || p.anchored(down)) {
			return
		}
		x := f.between(up, down)
		if x.faceM < crestFaceM {
			return
		}
		f.eachNear(x, metres, func(i int) {
			if hung && squared[i] < free {
				return
			}
			k := p.padded(i)
			if p.why[i] == zoning.Works {
				p.why[i] = zoning.NearCrest
			}
			p.scratch.heads[k], p.scratch.stage[k] = 0, shut
			if p.machine.ReachM == 0 {
				p.scratch.open[i] = false
			}
		})
	})
}
