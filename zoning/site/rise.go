package site

import (
	"math"

	"github.com/acreband/acreband/terrain"
	"github.com/paulmach/orb"
)

// meanSlope is the slope of the ground on the whole, as rise over run, from a
// point to the middle of a cell that lies distM from it. Where the ground at the
// point has no elevation, as a stream that is a void, or lies beyond the window,
// it is measured from the first spot on the way that has. A cell without
// elevation sees 0: no machine is given it.
func meanSlope(g *terrain.Grid, from, to orb.Point, distM float64) float64 {
	if distM == 0 {
		return 0
	}
	way := minus(to, from)
	end := heightAt(g, to)
	steps := math.Ceil(2*max(math.Abs(way[0]), math.Abs(way[1]))) + 1
	for i := range int(steps) {
		t := float64(i) / steps
		z := heightAt(g, orb.Point{from[0] + t*way[0], from[1] + t*way[1]})
		if rise := math.Abs(end - z); rise == rise {
			return rise / ((1 - t) * distM)
		}
	}
	return 0
}

// heightAt interpolates between the middles of the four cells about a point, in
// meters above the grid's Z0. In the outer half of the cells along the window's
// edge it takes theirs. It is NaN beyond the window and where a cell that counts
// is a void.
func heightAt(g *terrain.Grid, p orb.Point) float64 {
	if !(p[0] >= 0 && p[1] >= 0 && p[0] <= float64(g.Cols) && p[1] <= float64(g.Rows)) {
		return math.NaN()
	}
	c, u := math.Modf(min(max(p[0]-0.5, 0), float64(g.Cols-1)))
	r, v := math.Modf(min(max(p[1]-0.5, 0), float64(g.Rows-1)))
	z := 0.0
	for _, n := range [4]struct{ c, r, weight float64 }{
		{c, r, (1 - u) * (1 - v)}, {c + 1, r, u * (1 - v)}, {c, r + 1, (1 - u) * v}, {c + 1, r + 1, u * v},
	} {
		if n.weight > touchCells { // no more than rounding: the point is on a middle
			z += n.weight * float64(g.Z[int(n.r)*g.Stride+int(n.c)])
		}
	}
	return z
}

// reliefM is the difference between the highest and the lowest ground.
func reliefM(g *terrain.Grid) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for r := range g.Rows {
		for _, z := range g.Z[r*g.Stride : r*g.Stride+g.Cols] {
			if z == z {
				low, high = min(low, float64(z)), max(high, float64(z))
			}
		}
	}
	return max(high-low, 0)
}
