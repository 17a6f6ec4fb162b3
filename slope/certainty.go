package slope

import "math"

// Certainty is the probability at which ground is called sure.
const Certainty = 0.90

// Sigma returns the standard deviation of the slope of a cell of gradient (p, q)
// in metres per cell, to first order: √(gᵀΣg) with g = ∂slope/∂(p, q). On flat
// ground, where slope has no derivative, it returns MaxSigma.
func (c Cov) Sigma(p, q float64) float64 {
	m := c.Metric
	gp, gq := m.A*p+m.B*q, m.B*p+m.C*q
	squared := p*gp + q*gq // slope²
	if squared == 0 {
		return c.MaxSigma()
	}
	return math.Sqrt(max(gp*gp*c.PP+2*gp*gq*c.PQ+gq*gq*c.QQ, 0) / squared)
}

// MaxSigma returns the standard deviation of slope on ground that falls in the
// worst direction: the root of the largest eigenvalue of the covariance on the
// ground. On square cells it is that of every direction, since p and q then have
// one variance and no covariance.
func (c Cov) MaxSigma() float64 {
	most, _ := c.ground()
	return math.Sqrt(most)
}

// MaxAngleSigmaRad returns the standard deviation of the angle of a slope in
// radians, to first order, in the worst direction: σ/(1+slope²), which with
// slope² = p²+q² is the form of Florinsky 1998.
func (c Cov) MaxAngleSigmaRad(slope float64) float64 {
	return c.MaxSigma() / (1 + slope*slope)
}

// ground returns the variances along the two principal axes on the ground.
func (c Cov) ground() (most, least float64) {
	m := c.Metric
	half := (m.A*c.PP + 2*m.B*c.PQ + m.C*c.QQ) / 2
	det := (m.A*m.C - m.B*m.B) * (c.PP*c.QQ - c.PQ*c.PQ)
	most = half + math.Sqrt(max(half*half-det, 0))
	return most, max(2*half-most, 0)
}

// FlatMean returns the mean slope that noise alone shows on flat ground. With one
// σ in all directions it is σ·√(π/2), the mean of a Rayleigh distribution; else
// √(2/π)·a·E, with a and b the two σ and E the complete elliptic integral of the
// second kind of parameter 1-(b/a)².
func (c Cov) FlatMean() float64 {
	most, least := c.ground()
	if most == 0 {
		return 0
	}
	// Arithmetic-geometric mean (Abramowitz and Stegun 17.6).
	a, b := 1.0, max(math.Sqrt(least/most), 1e-9) // at 0 it converges no more
	sum, power := (1-b*b)/2, 0.5
	for range 12 {
		a, b, power = (a+b)/2, math.Sqrt(a*b), 2*power
		sum += power * (a*a - b*b)
	}
	return math.Sqrt(most*2/math.Pi) * math.Pi / (a + b) * (1 - sum)
}

// Upper returns the slope that the ground is below, with at least the given
// certainty (0.5 or more, less than 1; else NaN), where the measured slope is
// given:
//
//	Upper² = (slope + z·σ)² + k·σ²    k = -2·ln(1-certainty) - z²
//
// with σ = MaxSigma and z the one-sided normal quantile (at 90%: z 1.2816,
// k 2.9628). It holds in both readings of certainty:
//
//   - Of all ground of one true slope, at least that share is below its Upper.
//     Measured slope is at least the measured gradient's part along the true fall
//     line, which is the true slope with an error of at most σ, and slope + z·σ
//     alone would do.
//   - Of all gradients that could have given this measured slope, none likelier
//     beforehand than another, at least that share is below Upper. The slope then
//     has the Rice distribution about the measured one, whose mean square is
//     slope² + 2σ²: flat ground measured is not flat ground. Its quantile is
//     Upper where the measured slope is 0 (Rayleigh); elsewhere it is less, at 90%
//     by at most 0.26 σ.
//
// The first needs no assumption about the ground and is proved above; the second
// was checked against the Rice distribution.
func (c Cov) Upper(slope, certainty float64) float64 {
	sigma := c.MaxSigma()
	z, k := quantiles(certainty)
	along := slope + z*sigma
	return math.Sqrt(along*along + k*sigma*sigma)
}

// SurelyBelow reports whether ground of a measured slope is below a limit with at
// least the given certainty. A slope or an error that is unknown (NaN) is not.
func (c Cov) SurelyBelow(slope, limit, certainty float64) bool {
	return c.Upper(slope, certainty) < limit
}

// SureBelow returns the measured slope below which ground is surely below a
// limit, so that a limit's certainty is one comparison a cell. It is 0 where the
// noise is so large that no slope is.
func (c Cov) SureBelow(limit, certainty float64) float64 {
	return sureBelow(c.MaxSigma(), limit, certainty)
}

func sureBelow(sigma, limit, certainty float64) float64 {
	z, k := quantiles(certainty)
	along := math.Sqrt(limit*limit-k*sigma*sigma) - z*sigma
	if limit > 0 && along > 0 {
		return along
	}
	return 0
}

// quantiles returns the one-sided normal quantile of a certainty, and what its
// square lacks to that of a Rayleigh distribution.
func quantiles(certainty float64) (z, k float64) {
	if !(certainty >= 0.5 && certainty < 1) {
		return math.NaN(), math.NaN()
	}
	z = math.Sqrt2 * math.Erfinv(2*certainty-1)
	return z, -2*math.Log(1-certainty) - z*z
}
