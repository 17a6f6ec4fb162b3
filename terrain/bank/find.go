package bank

import (
	"math"
	"runtime"
	"slices"

	"github.com/acreband/acreband/terrain/beside"
)

// inParts calls work for parts of n things on all processors, each with a fitter of its own.
func (s *search) inParts(n int, work func(f *fitter, from, to int)) {
	parts := min(runtime.GOMAXPROCS(0), n)
	each := (n + parts - 1) / parts
	var all beside.Group
	defer all.Wait()
	for from := 0; from < n; from += each {
		all.Go(func() { work(s.fitter(s.g, s.watch.Another()), from, min(from+each, n)) })
	}
}

// fitAll fits the template wherever a first look shows that there may be something.
func (s *search) fitAll() {
	s.rows = make([][]fit, s.g.Rows)
	s.inParts(s.g.Rows, func(f *fitter, from, to int) {
		for r := from; r < to; r++ {
			f.watch.Did(s.g.Cols)
			s.fitRow(f, r, &s.rows[r])
		}
	})
}

// fitRow fits the cells of a row that a first look along it, and across it, does not rule out.
func (s *search) fitRow(f *fitter, r int, out *[]fit) {
	if r < f.reach || r >= s.g.Rows-f.reach {
		return
	}
	z, at := s.g.Z, r*s.g.Stride
	n, down := f.step, f.step*s.g.Stride
	for from := f.reach; from < s.g.Cols-f.reach; {
		to := min(from/s.scale.side*s.scale.side+s.scale.side, s.g.Cols-f.reach) // of one tile
		leastM := max(s.leastM, leastOfTypical*s.scale.typicalM[s.tile(from, r)])
		least, trough := float32(screenStep*leastM), float32(screenTrough*s.leastM)
		for c := from; c < to; c++ {
			i := at + c
			ew, ns := stepAt(z, i, n), stepAt(z, i, down)
			steps := max(ew, -ew) >= least && isCrest(z, i, n, ew) || max(ns, -ns) >= least && isCrest(z, i, down, ns)
			ditches := f.troughAt(z, i, n) >= trough || f.troughAt(z, i, down) >= trough
			if !steps && !ditches {
				continue
			}
			f.watch.Did(10)
			b, ok := f.fit(c, r, leastM, steps, ditches)
			if !ok {
				continue
			}
			if b.likelihood = float32(s.likelihood(&b)); b.likelihood >= likely {
				*out = append(*out, b)
			}
		}
		from = to
	}
}

// stepAt is 2/3 of a step between the samples on either side of one: their difference, less a
// third of that of those three away, which no quadratic surface shows.
func stepAt(z []float32, i, n int) float32 {
	return (z[i+n] - z[i-n]) - (z[i+3*n]-z[i-3*n])/3
}

// isCrest reports whether a step that shows at a sample shows no better beside it: a bank shows
// faintly, and the other way, some samples off.
func isCrest(z []float32, i, n int, step float32) bool {
	step = max(step, -step)
	for _, k := range [2]int{i - n, i + n} {
		if k-3*n < 0 || k+3*n >= len(z) {
			continue
		}
		if o := stepAt(z, k, n); max(o, -o)*crestOf > step {
			return false
		}
	}
	return true
}

// troughAt is how deep a trough is of which a sample is the bottom, by two pairs of samples
// beside it, weighed so that no quadratic surface shows.
func (t *template) troughAt(z []float32, i, n int) float32 {
	if t.wide {
		return (16*(z[i+3*n]+z[i-3*n])-9*(z[i+4*n]+z[i-4*n]))/14 - z[i]
	}
	return (9*(z[i+2*n]+z[i-2*n])-4*(z[i+3*n]+z[i-3*n]))/10 - z[i]
}

// Of the least height, what the first look asks for; and of the best beside it.
const (
	screenStep   = 0.4
	screenTrough = 0.6
	crestOf      = 0.7
)

// near is the fit of a cell, nil where there is none.
func (s *search) near(c, r int) *fit {
	if c < 0 || r < 0 || c >= s.g.Cols || r >= s.g.Rows {
		return nil
	}
	row, cell := s.rows[r], r*s.g.Cols+c
	i, ok := slices.BinarySearchFunc(row, cell, func(f fit, cell int) int { return f.cell - cell })
	if !ok {
		return nil
	}
	return &row[i]
}

// down is the way down from a fit in cells: that of its normal.
func (s *search) down(b *fit) (dc, dr float64) {
	sh := &s.shapes[b.shape]
	// A way on the ground in cells.
	dr = sh.y / s.perRow[1]
	dc = (sh.x - s.perRow[0]*dr) / s.perCol[0]
	n := 1 / math.Hypot(dc, dr)
	if sh.kind == Step && b.heightM > 0 {
		n = -n // higher along its normal
	}
	return dc * n, dr * n
}

