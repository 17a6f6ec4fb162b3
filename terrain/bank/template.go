package bank

import (
	"math"

	"github.com/acreband/acreband/terrain"
)

const (
	// headings is how many lines through a cell a bank is looked for along, 15° apart.
	headings = 12
	// The disc that is fitted reaches discM + discCells cells from its middle: 4, 7 and 10 m
	// on cells of 1, 2 and 3 m, and no less than that of 1 m.
	discM, discCells = 1, 3
	// leastCellM is the finest cell that is looked at; of finer ones some are left out.
	leastCellM = 0.5
	// quadratic is how many terms a quadratic surface has.
	quadratic = 6
)

// shape is what a bank or a ditch adds to a quadratic surface, for each height 1 of it.
type shape struct {
	kind    Kind
	x, y    float64 // its normal on the ground: along a row and down a column
	halfM   float64 // half of the width of its face, or of the trough
	wide    bool    // more than cells smear a sharp face over
	weights []float64
	norm    float64 // the sum of squares of the weights
}

// template holds the fit of one disc as fixed sums over its samples.
type template struct {
	step       int // cells from one sample to the next, so that fine cells are not all read
	reach      int // cells that the disc reaches along rows and columns
	sampleM    float64
	radiusM    float64
	rimCells   int // how far from the middle of a ditch its rims are looked for
	at         [][2]int
	base       [quadratic][]float64 // orthonormal over the samples
	shapes     []shape
	surface    [][6]float64         // base, sample by sample
	everyOther map[int][][6]float64 // of a kind's narrowest family, the weights of every other heading
	wide       bool                 // the disc reaches four samples
	offsets    []int                // of the samples in the grid's heights
	steps      []int                // where each family of steps begins in shapes, the narrowest first
	ditches    []int
	most       float64 // the greatest height that residuals of 1 allow

	perCol, perRow [2]float64 // what a column and a row go on the ground, in meters
}

// mostLong is how many times as long as wide cells may be: of longer ones a disc holds too few
// columns, or rows, for a quadratic surface.
const mostLong = 2

// templateFor makes the fit for cells of a metric; nil where cells are too long. Samples are
// coarseM apart at least, so that cells drawn from a coarser raster are fitted as that one's.
func templateFor(m terrain.Metric, coarseM float64) *template {
	e, f, h := m.Plane()
	if max(e, h) > mostLong*min(e, h) {
		return nil
	}
	t := &template{perCol: [2]float64{e, 0}, perRow: [2]float64{f, h}}
	side := math.Sqrt(m.CellAreaM2())
	t.step = max(1, int(math.Round(max(leastCellM, coarseM)/side)))
	t.sampleM = side * float64(t.step)
	t.radiusM = max(discM+discCells*t.sampleM, discM+discCells)
	var x, y []float64
	far := int(math.Ceil(t.radiusM/(min(e, h)*float64(t.step)))) + 1
	for r := -far; r <= far; r++ {
		for c := -far; c <= far; c++ {
			u, v := float64(c*t.step), float64(r*t.step)
			px, py := e*u+f*v, h*v
			if math.Hypot(px, py) > t.radiusM+1e-9 {
				continue
			}
			t.at = append(t.at, [2]int{c * t.step, r * t.step})
			x, y = append(x, px), append(y, py)
			t.reach = max(t.reach, c*t.step, r*t.step)
		}
	}
	t.rimCells = int(math.Round(max(3*t.sampleM, ditchesM[len(ditchesM)-1]/2+t.sampleM)/t.sampleM)) * t.step
	t.wide = t.reach >= 4*t.step
	t.addBase(x, y)
	t.addShapes(x, y)
	t.surface = bySample(len(t.at), func(k, i int) float64 { return t.base[k][i] })
	t.everyOther = map[int][][6]float64{}
	for _, first := range [2]int{t.steps[0], t.ditches[0]} {
		t.everyOther[first] = bySample(len(t.at), func(k, i int) float64 { return t.shapes[first+2*k].weights[i] })
	}
	return t
}

