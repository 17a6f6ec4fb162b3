package slope

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

var trueSlopes = []float64{0, 0.05, 0.20, 0.30, 0.35, 0.60, 1}

// isotropic is a covariance of one σ in all directions, on metre cells.
func isotropic(sigma float64) Cov {
	return Cov{PP: sigma * sigma, QQ: sigma * sigma, Metric: square(1)}
}

// shapes are covariances with the same largest σ: round, oval, all but flat.
func shapes(sigma float64) map[string]Cov {
	v := sigma * sigma
	return map[string]Cov{
		"round": isotropic(sigma),
		"oval":  {PP: v, QQ: v / 4, Metric: square(1)},
		"flat":  {PP: v / 2, PQ: v / 2, QQ: v / 2, Metric: square(1)},
	}
}

// draw returns a measured slope where the gradient is (p, q), on metre cells.
func draw(c Cov, p, q float64, rng *rand.Rand) float64 {
	a := math.Sqrt(c.PP)
	b := c.PQ / a
	d := math.Sqrt(max(c.QQ-b*b, 0))
	x, y := rng.NormFloat64(), rng.NormFloat64()
	return math.Hypot(p+a*x, q+b*x+d*y)
}

// Of ground of one true slope, at least 90% is below its Upper, whatever the
// direction of fall and the shape of the error. Four standard
// errors of a share, √(0.9·0.1/N), are allowed: 0.85 points at N = 20 000.
func TestNinetyPercentHoldsForATrueSlope(t *testing.T) {
	const n = 20000
	tol := 4 * math.Sqrt(Certainty*(1-Certainty)/n)
	for _, sigma := range []float64{0.005, 0.0144, 0.0433, 0.136} {
		for name, c := range shapes(sigma) {
			for _, s := range trueSlopes {
				for az := 0.0; az < 180; az += 45 {
					rng := rand.New(rand.NewPCG(uint64(1e5*sigma), uint64(1e3*s+az)))
					sin, cos := math.Sincos(az * math.Pi / 180)
					below := 0
					for range n {
						if s <= c.Upper(draw(c, s*sin, s*cos, rng), Certainty) {
							below++
						}
					}
					share := float64(below) / n
					assert.GreaterOrEqual(t, share, Certainty-tol, "%s σ %g, slope %g%%, fall line %g°", name, sigma, 100*s, az)
				}
			}
		}
	}
}

// Ground at its limit or over it is called sure in at most 10% of draws.
func TestGroundOverItsLimitIsSeldomSure(t *testing.T) {
	const n = 20000
	tol := 4 * math.Sqrt(Certainty*(1-Certainty)/n)
	for _, sigma := range []float64{0.005, 0.0144, 0.0433, 0.136} {
		for name, c := range shapes(sigma) {
			for _, s := range trueSlopes[1:] {
				for _, over := range []float64{0, 0.001, 0.01, 0.05} {
					rng := rand.New(rand.NewPCG(uint64(1e5*sigma), uint64(1e3*(s+over))))
					sure, limit := 0, s-over
					for range n {
						if c.SurelyBelow(draw(c, s*0.6, s*0.8, rng), limit, Certainty) {
							sure++
						}
					}
					assert.LessOrEqual(t, float64(sure)/n, 1-Certainty+tol, "%s σ %g, slope %g%%, limit %g%%", name, sigma, 100*s, 100*limit)
				}
			}
		}
	}
}

// rice is the distribution of the length of a vector of length s with an error
// of σ in both directions: a Poisson mixture of chi-squared distributions, the
// noncentral chi-squared of Abramowitz and Stegun 26.4.25.
func rice(u, s, sigma float64) float64 {
	half, x := s*s/(2*sigma*sigma), u*u/(2*sigma*sigma)
	p := 0.0
	if half == 0 {
		return mathext.GammaIncReg(1, x)
	}
	poisson := distuv.Poisson{Lambda: half}
	spread := 10*math.Sqrt(half) + 20
	for j := math.Floor(max(half-spread, 0)); j <= half+spread; j++ {
		p += poisson.Prob(j) * mathext.GammaIncReg(1+j, x)
	}
	return p
}

