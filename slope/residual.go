package slope

import (
	"fmt"
	"math"
	"slices"
	"sync"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/rank"
)

// Residual is how far the heights of a grid lie from the surface that bends most simply: the
// root of the mean square distance of 5 × 5 heights from their least-squares quadratic, the
// mean that as smooth a part of the grid would have as its share says. Ground is rougher than
// that surface, so it bounds the noise of the heights from above; but not where a raster is
// worse than on half of its ground, as under trees.
type Residual struct {
	M       float64        // metres
	StepM   float64        // metres between the heights compared, along rows
	metric  terrain.Metric // of steps
	Windows int            // how many windows it was told from
}

// leastResidualM is what no raster is taken to be better than: smoother ones were made so.
// Common practice, no source; 0.006 m is the least that was found on lidar.
const leastResidualM = 0.005

// residualWindows is how many windows are looked at, about; leastWindows how many say
// something.
const (
	residualWindows = 4096
	leastWindows    = 100
)

// ResidualsOf measures a grid between heights that lie span columns and rows apart, by the
// median of the ground, and twice as far: where a raster was smoothed, or drawn at twice its
// detail, near heights agree more than they are good. There ground is rougher, and what is
// smoothed is so everywhere: the smoothest quarter tells. It returns none for grids that are
// too small.
func ResidualsOf(g *terrain.Grid, span [2]int) []Residual {
	var out []Residual
	for _, of := range []struct {
		times       int
		share, mean float64 // a quantile of windows, and what it is of the mean: see residualOf
	}{{1, 0.50, 0.92}, {2, 0.25, 0.66}} {
		if r, ok := residualOf(g, of.times*max(span[0], 1), of.times*max(span[1], 1), of.share); ok {
			r.M = max(r.M/math.Sqrt(of.mean), leastResidualM)
			out = append(out, r)
		}
	}
	return out
}

// residualOf is the root of a quantile of the mean squares. Of a mean square of as few
// degrees of freedom as correlated noise leaves, some nine of 19, the median is 0.92 and the
// quartile 0.66 of the mean (chi-square).
func residualOf(g *terrain.Grid, dc, dr int, share float64) (Residual, bool) {
	cols, rows := g.Cols-4*dc, g.Rows-4*dr
	if cols < 1 || rows < 1 {
		return Residual{}, false
	}
	every := max(1, int(math.Sqrt(float64(cols)*float64(rows)/residualWindows)))
	room := residualRooms.Get().(*residualRoom)
	defer residualRooms.Put(room)
	squares := slices.Grow(room.squares[:0], (cols/every+1)*(rows/every+1))
	if every == 1 {
		squares = residualsOfAll(squares, g, dc, dr, room)
	} else {
		for r := 2*dr + (every-1)/2%rows; r < g.Rows-2*dr; r += every {
			for c := 2*dc + (every-1)/2%cols; c < g.Cols-2*dc; c += every {
				if s := residualAt(g, c, r, dc, dr); s == s {
					squares = append(squares, s)
				}
			}
		}
	}
	room.squares = squares
	if len(squares) < leastWindows {
		return Residual{}, false
	}
	m := g.Frame.MetricAt(float64(g.Col0)+float64(g.Cols)/2, float64(g.Row0)+float64(g.Rows)/2)
	w, _ := m.CellM()
	m.A, m.B, m.C = m.A/float64(dc*dc), m.B/float64(dc*dr), m.C/float64(dr*dr)
	square := max(rank.Nth(squares, int(share*float64(len(squares)))), 0) / 25 // below 0 by rounding
	return Residual{math.Sqrt(square), w * float64(dc), m, len(squares)}, true
}

// residualRoom is memory that a look at residuals takes, for the next: of a lot it is a seventh of all.
type residualRoom struct {
	squares, heights []float64
	rows             []alongRow
}

var residualRooms = sync.Pool{New: func() any { return new(residualRoom) }}

// residualAt is the sum of square distances of 5 × 5 heights from their quadratic; NaN where
// one is missing.
func residualAt(g *terrain.Grid, col, row, dc, dr int) float64 {
	var z [25]float64
	mid := float64(g.Line(row)[col])
	for j := range 5 {
		line := g.Line(row + (j-2)*dr)
		for i := range 5 {
			z[5*j+i] = float64(line[col+(i-2)*dc]) - mid
		}
	}
	return bent(&z)
}