// peak is a fit that is the best across its line.
type peak struct {
	*fit
	dc, dr float64 // the way down, in cells
}

// peaks keeps the best of fits across each line.
func (s *search) peaks() []peak {
	parts := make([][]peak, s.g.Rows)
	s.inParts(s.g.Rows, func(f *fitter, from, to int) {
		for r := from; r < to; r++ {
			for i := range s.rows[r] {
				b := &s.rows[r][i]
				f.watch.Did(10)
				if dc, dr := s.down(b); s.isPeak(b, dc, dr) {
					parts[r] = append(parts[r], peak{b, dc, dr})
				}
			}
		}
	})
	return slices.Concat(parts...)
}

// isPeak reports whether no fit of its kind within three samples across its line is better, the
// face of a step is a face and no long slope, and the ground on either side of a ditch lies higher:
// the foot of a bank is none.
func (s *search) isPeak(b *fit, dc, dr float64) bool {
	c, r := b.cell%s.g.Cols, b.cell/s.g.Cols
	mine, kind := s.explains(b), s.shapes[b.shape].kind
	better := func(c, r int, corner bool) bool {
		o := s.near(c, r)
		if o == nil || o == b || s.shapes[o.shape].kind != kind {
			return false
		}
		if corner { // of its own line, unless it falls the other way
			if u, v := s.down(o); u*dc+v*dr >= 0 {
				return false
			}
		}
		e := s.explains(o)
		return e > mine || e == mine && o.cell < b.cell
	}
	for _, way := range [2]int{-1, 1} {
		lastC, lastR := c, r
		for k := 1; k <= besideSamples*s.step; k++ {
			x, y := along(c, r, way*k, dc, dr)
			// No line slips through between cells that meet at a corner.
			if better(x, y, false) || better(lastC, y, true) || better(x, lastR, true) {
				return false
			}
			lastC, lastR = x, y
		}
	}
	if kind == Step {
		return s.isFace(b, dc, dr)
	}
	return s.isLow(b, dc, dr)
}

// along is the cell so many cells along a way from another, each a row or a column on.
func along(c, r, k int, dc, dr float64) (x, y int) {
	f := float64(k) / max(math.Abs(dc), math.Abs(dr))
	return c + int(math.Round(f*dc)), r + int(math.Round(f*dr))
}

// isFace reports whether most of a step is fallen over two samples, what falls on either side
// taken off: a rounded slope of some length may leave a surface as a step does.
func (s *search) isFace(b *fit, dc, dr float64) bool {
	c, r := float64(b.cell%s.g.Cols)+0.5, float64(b.cell/s.g.Cols)+0.5
	z := func(k float64) float64 {
		k *= float64(s.step)
		return s.g.Between(c+k*dc, r+k*dr)
	}
	face, around, below := z(-1)-z(1), z(-3)-z(-1), z(1)-z(3)
	if math.Abs(below) < math.Abs(around) { // the side that no other step lies on
		around = below
	}
	return !(face-around < faceOfStep*abs32(b.heightM)) // where the ends are not known, too
}

// faceOfStep is how much of a step's height falls over its face at least.
const faceOfStep = 0.6

// isLow reports whether the ground on both sides lies higher than a ditch by a part of its depth:
// on a slope the lower rim does not stand up by all of it.
func (s *search) isLow(b *fit, dc, dr float64) bool {
	rims := s.rims(b, dc, dr)
	for _, rim := range rims {
		if !(s.z(rim)-s.z(b.cell) >= rimOfDepth*float64(b.heightM)) {
			return false
		}
	}
	return true
}

// rimOfDepth is how much of its depth either rim of a ditch stands above its bottom at least.
const rimOfDepth = 0.3

// rims are the highest cells on either side of a ditch, as far as its width and two samples.
func (s *search) rims(b *fit, dc, dr float64) (rims [2]int) {
	c, r := b.cell%s.g.Cols, b.cell/s.g.Cols
	for side, way := range [2]int{-1, 1} {
		rims[side] = b.cell
		for k := 1; k <= s.rimCells; k++ {
			x, y := along(c, r, way*k, dc, dr)
			if x < 0 || y < 0 || x >= s.g.Cols || y >= s.g.Rows {
				break
			}
			if cell := y*s.g.Cols + x; s.z(cell) > s.z(rims[side]) {
				rims[side] = cell
			}
		}
	}
	return rims
}

// explains is how much of what the surface leaves a fit explains.
func (s *search) explains(b *fit) float64 {
	return float64(b.heightM) * float64(b.heightM) * s.shapes[b.shape].norm
}

// besideSamples is how far off a line what shows there is part of it.
const besideSamples = 3
