package slope

import (
	"fmt"
	"math"

	"github.com/acreband/acreband/terrain"
)

// Noise is the vertical error of a raster: Gaussian, the same everywhere, and
// correlated as exp(-distance/RangeM). An error that all heights of a window
// share tilts nothing, so a shift of the whole raster needs no account.
type Noise struct {
	SigmaM float64 // standard deviation of the height error, metres; NaN where unknown
	RangeM float64 // correlation length, metres on the ground; 0 is independent; see [RangeUnknown]
	From   string  // where the figure comes from, in words
}

// RangeUnknown as [Noise].RangeM, or any other negative number, says that nothing
// is known of the correlation length. The one that makes the worst slope is then taken. Independent errors
// are not the worst: Oksanen and Sarjakoski 2005 (Computers & Geosciences 31)
// found the largest error of slope where the practical range, three correlation
// lengths, is about the size of the window. An error correlated as a Gaussian
// curve, smoother than the exponential, can at its own worst do 14% more in 3 × 3
// cells and 24% more in 7 × 7; that is not counted.
const RangeUnknown = -1

// Check returns why the noise cannot be reckoned with: a deviation below 0 or without end,
// or a range that is no number or without end, which would leave no error of slope.
func (n Noise) Check() error {
	if n.SigmaM < 0 || math.IsInf(n.SigmaM, 0) {
		return fmt.Errorf("SigmaM is %g; an error of heights is 0 m or more, or NaN where nobody knows it", n.SigmaM)
	}
	if math.IsNaN(n.RangeM) || math.IsInf(n.RangeM, 0) {
		return fmt.Errorf("RangeM is %g; write meters on the ground, or RangeUnknown", n.RangeM)
	}
	return nil
}

// Cov is the covariance of the rise along a row (p) and down a column (q) that
// noise makes, in square metres per cell squared, and the metric of the ground
// on which they are a slope. Slopes are rise over ground run: 0.35 is 35%.
type Cov struct {
	PP, PQ, QQ float64
	Metric     terrain.Metric
}

// Covariance carries noise through a kernel on ground of the given metric. It
// costs an exponential for each lag of the window, for each of some seventy ranges
// where the range is unknown, so compute it once for a window and a metric, and
// use [Cov.On] for the cells around. It is that of whole windows: slope fitted to
// what remains beside voids and at the grid's edge has a larger error.
func (n Noise) Covariance(k Kernel, m terrain.Metric) Cov {
	l := lagsOf(k, m)
	if n.RangeM < 0 {
		return l.worst(n.SigmaM, m)
	}
	return l.covariance(n.SigmaM, n.RangeM, m)
}

// On returns the covariance on ground of another metric. For independent noise
// it is exact; for correlated noise as near as the two metrics are alike, and
// for RangeUnknown exact where they differ by a factor only.
func (c Cov) On(m terrain.Metric) Cov {
	c.Metric = m
	return c
}

// lag is a difference of place between cells of a window: the ground between
// them, and the sums of products of the weights of all pairs so far apart. What
// pairs share depends on the lag alone, which makes the double sum over cells a
// single sum over lags.
type lag struct{ metres, pp, pq, qq float64 }

type lags []lag

func lagsOf(k Kernel, m terrain.Metric) lags {
	e, f, g := m.Inverse()
	ppCol, ppRow := lagged(k.colFall, k.colFall), lagged(k.rowMean, k.rowMean)
	pqCol, pqRow := lagged(k.colFall, k.colMean), lagged(k.rowMean, k.rowFall)
	qqCol, qqRow := lagged(k.colMean, k.colMean), lagged(k.rowFall, k.rowFall)
	var out lags
	for i := range ppCol {
		for j := range ppRow {
			dc, dr := float64(i-len(ppCol)/2), float64(j-len(ppRow)/2)
			out = append(out, lag{
				math.Sqrt(max(e*dc*dc+2*f*dc*dr+g*dr*dr, 0)),
				ppCol[i] * ppRow[j], pqCol[i] * pqRow[j], qqCol[i] * qqRow[j],
			})
		}
	}
	return out
}

func (l lags) covariance(sigmaM, rangeM float64, m terrain.Metric) Cov {
	c := Cov{Metric: m}
	for _, at := range l {
		shared := math.Exp(-at.metres / rangeM)
		if at.metres == 0 {
			shared = 1 // at range 0 too
		}
		c.PP += shared * at.pp
		c.PQ += shared * at.pq
		c.QQ += shared * at.qq
	}
	v := sigmaM * sigmaM
	c.PP, c.PQ, c.QQ = v*c.PP, v*c.PQ, v*c.QQ
	return c
}

// worst returns the covariance at the range that makes MaxSigma largest. Ranges
// from a quarter of the shortest lag to four times the longest are tried, each a
// tenth longer than the last: so near a maximum, a tenth changes MaxSigma by less
// than a thousandth.
func (l lags) worst(sigmaM float64, m terrain.Metric) Cov {
	shortest, longest := math.Inf(1), 0.0
	for _, at := range l {
		longest = max(longest, at.metres)
		if at.metres > 0 {
			shortest = min(shortest, at.metres)
		}
	}
	worst := l.covariance(sigmaM, 0, m)
	for r := shortest / 4; r <= 4*longest; r *= 1.1 {
		if c := l.covariance(sigmaM, r, m); c.MaxSigma() > worst.MaxSigma() {
			worst = c
		}
	}
	return worst
}
