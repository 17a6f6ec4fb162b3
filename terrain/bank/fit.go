package bank

import (
	"math"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
)

// fitter fits a template to one cell after the other.
type fitter struct {
	*template
	g     *terrain.Grid
	watch *beside.Watch
	z     []float64
}

// fit is the best step or trough at a cell.
type fit struct {
	cell    int
	shape   int32
	heightM float32 // of a step below 0 where it falls along its normal; of a trough its depth
	errorM  float32 // its standard error by what the fit leaves, were that white
	gain    float32 // the logarithm of the mean square left without it over that left with it

	likelihood float32
}

func (t *template) fitter(g *terrain.Grid, watch *beside.Watch) *fitter {
	return &fitter{template: t, g: g, watch: watch, z: make([]float64, len(t.at))}
}

// fit fits a cell whose disc lies on the grid: steps, ditches or both. ok is false where a
// height is not known, or what is found is less than leastM high.
func (f *fitter) fit(c, r int, leastM float64, steps, ditches bool) (best fit, ok bool) {
	g := f.g
	if c < f.reach || r < f.reach || c >= g.Cols-f.reach || r >= g.Rows-f.reach {
		return fit{}, false
	}
	middle := r*g.Stride + c
	z0 := g.Z[middle]
	for i, d := range f.offsets {
		f.z[i] = float64(g.Z[middle+d] - z0)
	}
	// The shapes are orthogonal to the surface, which so need not be taken off.
	left := dot(f.z, f.z)
	for _, s := range six(f.z, f.surface) {
		left -= s * s
	}
	left = max(left, 0)
	if !(left*f.most*f.most >= leastM*leastM) { // NaN where something is missing
		return fit{}, false
	}
	t := tried{best: -1, explained: -1, leastM: leastM}
	if steps {
		f.try(&t, f.steps)
	}
	if ditches {
		f.try(&t, f.ditches)
	}
	if t.best < 0 {
		return fit{}, false
	}
	rest := max(left-t.explained, 1e-12)
	free := float64(len(f.z) - quadratic - 1)
	return fit{
		cell: r*g.Cols + c, shape: int32(t.best), heightM: float32(t.heightM),
		errorM: float32(math.Sqrt(rest / free / f.shapes[t.best].norm)),
		gain:   float32(math.Log(max(left, 1e-12) / rest)),
	}, true
}

// tried is the best of the shapes that were tried.
type tried struct {
	best, heading              int
	explained, heightM, leastM float64
}

// try tries shapes of one kind, family by family: what a shape explains changes little from
// heading to heading, so every other one is tried, and then those beside the best; of wider
// shapes those about the best of the narrowest.
func (f *fitter) try(t *tried, families []int) {
	for n, first := range families {
		if n == 0 {
			own := tried{best: -1, explained: -1}
			for k, h := range six(f.z, f.everyOther[first]) {
				f.take(&own, first, 2*k, h)
			}
			if own.best < 0 {
				return // a mound, where a trough is asked
			}
			middle := own.heading
			f.one(&own, first, (middle+1)%headings)
			f.one(&own, first, (middle+headings-1)%headings)
			t.heading = own.heading
			if own.explained > t.explained && math.Abs(own.heightM) >= t.leastM {
				t.best, t.explained, t.heightM = own.best, own.explained, own.heightM
			}
			continue
		}
		middle := t.heading
		for k := middle + headings - 1; k <= middle+headings+1; k++ {
			f.one(t, first, k%headings)
		}
	}
}

// one tries one shape.
func (f *fitter) one(t *tried, first, heading int) {
	f.take(t, first, heading, dot(f.shapes[first+heading].weights, f.z))
}

// take takes a shape, by its product sum with the heights, where it is better than what was
// tried.
func (f *fitter) take(t *tried, first, heading int, sum float64) {
	s := &f.shapes[first+heading]
	h := sum / s.norm
	if explained := h * sum; explained > t.explained && math.Abs(h) >= t.leastM && (s.kind == Step || h > 0) {
		t.best, t.heading, t.explained, t.heightM = first+heading, heading, explained, h
	}
}
