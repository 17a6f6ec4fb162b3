package canopy

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"github.com/acreband/acreband/terrain/quality"
)

// Registration is how a surface lies to the ground where that is open and slopes.
type Registration struct {
	// Known is whether there was enough open ground that slopes in several
	// directions. The rest is nothing without.
	Known bool

	Cols, Rows float64 // how far the surface lies along the rows and down the columns, in cells of the ground
	M          float64 // its length on the ground
	ErrorCells float64 // standard error of Cols and Rows, the greater
	Cells      int     // it was found from

	// BeforeM and AfterM are the spread of the differences on those cells as they
	// are, and with the surface moved back: 1.4826 times their median absolute
	// deviation, which for normal errors is the standard deviation.
	BeforeM, AfterM float64
}

// Off reports whether the surface lies off the ground by more than half a cell. It
// must be told apart from chance (three standard errors), and moving the surface
// back must take a tenth off the spread: growth that stands on some faces only
// looks like a shift, but does not go with it.
func (r Registration) Off() bool {
	s := math.Hypot(r.Cols, r.Rows)
	return r.Known && s > offCells && s > 3*r.ErrorCells && r.AfterM < 0.9*r.BeforeM
}

const (
	offCells = 0.5

	// Slopes between which heights tell a shift: on gentler ground noise
	// is all there is, on steeper ground elevation is least sure (planning values,
	// no source).
	leastTan, mostTan = 0.05, 1.5

	registerCells = 1 << 15 // looked at, about
	registerFew   = 200     // below which nothing is said
	sureCells     = 0.1     // standard error above which a shift is not known
	leastSpreadM  = 0.01    // what two measured heights differ by at least
)

// sample is a cell of the ground with its gradient.
type sample struct {
	col, row int
	P, Q     float64 // rise per cell along the row and down the column
	Tan      float64 // of the slope on the ground
	Dh       float64 // surface less ground
}

// samples are cells spread evenly over the ground, water left out.
func (o *overlay) samples(water []bool) []sample {
	g := o.ground
	every := max(1, int(math.Sqrt(float64(g.Cols*g.Rows)/registerCells)))
	var out []sample
	for r := 1; r+1 < g.Rows; r += every {
		up, mid, down := g.Line(r-1), g.Line(r), g.Line(r+1)
		m := g.Frame.MetricAt(float64(g.Col0)+float64(g.Cols)/2, float64(g.Row0+r)+0.5)
		for c := 1; c+1 < g.Cols; c += every {
			if water != nil && water[r*g.Cols+c] {
				continue
			}
			p, q := float64(mid[c+1]-mid[c-1])/2, float64(down[c]-up[c])/2
			s := sample{c, r, p, q, math.Sqrt(m.A*p*p + 2*m.B*p*q + m.C*q*q), o.excess(c, r, 0, 0)}
			if s.Tan == s.Tan && s.Dh == s.Dh {
				out = append(out, s)
			}
		}
	}
	return out
}

// register finds how far a surface lies off the ground (Nuth and Kääb 2011, The
// Cryosphere 5:271, equation 1): a surface shifted by a in direction b stands higher by
// dh = a·cos(b - ψ)·tan(α) + c on open ground of slope α and aspect ψ. The cosine is
// fitted as the sum of its parts along rows and columns, and the surface moved back,
// until it does not move any more. Where they fit dh/tan(α), dh is fitted here, so
// that the noise of gentle ground does not weigh most. Open are the cells where what
// is left lies close together lowest, within 3 times its spread; band is how close at
// the least.
func (o *overlay) register(all []sample, band float64) Registration {
	var sloped []sample
	for _, s := range all {
		if s.Tan >= leastTan && s.Tan <= mostTan {
			sloped = append(sloped, s)
		}
	}
	var r Registration
	var open []sample
	const rounds = 20
	for range rounds {
		for i := range sloped {
			s := &sloped[i]
			s.Dh = o.excess(s.col, s.row, r.Cols, r.Rows)
		}
		if open = openOf(sloped, open, band); len(open) < registerFew {
			return Registration{}
		}
		dCols, dRows, errorCells, ok := fitShift(open)
		if !ok {
			return Registration{}
		}
		r.Cols, r.Rows, r.ErrorCells = r.Cols+dCols, r.Rows+dRows, errorCells
		if math.Hypot(dCols, dRows) < 0.01 {
			break
		}
	}
	m := o.ground.Frame.MetricAt(float64(o.ground.Col0+o.ground.Cols/2), float64(o.ground.Row0+o.ground.Rows/2))
	r.M = m.LengthM(r.Cols, r.Rows)
	var before, after []float64
	for _, s := range open {
		if d := o.excess(s.col, s.row, 0, 0); d == d {
			before, after = append(before, d), append(after, s.Dh)
		}
	}
	r.Cells, r.BeforeM, r.AfterM = len(open), spread(before), spread(after)
	r.Known = r.ErrorCells <= sureCells
	return r
}

// openOf gathers the cells that look open, into dst.
func openOf(sloped, dst []sample, band float64) []sample {
	var heights []float64
	for _, s := range sloped {
		if s.Dh == s.Dh {
			heights = append(heights, s.Dh)
		}
	}
	dst = dst[:0]
	c, ok := lowestCrowd(heights, band)
	if !ok {
		return dst
	}
	within := 3 * max(c.spread, leastSpreadM)
	for _, s := range sloped {
		if math.Abs(s.Dh-c.mid) <= within {
			dst = append(dst, s)
		}
	}
	return dst
}

// fitShift fits the cosine to open ground by least squares, in cells along the rows
// and down the columns, with the greater standard error of both. A surface that lies a
// cell further along the row stands lower by the rise per cell.
func fitShift(open []sample) (cols, rows, errorCells float64, ok bool) {
	normal, right := mat.NewSymDense(3, nil), mat.NewVecDense(3, nil)
	for _, s := range open {
		v := mat.NewVecDense(3, []float64{-s.P, -s.Q, 1})
		normal.SymRankOne(normal, 1, v)
		right.AddScaledVec(right, s.Dh, v)
	}
	var parts mat.Cholesky
	var solved mat.VecDense
	var inverse mat.SymDense
	if !parts.Factorize(normal) || parts.SolveVecTo(&solved, right) != nil || parts.InverseTo(&inverse) != nil {
		return 0, 0, 0, false
	}
	misses := make([]float64, len(open))
	for i, s := range open {
		misses[i] = s.Dh + s.P*solved.AtVec(0) + s.Q*solved.AtVec(1)
	}
	errorCells = spread(misses) * math.Sqrt(max(inverse.At(0, 0), inverse.At(1, 1)))
	return solved.AtVec(0), solved.AtVec(1), errorCells, true
}

// spread is 1.4826 times the median absolute deviation, NaN of nothing.
func spread(v []float64) float64 {
	if len(v) == 0 {
		return math.NaN()
	}
	mid := quality.Median(v)
	off := make([]float64, len(v))
	for i, x := range v {
		off[i] = math.Abs(x - mid)
	}
	return toSigma * quality.Median(off)
}

// toSigma makes of the median absolute deviation of normal errors their standard
// deviation: 1/Φ⁻¹(3/4).
const toSigma = 1.4826
