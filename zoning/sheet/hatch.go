package sheet

import (
	"math"

	"github.com/acreband/acreband/zoning/palette"
)

// tileSide is the side of a hatch tile in pixels; every pattern repeats in it.
const tileSide = 48

// tile is how much ink covers each pixel of a pattern, 0 to inkSteps-1.
type tile [tileSide * tileSide]uint8

const inkSteps = 5

// pattern gives the distance in pixels from the middle of the nearest line, and
// half the line's width.
type pattern struct {
	away  func(x, y float64) float64
	halfW float64
}

// machinePatterns are given to machines in fleet order. Neighbours in the order
// differ in angle and in kind.
var machinePatterns = [...]pattern{
	{func(x, y float64) float64 { return off(x+y, 16) / math.Sqrt2 }, 0.6},
	{func(x, y float64) float64 { return min(off(x-y, 16), off(x-y-5, 16)) / math.Sqrt2 }, 0.55},
	{func(x, y float64) float64 { return off(x, 12) }, 0.65},
	{func(x, y float64) float64 { return dash(x, y, 16, 8, 5) }, 0.75},
	{func(x, y float64) float64 { return off(y+0.8*off(x, 12), 12) * 0.78 }, 0.7},
	{func(x, y float64) float64 { return spread(x, y, 16, plus) }, 0.7},
	{func(x, y float64) float64 { return off(x+2*y, 24) / math.Sqrt(5) }, 0.65},
	{func(x, y float64) float64 { return spread(x, y, 16, ripple) }, 0.7},
	{func(x, y float64) float64 { return off(2*x-y, 24) / math.Sqrt(5) }, 0.65},
	{func(x, y float64) float64 { return brick(x, y) }, 0.6},
	{func(x, y float64) float64 { return min(off(y, 16), off(y-4, 16)) }, 0.6},
	{func(x, y float64) float64 { return spread(x, y, 16, saltire) }, 0.7},
	{func(x, y float64) float64 { return dash(y, x, 16, 8, 5) }, 0.75},
	{func(x, y float64) float64 { return spread(x, y, 16, tick) }, 0.7},
}

var (
	crossHatch = pattern{func(x, y float64) float64 { return min(off(x+y, 8), off(x-y, 8)) / math.Sqrt2 }, 0.75}
	bars       = pattern{func(_, y float64) float64 { return off(y, 8) }, 2.1}
	grid       = pattern{func(x, y float64) float64 { return min(off(x, 16), off(y, 16)) }, 0.55}
	rings      = pattern{func(x, y float64) float64 { return spread(x, y, 16, circle) }, 0.7}
	dots       = pattern{func(x, y float64) float64 { return spread(x, y, 12, math.Hypot) }, 1.35}
)

// patternOf returns the hatching of a band in a fleet of n machines.
func patternOf(band, n int) pattern {
	switch {
	case band < n:
		return machinePatterns[band%len(machinePatterns)]
	case band == n+palette.NeedsMachine:
		return grid
	case band == n+palette.WaitsDry:
		return rings
	case band == n+palette.ForNone:
		return crossHatch
	case band == n+palette.Unknown:
		return dots
	}
	return bars
}

func (p pattern) tile() *tile {
	var t tile
	for i := range t {
		d := p.away(float64(i%tileSide)+0.5, float64(i/tileSide)+0.5)
		cover := min(max(p.halfW+0.5-d, 0), 1)
		t[i] = uint8(cover*(inkSteps-1) + 0.5)
	}
	return &t
}

// off is the distance of v from the nearest multiple of a period.
func off(v, period float64) float64 { return math.Abs(v - period*math.Round(v/period)) }

// dash is broken lines along x, a row every gap, every other row set off.
func dash(x, y, period, gap, half float64) float64 {
	row := math.Round(y / gap)
	if int(row)&1 != 0 {
		x += period / 2
	}
	return math.Hypot(max(0, off(x, period)-half), y-gap*row)
}

// spread sets a sign on a staggered grid.
func spread(x, y, period float64, sign func(x, y float64) float64) float64 {
	near := math.Inf(1)
	for _, shift := range [2]float64{0, period / 2} {
		u, v := x-shift, y-shift
		u, v = u-period*math.Round(u/period), v-period*math.Round(v/period)
		near = min(near, sign(u, v))
	}
	return near
}

// plusArm is how far the arms of a plus reach, in pixels of a hatch tile.
const plusArm = 4

func plus(x, y float64) float64 {
	return min(math.Hypot(max(0, math.Abs(x)-plusArm), y), math.Hypot(x, max(0, math.Abs(y)-plusArm)))
}

func saltire(x, y float64) float64 { return plus((x+y)/math.Sqrt2, (x-y)/math.Sqrt2) }

func circle(x, y float64) float64 { return math.Abs(math.Hypot(x, y) - 3) }

// ripple is two short lines, one above the other.
func ripple(x, y float64) float64 { return math.Hypot(max(0, math.Abs(x)-4), math.Abs(y)-2) }

// tick is an open angle that points down.
func tick(x, y float64) float64 {
	x = math.Abs(x)
	return math.Hypot(x-min(max((x-y+1)/2, 0), 3), y+min(max((x-y+1)/2, 0), 3)-1)
}

func brick(x, y float64) float64 {
	course := math.Floor(y / 8)
	if int(course)&1 != 0 {
		x += 8
	}
	return min(off(y, 8), off(x, 16))
}
