package slope

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"github.com/acreband/acreband/terrain"
)

func reliefField(g *terrain.Grid) *Field {
	f := NewField(g)
	f.AddRelief()
	return f
}

func planes(g *terrain.Grid, f Footprint) *Field {
	field := reliefField(g)
	Planes(g, f, 0, 0, g.Rows, field)
	return field
}

// The 3 × 3 footprint is the least-squares plane of Evans, and of Sharpnack and
// Akin 1969: ((c+f+i) - (a+d+g)) / 6w. Angles of published windows recomputed
// from that formula.
func TestThreeByThreeIsEvans(t *testing.T) {
	for _, c := range []struct {
		z   []float32
		w   float64
		deg float64
	}{
		{[]float32{50, 45, 50, 30, 30, 30, 8, 10, 10}, 5, 75.620619},
		{[]float32{42, 45, 47, 40, 44, 49, 44, 48, 52}, 10, 21.938008},
		{[]float32{101, 92, 85, 101, 92, 85, 101, 91, 84}, 10, 39.260732},
		{[]float32{3, 3, 3, 2, 2, 2, 1, 1, 1}, 10, 5.710593},
	} {
		f := planes(grid(t, c.z, 3, 3, c.w, c.w), Footprint{1, 1})
		assert.InDelta(t, c.deg, degreesOfPct(f.Pct(1, 1)), 1e-5)
	}
}

// lstsq fits z = a + p·i + q·j over a window with gonum's QR.
func lstsq(g *terrain.Grid, f Footprint, col, row int) (p, q, rough, step float64) {
	var xs, zs []float64
	at := map[[2]int]float64{}
	for j := -f.HalfRows; j <= f.HalfRows; j++ {
		for i := -f.HalfCols; i <= f.HalfCols; i++ {
			c, r := col+i, row+j
			if c < 0 || r < 0 || c >= g.Cols || r >= g.Rows || math.IsNaN(g.At(c, r)) {
				continue
			}
			xs = append(xs, 1, float64(i), float64(j))
			zs = append(zs, g.At(c, r))
			at[[2]int{i, j}] = g.At(c, r)
		}
	}
	n := len(zs)
	var x mat.VecDense
	if n < 3 || x.SolveVec(mat.NewDense(n, 3, xs), mat.NewVecDense(n, zs)) != nil {
		return math.NaN(), math.NaN(), math.NaN(), math.NaN()
	}
	p, q = x.AtVec(1), x.AtVec(2)
	for k, z := range zs {
		rough += math.Pow(z-x.AtVec(0)-p*xs[3*k+1]-q*xs[3*k+2], 2)
	}
	for k, z := range at {
		if next, ok := at[[2]int{k[0] + 1, k[1]}]; ok {
			step = max(step, math.Abs(next-z-p))
		}
		if next, ok := at[[2]int{k[0], k[1] + 1}]; ok {
			step = max(step, math.Abs(next-z-q))
		}
	}
	return p, q, math.Sqrt(rough / float64(n)), step
}

// Random windows, whole, with voids and at the grid's edge, against gonum.
func TestPlanesAgainstGonum(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 22))
	for _, f := range []Footprint{{1, 1}, {2, 1}, {1, 3}, {4, 4}} {
		for _, voids := range []bool{false, true} {
			const cols, rows, w, h = 23, 19, 1.5, 0.8
			z := make([]float32, cols*rows)
			for i := range z {
				z[i] = float32(900 + 5*rng.NormFloat64())
				if voids && rng.IntN(9) == 0 {
					z[i] = nan
				}
			}
			g := grid(t, z, cols, rows, w, h)
			field := planes(g, f)
			for r := range rows {
				for c := range cols {
					i := r*cols + c
					if z[i] != z[i] {
						assert.True(t, math.IsNaN(field.Pct(c, r)))
						continue
					}
					p, q, rough, step := lstsq(g, f, c, r)
					if math.IsNaN(p) {
						assert.True(t, math.IsNaN(field.Pct(c, r)))
						continue
					}
					require.InDelta(t, 100*math.Hypot(p/w, q/h), field.Pct(c, r), 1e-2, "%v at %d,%d", f, c, r)
					require.InDelta(t, rough, math.Sqrt(float64(field.RoughSquared[i])), 1e-4)
					require.InDelta(t, step, float64(field.Step[i]), 1e-3)
				}
			}
		}
	}
}