// Of all gradients about a measured one, the certain share is below Upper: exact
// where the measured slope is 0, conservative elsewhere, by at most 0.26 σ.
func TestUpperAgainstTheRiceDistribution(t *testing.T) {
	c := isotropic(1)
	for _, certainty := range []float64{0.5, 0.75, 0.9, 0.95, 0.99} {
		assert.InDelta(t, certainty, rice(c.Upper(0, certainty), 0, 1), 1e-12)
		for s := 0.05; s < 40; s *= 1.1 {
			assert.GreaterOrEqual(t, rice(c.Upper(s, certainty), s, 1), certainty, "%gσ at %g", s, certainty)
		}
	}
	most := 0.0
	for s := 0.0; s < 20; s += 0.05 {
		lo, hi := 0.0, s+9 // the exact quantile, by halving
		for range 60 {
			if mid := (lo + hi) / 2; rice(mid, s, 1) < Certainty {
				lo = mid
			} else {
				hi = mid
			}
		}
		most = max(most, c.Upper(s, Certainty)-lo)
	}
	assert.Less(t, most, 0.26)
}

// The same for errors that are not alike in all directions: the largest σ
// serves for both. Monte-Carlo error as above.
func TestUpperHoldsForOvalErrors(t *testing.T) {
	const n = 20000
	tol := 4 * math.Sqrt(Certainty*(1-Certainty)/n)
	for name, c := range shapes(1) {
		for _, s := range []float64{0, 0.25, 0.5, 1, 2, 4, 8, 20} {
			for az := 0.0; az < 180; az += 15 {
				rng := rand.New(rand.NewPCG(uint64(100*s), uint64(az)))
				sin, cos := math.Sincos(az * math.Pi / 180)
				upper, below := c.Upper(s, Certainty), 0
				for range n {
					if draw(c, s*sin, s*cos, rng) <= upper {
						below++
					}
				}
				assert.GreaterOrEqual(t, float64(below)/n, Certainty-tol, "%s, %gσ, %g°", name, s, az)
			}
		}
	}
}

// The whole way, correlated noise: windows of 35% and 30% ground, 3 × 3 and
// 5 × 5 planes and Horn, through Cholesky fields. With the range unknown the
// share is at least 90% at every true range.
func TestNinetyPercentHoldsForCorrelatedHeights(t *testing.T) {
	const n = 20000
	tol := 4 * math.Sqrt(Certainty*(1-Certainty)/n)
	for half, k := range map[int]Kernel{0: HornKernel(), 1: PlaneKernel(1, 1), 2: PlaneKernel(2, 2)} {
		h, gradient := max(half, 1), hornOf
		if half > 0 {
			gradient = planeOf(t, h, h)
		}
		at := spots(h, h, [2]float64{1, 0}, [2]float64{0, -1})
		z := make([]float64, len(at))
		for _, rangeM := range []float64{0, 0.7, 2, 8} {
			noise := Noise{SigmaM: 0.1, RangeM: rangeM}
			known := noise.Covariance(k, square(1))
			unknown := Noise{SigmaM: 0.1, RangeM: RangeUnknown}.Covariance(k, square(1))
			for _, s := range []float64{0, 0.30, 0.35} {
				errors := field(t, at, noise, rand.New(rand.NewPCG(uint64(half), uint64(100*s+10*rangeM))))
				var sureKnown, sureUnknown int
				for range n {
					errors(z)
					for i, p := range at {
						z[i] += s * (0.6*p[0] + 0.8*p[1])
					}
					p, q := gradient(z)
					measured := math.Hypot(p, q)
					if s <= known.Upper(measured, Certainty) {
						sureKnown++
					}
					if s <= unknown.Upper(measured, Certainty) {
						sureUnknown++
					}
				}
				what := fmt.Sprintf("half %d, range %g m, slope %g%%", half, rangeM, 100*s)
				assert.GreaterOrEqual(t, float64(sureKnown)/n, Certainty-tol, what)
				assert.GreaterOrEqual(t, sureUnknown, sureKnown, what)
			}
		}
	}
}

