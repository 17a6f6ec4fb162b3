package slope

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain"
)

// Gentle waves of 40 m stand for ground: they bend 16 times as much over four
// cells as over two.
func waves(x, y float64) float64 { return 0.3 * math.Sin(x/6.4) * math.Cos(y/7.1) }

func TestWhiteNoiseIsToldFromGround(t *testing.T) {
	assert.Zero(t, WhiteNoiseM(surfaceOf(t, 200, 200, 1, waves)))
	for _, sigma := range []float64{0.02, 0.05, 0.15} {
		random := rand.New(rand.NewPCG(8, 8))
		g := surfaceOf(t, 200, 200, 1, func(x, y float64) float64 { return waves(x, y) + sigma*random.NormFloat64() })
		assert.InEpsilon(t, sigma, WhiteNoiseM(g), 0.1, "%g m", sigma)
	}
	random := rand.New(rand.NewPCG(8, 8))
	small := surfaceOf(t, 20, 60, 1, func(_, _ float64) float64 { return random.NormFloat64() })
	assert.Zero(t, WhiteNoiseM(small), "three tiles say nothing")
	// Roofs on less than half of it are no noise.
	roofs := surfaceOf(t, 256, 256, 1, func(x, y float64) float64 {
		if x < 100 && math.Mod(x, 5) < 2 && math.Mod(y, 5) < 2 {
			return 6
		}
		return waves(x, y)
	})
	assert.Zero(t, WhiteNoiseM(roofs))
}

// A plane stays as it is, at the rim and beside a void, which stays too: a mean of what
// remains would read gentler there.
func TestSmoothingKeepsAPlane(t *testing.T) {
	g := surfaceOf(t, 30, 20, 1, func(x, y float64) float64 {
		if x == 12 && y == 9 {
			return math.NaN()
		}
		return 0.3*x - 0.2*y
	})
	out := GaussianOf(g, 1).Smooth(g)
	for i, z := range g.Z {
		if z != z {
			assert.True(t, math.IsNaN(float64(out.Z[i])))
			continue
		}
		assert.InDelta(t, z, out.Z[i], 1e-5, "cell %d", i)
	}
}

// By hand: a Gaussian of 1 m on cells of 1 m leaves of independent noise the sum of its
// squared weights, 0.2821² of the variance. The kernel after it has the slopes' error.
func TestSmoothingOfNoise(t *testing.T) {
	random := rand.New(rand.NewPCG(9, 9))
	g := surfaceOf(t, 400, 400, 1, func(_, _ float64) float64 { return random.NormFloat64() })
	s := GaussianOf(g, 1)
	out := s.Smooth(g)
	square := 0.0
	for _, z := range out.Z {
		square += float64(z) * float64(z) / float64(len(out.Z))
	}
	assert.InEpsilon(t, 0.2821, math.Sqrt(square), 0.02)

	strips := s.Room(g)
	for _, r := range []int{300, 0, 100} {
		s.Rows(g, r, min(r+200, 400), strips)
	}
	assert.Equal(t, out.Z, strips.Z, "in strips, in any order")

	want := Noise{SigmaM: 1}.Covariance(PlaneKernel(1, 1).After(s), terrain.Metric{A: 1, C: 1}).MaxSigma()
	f := NewField(out)
	f.AddRelief()
	assert.NoError(t, Planes(out, Footprint{1, 1}, 1, 0, out.Rows, f))
	square = 0
	for _, v := range f.Squared {
		square += float64(v) / float64(len(f.Squared)) / 2
	}
	assert.InEpsilon(t, want, math.Sqrt(square), 0.05)
}