func TestPlaneHasNeitherRoughnessNorStep(t *testing.T) {
	for _, f := range []Footprint{{1, 1}, {3, 2}} {
		field := planes(surface(t, 30, 20, 1, func(x, y float64) float64 { return 500 + 0.6*x - 0.3*y }), f)
		for i := range field.Squared {
			assert.InDelta(t, 100*math.Hypot(0.6, 0.3), field.Pct(i%30, i/30), 1e-2)
			assert.InDelta(t, 0, field.RoughSquared[i], 1e-6)
			assert.InDelta(t, 0, field.Step[i], 1e-3)
		}
	}
}

func TestPlanesStripsGiveTheSameBits(t *testing.T) {
	rng := rand.New(rand.NewPCG(23, 24))
	z := make([]float32, 80*150)
	for i := range z {
		z[i] = float32(rng.NormFloat64() * 30)
		if rng.IntN(30) == 0 {
			z[i] = nan
		}
	}
	g := grid(t, z, 80, 150, 1.3, 0.9)
	for _, f := range []Footprint{{1, 1}, {2, 3}} {
		whole := reliefField(g)
		Planes(g, f, 0.5, 0, g.Rows, whole)
		for _, strip := range []int{1, 7, 64} {
			field := reliefField(g)
			for r := 0; r < g.Rows; r += strip {
				Planes(g, f, 0.5, r, min(r+strip, g.Rows), field)
			}
			for i := range field.Squared {
				same := func(a, b []float32) bool { return math.Float32bits(a[i]) == math.Float32bits(b[i]) }
				if !same(whole.Squared, field.Squared) || !same(whole.RoughSquared, field.RoughSquared) || !same(whole.Step, field.Step) {
					t.Fatalf("%v, strips of %d: cell %d differs", f, strip, i)
				}
			}
		}
	}
}

// Where roughness says that no step passes the care taken, its bound stands in
// the step's place: not below it, and not above the care.
func TestStepsAreNeverUnderstated(t *testing.T) {
	rng := rand.New(rand.NewPCG(25, 26))
	z := make([]float32, 60*50)
	for i := range z {
		z[i] = float32(700 + rng.NormFloat64()*0.2*rng.Float64())
	}
	g := grid(t, z, 60, 50, 1, 1)
	for _, f := range []Footprint{{1, 1}, {2, 2}} {
		exact, careful := planes(g, f), reliefField(g)
		Planes(g, f, 0.6, 0, g.Rows, careful)
		bounds := 0
		for i, step := range exact.Step {
			require.GreaterOrEqual(t, careful.Step[i], step-1e-4)
			if careful.Step[i] != step {
				bounds++
				require.LessOrEqual(t, careful.Step[i], float32(0.6))
			}
		}
		assert.Greater(t, bounds, 100)
	}
}

func TestFootprintOf(t *testing.T) {
	for _, c := range []struct {
		metres float64
		cell   [2]float64
		want   Footprint
		ok     bool
	}{
		{3, [2]float64{1, 1}, Footprint{1, 1}, true},
		{3, [2]float64{0.982, 0.982}, Footprint{1, 1}, true}, // 2.95 m
		{3, [2]float64{0.89, 0.89}, Footprint{2, 2}, true},   // three cells would be 2.67 m
		{3, [2]float64{0.5, 1}, Footprint{3, 1}, true},
		{3, [2]float64{1.49, 1.2}, Footprint{1, 1}, true},
		{3, [2]float64{1.5, 1}, Footprint{}, false},
		{3, [2]float64{30, 30}, Footprint{}, false},
		{9, [2]float64{0.1, 0.1}, Footprint{16, 16}, true},
		{0, [2]float64{1, 1}, Footprint{}, false},
	} {
		f, ok := FootprintOf(c.metres, c.cell)
		assert.Equal(t, c.ok, ok, "%v", c)
		assert.Equal(t, c.want, f, "%v", c)
	}
}

func BenchmarkPlanes(b *testing.B) {
	const n = 2000
	z := make([]float32, n*n)
	for i := range z {
		z[i] = float32(math.Sin(float64(i%n)/90)*40 + math.Cos(float64(i/n)/70)*30)
	}
	g := grid(b, z, n, n, 1, 1)
	field := reliefField(g)
	for _, half := range []int{0, 1, 2, 4} {
		name := map[int]string{0: "cell", 1: "3m", 2: "5m", 4: "9m"}[half]
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if half == 0 {
					Rows(g, 0, n, field)
				} else {
					Planes(g, Footprint{half, half}, 0.5, 0, n, field)
				}
			}
			b.ReportMetric(n*n*float64(b.N)/b.Elapsed().Seconds()/1e6, "Mcells/s")
		})
	}
}
