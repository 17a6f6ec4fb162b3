package slope

import (
	"math"
	"slices"
)

// RoundedOff is how far, in points of percent, a slope that was rounded by a [Rounding] may
// be off.
const RoundedOff = 1.0 / (2 * perPoint)

// RoundingWords say what a [Rounding] does, for files whose slopes it rounded.
const RoundingWords = "Slopes are rounded to the nearest 1/64 of a point of percent, so they are off by 0.008 points at most; " +
	"one that is on or above a machine's limit is never rounded below it. Bands are drawn from slopes before rounding."

// perPoint is how many steps a point of percent has: a power of two, so that float32 holds
// every step in few bits, which pack well, and readers need not be told of a scale.
const perPoint = 64

// mostRounded is a slope in percent from which float32 itself holds no finer steps.
const mostRounded = 1 << 17

// Rounding rounds slopes, in percent, to the nearest 1/64 of a point, so that they take
// little room in a file, and never from a limit or above to below it: where the nearest step
// would, a slope is kept as it is. All whole and half percents are steps, so that for
// those, too, what is not below one is not rounded below it. A slope may be rounded up to a
// limit that it is below.
type Rounding struct {
	limits []float32 // rising; each the first float32 that is no less
	within []bool    // by step: a limit lies on it or above, short of the next
}

// NewRounding makes a rounding that keeps slopes on their side of limits, in percent. What
// is no slope among those is left out.
func NewRounding(limitsPct []float64) Rounding {
	var r Rounding
	for _, l := range limitsPct {
		if !(l > 0 && l < mostRounded) {
			continue
		}
		limit := float32(l)
		if float64(limit) < l {
			limit = math.Nextafter32(limit, mostRounded)
		}
		r.limits = append(r.limits, limit)
	}
	slices.Sort(r.limits)
	if n := len(r.limits); n > 0 {
		r.within = make([]bool, int(r.limits[n-1]*perPoint)+2)
	}
	for _, l := range r.limits {
		r.within[int(l*perPoint)] = true
	}
	return r
}

// Pct rounds slopes in place. NaN, which is no slope, stays.
func (r Rounding) Pct(slopes []float32) {
	for i, s := range slopes {
		if !(s < mostRounded) {
			continue
		}
		step := int32(s*perPoint + 0.5)
		rounded := float32(step) / perPoint
		if int(step) < len(r.within) && r.within[step] && rounded < s { // seldom first: half of all are rounded down
			rounded = r.held(s, rounded)
		}
		slopes[i] = rounded
	}
}

// held is a slope that would be rounded down: as it is where a limit lies between. The nearest
// float32 of a slope that is no less than a limit may be less than the first float32 above it;
// it is taken for the limit itself.
func (r Rounding) held(s, rounded float32) float32 {
	for _, l := range r.limits {
		if rounded < l && math.Nextafter32(l, 0) <= s {
			rounded = max(s, l)
		}
	}
	return rounded
}
