package main

import "math"

const subdivisionCols, subdivisionRows = 520, 530

func subdivisionHeights() []float32 {
	return heights(subdivisionCols, subdivisionRows, subdivisionRelief)
}

// bend is how far north the road lies at x of where it would be if it were straight.
func bend(x float64) float64 { return 14 * math.Sin(x/95) }

// subdivisionRelief is a road that climbs to the east at 5%. North of it the ground steepens with
// every yard: from 7% at the road to 55% on the ridge in the middle, and to less than half of that at
// either end. South of it it falls at 9%, and to the east breaks into a bank of 45% above a ditch.
func subdivisionRelief(x, y float64) (z float64, water bool) {
	d := y - roadM - bend(x)
	z = 260 + 0.05*x
	steep := 0.42 + 0.58*math.Pow(math.Sin(math.Pi*min(max(x, 0), subdivisionCols)/subdivisionCols), 2)
	climb := profile{{0, 0}, {40, 0.07 * 40}, {110, 0.07*40 + 0.2*70}, {200, 0.07*40 + 0.2*70 + 0.36*90}, {400, 0.07*40 + 0.2*70 + 0.36*90 + 0.55*200}}
	if d >= 0 {
		return z + steep*climb.at(d), false
	}
	fall := 0.09 * -d
	bank := 0.36 * within(-d, 45, 68) * step(280, 340, x)
	return z - fall - bank, false
}