func TestSureBelowIsWhereUpperMeetsTheLimit(t *testing.T) {
	for _, sigma := range []float64{0, 0.001, 0.0144, 0.0433, 0.1, 0.136} {
		c := isotropic(sigma)
		for _, limit := range []float64{0.05, 0.20, 0.35, 0.60, 1} {
			for _, certainty := range []float64{0.5, 0.9, 0.99} {
				at := c.SureBelow(limit, certainty)
				if at == 0 {
					assert.False(t, c.SurelyBelow(0, limit, certainty))
					continue
				}
				assert.InEpsilon(t, limit, c.Upper(at, certainty), 1e-12)
				assert.True(t, c.SurelyBelow(at*(1-1e-9), limit, certainty))
				assert.False(t, c.SurelyBelow(at*(1+1e-9), limit, certainty))
			}
		}
	}
	assert.Zero(t, isotropic(0.2).SureBelow(0.35, Certainty), "no slope is sure where noise is half the limit")
	assert.Zero(t, isotropic(0).SureBelow(-0.35, Certainty))
	for _, certainty := range []float64{0.49, 1, 1.5, -1, math.NaN()} {
		assert.True(t, math.IsNaN(isotropic(0.1).Upper(0.1, certainty)))
		assert.False(t, isotropic(0.1).SurelyBelow(0, 9, certainty))
	}
	assert.False(t, isotropic(0.1).SurelyBelow(math.NaN(), 9, Certainty))
}

// The normal quantile at 90% is 1.2816 and Rayleigh's √(2·ln 10) = 2.1460, in any
// table.
func TestUpperAtNinetyPercent(t *testing.T) {
	assert.InDelta(t, 2.1460, isotropic(1).Upper(0, 0.9), 5e-5)
	assert.InDelta(t, 1.2816, isotropic(1).Upper(1e6, 0.9)-1e6, 5e-5)
}

// First order against simulation on steep ground, where the second order is
// small; the direction matters.
func TestSigmaOfADirection(t *testing.T) {
	m := skewed([2]float64{3, 0.4}, [2]float64{-0.7, 2.2})
	c := Noise{SigmaM: 0.02, RangeM: 2}.Covariance(HornKernel(), m)
	rng := rand.New(rand.NewPCG(5, 5))
	flat := Cov{PP: c.PP, PQ: c.PQ, QQ: c.QQ} // drawn per cell
	a := math.Sqrt(flat.PP)
	b := flat.PQ / a
	d := math.Sqrt(flat.QQ - b*b)
	for _, g := range [][2]float64{{1, 0}, {0, 1}, {0.8, -0.7}, {0.5, 0.9}} {
		const n = 40000
		var sum, squares float64
		for range n {
			x, y := rng.NormFloat64(), rng.NormFloat64()
			p, q := g[0]+a*x, g[1]+b*x+d*y
			s2 := m.A*p*p + 2*m.B*p*q + m.C*q*q
			sum, squares = sum+math.Sqrt(s2), squares+s2
		}
		sigma := math.Sqrt(squares/n - sum/n*sum/n)
		assert.InEpsilon(t, sigma, c.Sigma(g[0], g[1]), 4/math.Sqrt(2*n))
		assert.LessOrEqual(t, c.Sigma(g[0], g[1]), c.MaxSigma())
	}
	most := 0.0
	for az := 0.0; az < 180; az += 0.1 {
		sin, cos := math.Sincos(az * math.Pi / 180)
		most = max(most, c.Sigma(sin, cos))
	}
	assert.InEpsilon(t, most, c.MaxSigma(), 1e-5)
	assert.Equal(t, c.MaxSigma(), c.Sigma(0, 0))
}

// Rayleigh's mean where the error is round, and gonum's elliptic integral where
// it is not.
func TestFlatMean(t *testing.T) {
	assert.InEpsilon(t, 0.0433*math.Sqrt(math.Pi/2), isotropic(0.0433).FlatMean(), 1e-12)
	for _, ratio := range []float64{0, 1e-6, 0.1, 0.5, 0.9, 1} {
		c := Cov{PP: 4, QQ: 4 * ratio * ratio, Metric: square(1)}
		assert.InEpsilon(t, 2*math.Sqrt(2/math.Pi)*mathext.CompleteE(1-ratio*ratio), c.FlatMean(), 1e-9, "ratio %g", ratio)
	}
	assert.Zero(t, isotropic(0).FlatMean())
}

// Florinsky 1998, from memory: σS = σp/(1+p²+q²), here with Evans's σp of
// σz/(w·√6): 0.10 m on metre cells at 35% is 2.08°, by hand.
func TestAngleSigma(t *testing.T) {
	c := Noise{SigmaM: 0.1}.Covariance(PlaneKernel(1, 1), square(1))
	assert.InDelta(t, 0.040825/(1+0.35*0.35)*180/math.Pi, c.MaxAngleSigmaRad(0.35)*180/math.Pi, 1e-3)
	assert.InDelta(t, 2.08, c.MaxAngleSigmaRad(0.35)*180/math.Pi, 5e-3)
}
