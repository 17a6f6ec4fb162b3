package zoning

import (
	"math"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/zoning/coverage"
)

// Patch is a connected piece of a zone.
type Patch struct {
	Acres float64
	// AzimuthDeg is the mean downhill direction in degrees clockwise from true north:
	// machines work along it, up and down. Directions are averaged as lines (twice the
	// angle, Mardia 1972), so that both sides of a ridge agree, and weigh by slope.
	AzimuthDeg float64
	At         orb.Point // the spot of it nearest its middle
}

// leastPatchAcres is the smallest piece that has a working direction.
const leastPatchAcres = 0.05

// patchesOf finds the working direction of the pieces of a zone.
func patchesOf(cells *coverage.Window, field *slope.Field, ground orb.MultiPolygon) []Patch {
	var out []Patch
	for _, poly := range ground {
		acres := coverage.Acres(orb.MultiPolygon{poly})
		if acres < leastPatchAcres {
			continue
		}
		var runs [][3]int
		var n, col, row, cos2, sin2, cos1, sin1 float64
		cells.EachInside(orb.MultiPolygon{poly}, func(r, from, to int) {
			runs = append(runs, [3]int{r, from, to})
			for c := from; c < to; c++ {
				i := r*cells.Cols + c
				n, col, row = n+1, col+float64(c), row+float64(r)
				s := math.Sqrt(float64(field.Squared[i]))
				if s != s {
					continue
				}
				sin, cos := math.Sincos(2 * math.Pi * float64(field.Aspect[i]) / slope.AspectTurn)
				cos1, sin1 = cos1+s*cos, sin1+s*sin
				cos2, sin2 = cos2+s*(cos*cos-sin*sin), sin2+s*2*sin*cos
			}
		})
		if n == 0 {
			continue
		}
		at := nearestIn(runs, col/n, row/n)
		sin, cos := math.Sincos(math.Atan2(sin2, cos2) / 2)
		if cos*cos1+sin*sin1 < 0 {
			sin, cos = -sin, -cos
		}
		out = append(out, Patch{acres, cells.Azimuth(at, cos, sin), cells.Middle(at)})
	}
	return out
}

// nearestIn is the cell of runs that is nearest to a spot.
func nearestIn(runs [][3]int, col, row float64) (at [2]int) {
	least := math.Inf(1)
	for _, r := range runs {
		c := min(max(int(math.Round(col)), r[1]), r[2]-1)
		if d := math.Hypot(float64(c)-col, float64(r[0])-row); d < least {
			least, at = d, [2]int{c, r[0]}
		}
	}
	return at
}
