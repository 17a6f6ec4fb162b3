package trafficability

import (
	"math"
	"math/bits"
	"slices"

	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/zoning"
)

// CrestFaceM is how high a face is that a machine keeps back from the crest of: 10 ft
// (common practice, no source).
const CrestFaceM = 10 * zoning.MetresPerFoot

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
	col, row float32 // in cells from the middle of the window's first
	z        float32 // of the upper cell
	faceM    float32 // how far the ground falls on below it, see faces.heightM
	down     int32   // the lower cell
}

// faces finds the crests of faces.
type faces struct {
	*lie
	ground *Ground
	watch  *beside.Watch
	rise   float64 // the fall of a face, as rise over run
	leastM float64 // what is less high is none
	mostM  float64 // faces are followed until they are so high
}

// between finds the crest between two cells side by side, of which the second, lower one is
// too steep.
func (f *faces) between(up, down int) crest {
	from, to := math.Sqrt(float64(f.ground.Field.Squared[up])), math.Sqrt(float64(f.ground.Field.Squared[down]))
	t := 0.0
	if to > from {
		t = min(max((f.rise-from)/(to-from), 0), 1)
	}
	c, r := float64(up%f.cols), float64(up/f.cols)
	col, row := c+t*(float64(down%f.cols)-c), r+t*(float64(down/f.cols)-r)
	// Height counts from the upper cell: slope is that of the ground around, and passes the
	// limit a little below where the ground breaks off.
	z := f.ground.Grid.Z[up/f.cols*f.ground.Grid.Stride+up%f.cols]
	return crest{float32(col), float32(row), z, float32(f.heightM(col, row, float64(z))), int32(down)}
}

// heightM is how far the ground falls from a spot, down the fall line, as far as it falls as
// steeply as a face on the whole, and no more than mostM; 0 where that is less than leastM. A
// ledge on the way counts if it is short: up to ledgeM of a face may be missing.
func (f *faces) heightM(col0, row0, z float64) (most float64) {
	col, row := col0, row0
	way := (f.mostM/f.rise + ledgeM) / f.shortM // in a pit it would go round
	f.watch.Did(int(min(way, beside.Units)))
	for ; way > 0 && most < f.mostM; way-- {
		dc, dr, ok := f.downhillFrom(int(col+0.5), int(row+0.5))
		if !ok {
			return most
		}
		col, row = col+dc, row+dr
		fall := z - f.heightAt(col, row)
		u, v := col-col0, row-row0
		run := math.Sqrt(f.e*u*u + 2*f.f*u*v + f.g*v*v)
		if !(fall > f.rise*(run-ledgeM)) { // nor where it is not known
			return most
		}
		// As a crest keeps it: asked first, since most of the way is less high.
		if float64(float32(fall)) >= f.leastM && fall >= f.rise*run {
			most = max(most, min(fall, f.mostM))
		}
	}
	return most
}

// heightAt is the height between the middles of cells, bilinear; NaN beyond them.
func (f *faces) heightAt(col, row float64) float64 {
	c, r := int(col), int(row)
	if col < 0 || row < 0 || c >= f.cols-1 || r >= f.rows-1 {
		return math.NaN()
	}
	g := f.ground.Grid
	i := r*g.Stride + c
	u, v := col-float64(c), row-float64(r)
	return (float64(g.Z[i])*(1-u)+float64(g.Z[i+1])*u)*(1-v) + (float64(g.Z[i+g.Stride])*(1-u)+float64(g.Z[i+g.Stride+1])*u)*v
}

// ledgeM is how much of its run may be missing from a face, where it eases on the way: a
// machine's length (planning value, no source).
const ledgeM = zoning.DefaultFootprintM

// downhillFrom is the way straight down from a cell, in cells, as long as a cell's shorter
// side; ok is false where none leads on.
func (f *faces) downhillFrom(c, r int) (dc, dr float64, ok bool) {
	field := f.ground.Field
	if field.Aspect == nil {
		return f.downhillByHeights(c, r)
	}
	i := r*f.cols + c
	way := &f.downhill[field.Aspect[i]]
	return way[0], way[1], field.Squared[i] > 0
}

// downhillByHeights is the same where nobody told the aspect.
func (f *faces) downhillByHeights(c, r int) (dc, dr float64, ok bool) {
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

// crests are the spots between cells side by side of which the lower is as steep as a face, or
// steeper, and the upper is not, where the face is leastM high or higher; row by row, as far
// as farM around the ground that machines drive on.
func (f *faces) crests(farM float64) (out []crest) {
	z, stride, squared := f.ground.Grid.Z, f.ground.Grid.Stride, f.ground.Field.Squared
	limit := riseSquared(100 * f.rise)
	rim := func(a, b int, za, zb float32, first bool) {
		if first { // the first is steep
			a, b, za, zb = b, a, zb, za
		}
		if s := squared[a]; za > zb && s == s {
			if x := f.between(a, b); float64(x.faceM) >= f.leastM {
				out = append(out, x)
			}
		}
	}
	c0, r0, c1, r1 := f.around(farM)
	if c0 >= c1 {
		return nil
	}
	words := (c1 - c0 + 63) / 64
	steep, above := make([]uint64, words), make([]uint64, words)
	for r := r0; r < r1; r++ {
		f.watch.Did(c1 - c0)
		asSteep(steep, squared[r*f.cols:][c0:c1], limit)
		// Where a cell and the one before it, or the one above, are not both as steep or not.
		before := steep[0] & 1
		for w, word := range steep {
			sideways := word ^ (word<<1 | before)
			before = word >> 63
			upwards := word ^ above[w]
			if r == r0 {
				upwards = 0
			}
			for turned := (sideways | upwards) & (math.MaxUint64 >> max(0, (w+1)*64-(c1-c0))); turned != 0; turned &= turned - 1 {
				j := bits.TrailingZeros64(turned)
				i, at := r*f.cols+c0+w*64+j, r*stride+c0+w*64+j
				is := word>>j&1 != 0
				if sideways>>j&1 != 0 {
					rim(i-1, i, z[at-1], z[at], !is)
				}
				if upwards>>j&1 != 0 {
					rim(i-f.cols, i, z[at-stride], z[at], !is)
				}
			}
		}
		steep, above = above, steep
	}
	return out
}

// around is the box of cells, from and to, as far as a distance around those that machines
// drive on, and one more.
func (f *faces) around(metres float64) (c0, r0, c1, r1 int) {
	c0, r0 = f.cols, f.rows
	for r := range f.rows {
		row := f.ground.Drive[r*f.cols:][:f.cols]
		first := slices.Index(row, true)
		if first < 0 {
			continue
		}
		last := f.cols - 1
		for !row[last] {
			last--
		}
		c0, r0, c1, r1 = min(c0, first), min(r0, r), max(c1, last+1), r+1
	}
	more := int(math.Ceil(metres/f.shortM)) + 2
	return max(c0-more, 0), max(r0-more, 0), min(c1+more, f.cols), min(r1+more, f.rows)
}