// addBase makes the terms of a quadratic surface orthonormal, by Gram and Schmidt.
func (t *template) addBase(x, y []float64) {
	terms := [quadratic]func(x, y float64) float64{
		func(_, _ float64) float64 { return 1 },
		func(x, _ float64) float64 { return x },
		func(_, y float64) float64 { return y },
		func(x, _ float64) float64 { return x * x },
		func(x, y float64) float64 { return x * y },
		func(_, y float64) float64 { return y * y },
	}
	for k, term := range terms {
		b := make([]float64, len(x))
		for i := range b {
			b[i] = term(x[i]/t.radiusM, y[i]/t.radiusM)
		}
		for range 2 { // once more for what rounding left
			t.takeOff(b, k)
		}
		n := 1 / math.Sqrt(dot(b, b))
		for i := range b {
			b[i] *= n
		}
		t.base[k] = b
	}
}

// takeOff takes off what the first terms of the surface explain.
func (t *template) takeOff(v []float64, terms int) {
	for _, b := range t.base[:terms] {
		s := dot(b, v)
		for i := range v {
			v[i] -= s * b[i]
		}
	}
}

// addShapes makes the steps and troughs that are tried: the steps first.
func (t *template) addShapes(x, y []float64) {
	each := func(shapeOf func(away func(i int) float64) func(i int) float64, kind Kind, halfM float64) {
		for k := range headings {
			sin, cos := math.Sincos(math.Pi * float64(k) / headings)
			away := func(i int) float64 { return x[i]*cos + y[i]*sin }
			t.add(shape{kind: kind, x: cos, y: sin, halfM: halfM, wide: kind == Step && len(t.steps) > 1}, shapeOf(away))
		}
	}
	faces := []float64{faceCells * t.sampleM}
	if faces[0] < wideFaceM*2/3 {
		faces = append(faces, wideFaceM)
	}
	for _, faceM := range faces {
		t.steps = append(t.steps, len(t.shapes))
		each(func(away func(i int) float64) func(i int) float64 {
			return func(i int) float64 { return max(-0.5, min(0.5, away(i)/faceM)) }
		}, Step, faceM/2)
	}
	for _, widthM := range ditchesM {
		half := max(widthM, 2*t.sampleM) / 2
		if widthM > ditchesM[0] && widthM <= 2*t.sampleM {
			continue
		}
		t.ditches = append(t.ditches, len(t.shapes))
		each(func(away func(i int) float64) func(i int) float64 {
			return func(i int) float64 { return -max(0, min(1, (half-math.Abs(away(i)))/t.sampleM+0.5)) }
		}, Ditch, half)
	}
}

// faceCells is over how many cells a sharp face is smeared.
const faceCells = 1.5

// wideFaceM is the width of the wider face that is tried, in meters.
const wideFaceM = 2.5

// ditchesM are the widths of troughs that are tried, in meters.
var ditchesM = []float64{2, 4}

// add adds a shape, less what a quadratic surface explains of it.
func (t *template) add(s shape, of func(i int) float64) {
	s.weights = make([]float64, len(t.at))
	for i := range s.weights {
		s.weights[i] = of(i)
	}
	for range 2 {
		t.takeOff(s.weights, quadratic)
	}
	s.norm = dot(s.weights, s.weights)
	t.shapes = append(t.shapes, s)
	t.most = max(t.most, 1/math.Sqrt(s.norm))
}

// bySample lays six lists of weights out so that one way through the samples sums all.
func bySample(n int, weight func(k, i int) float64) [][6]float64 {
	out := make([][6]float64, n)
	for i := range out {
		for k := range out[i] {
			out[i][k] = weight(k, i)
		}
	}
	return out
}

// six is the product sums of samples with six lists of weights.
func six(z []float64, weights [][6]float64) [6]float64 {
	var s0, s1, s2, s3, s4, s5 float64
	weights = weights[:len(z)]
	for i, v := range z {
		w := &weights[i]
		s0 += v * w[0]
		s1 += v * w[1]
		s2 += v * w[2]
		s3 += v * w[3]
		s4 += v * w[4]
		s5 += v * w[5]
	}
	return [6]float64{s0, s1, s2, s3, s4, s5}
}

// dot is the product sum, in four parts that need not wait for one another.
func dot(a, b []float64) float64 {
	var s0, s1, s2, s3 float64
	b = b[:len(a)]
	for len(a) >= 4 && len(b) >= 4 {
		s0 += a[0] * b[0]
		s1 += a[1] * b[1]
		s2 += a[2] * b[2]
		s3 += a[3] * b[3]
		a, b = a[4:], b[4:]
	}
	for i, v := range a {
		s0 += v * b[i]
	}
	return s0 + s1 + s2 + s3
}