// bent is the sum of squares of 5 × 5 heights less what their quadratic takes up. The shapes
// are products of lines, so sums along rows serve all six.
func bent(z *[25]float64) float64 {
	// By shape, times its length; see quadratic.
	var whole, squares, x, y, xx, xy, yy float64
	for j := range 5 {
		a, b, c, d, e := z[5*j], z[5*j+1], z[5*j+2], z[5*j+3], z[5*j+4]
		squares += a*a + b*b + c*c + d*d + e*e
		row, fall := a+b+c+d+e, 2*(e-a)+(d-b)
		v := float64(j - 2)
		whole += row
		x += fall
		y += v * row
		xx += 2*(a+e) - (b + d) - 2*c
		xy += v * fall
		yy += (v*v - 2) * row
	}
	return squares - whole*whole/25 - (x*x+y*y)/50 - (xx*xx+yy*yy)/70 - xy*xy/100
}

// quadratic are six shapes over 5 × 5 cells, each of length 1 and square to the others,
// that make up every quadratic surface.
var quadratic = func() (shapes [6][25]float64) {
	line := [5]float64{-2, -1, 0, 1, 2}
	for k := range 25 {
		x, y := line[k%5], line[k/5]
		for s, v := range [6]float64{1, x, y, x*x - 2, x * y, y*y - 2} {
			shapes[s][k] = v
		}
	}
	for s := range shapes {
		square := 0.0
		for _, v := range shapes[s] {
			square += v * v
		}
		for k := range shapes[s] {
			shapes[s][k] /= math.Sqrt(square)
		}
	}
	return shapes
}()

// leaves is what part of the variance of a noise a residual holds: all but what its quadratic
// takes up, which is the more the farther the noise reaches.
func (r Residual) leaves(rangeM float64) float64 {
	left := 1 - lagShares[0].share
	for i, metres := range r.lagM() {
		left -= lagShares[i+1].share * math.Exp(-metres/rangeM)
	}
	return left
}

// lagM is the ground between heights so far apart as each lag of lagShares but the first.
func (r Residual) lagM() (metres [len(lagShares) - 1]float64) {
	e, f, g := r.metric.Inverse()
	for i, lag := range lagShares[1:] {
		x, y := float64(lag.cols), float64(lag.rows)
		metres[i] = math.Sqrt(max(e*x*x+2*f*x*y+g*y*y, 0))
	}
	return metres
}

// lagShares are the differences of place of two heights of 5 × 5, each with its opposite, and
// what part of the variance that heights so far apart share the quadratic takes up: the sum
// of products of the shapes over all such pairs. The first is that of a height and itself.
var lagShares = func() (out [41]struct {
	cols, rows int
	share      float64
}) {
	at := func(cols, rows int) int { // 0 at no difference, then row after row
		n := 9*rows + cols
		return max(n, -n)
	}
	for _, shape := range quadratic {
		for k, a := range shape {
			for l, b := range shape {
				cols, rows := k%5-l%5, k/5-l/5
				o := &out[at(cols, rows)]
				o.cols, o.rows = cols, rows
				o.share += a * b / 25
			}
		}
	}
	return out
}()

// Within returns the noise that makes the largest error of slope of all that a raster's
// residuals allow, by a kernel on ground of the given metric: over all correlation lengths
// (Oksanen and Sarjakoski 2005), no standard deviation is above that of n, and none leaves
// more than each residual holds. It is n itself where there are no residuals, where n
// has a range that somebody knows, and where n's own worst is no larger.
//
// Residuals between heights farther apart are measured on as many windows, and the largest
// of what each of them allows is taken: noise that is smooth between neighbours shows there.
func (n Noise) Within(residuals []Residual, k Kernel, m terrain.Metric) Noise {
	if n.RangeM >= 0 || len(residuals) == 0 {
		return n
	}
	l := lagsOf(k, m)
	best, whole, most, told := n, 0.0, 0.0, residuals[0]
	ranges := l.ranges()
	units := make([]float64, len(ranges)) // the error of slope by noise of 1 m
	for i, rangeM := range ranges {
		units[i] = l.covariance(1, rangeM, m).MaxSigma()
		whole = max(whole, n.SigmaM*units[i])
	}
	for _, r := range residuals {
		for i, rangeM := range ranges {
			if n.SigmaM*units[i] <= most {
				continue // whatever the residual leaves
			}
			sigma := min(n.SigmaM, r.M/math.Sqrt(r.leaves(rangeM)))
			if s := sigma * units[i]; s > most {
				best, most, told = Noise{SigmaM: sigma, RangeM: rangeM}, s, r
			}
		}
	}
	if !(most < 0.99*whole) {
		return n
	}
	best.From = fmt.Sprintf("measured from the raster: 5 × 5 heights %.2g m apart lie within %.2g m of a smooth surface, so slopes err by %.2g points at most", told.StepM, told.M, 100*most)
	return best
}
