package main

import "math"

const creekCols, creekRows = 340, 320

func creekHeights() []float32 { return heights(creekCols, creekRows, creekRelief) }

// creekRelief climbs from the creek to the north: a bank of 40 to 70 %, a bench of 5 to
// 18 %, and a hillside of 20 to 30 % whose runs of 47 m end on the bench. The lane along the west edge climbs from the bridge to the bench.
func creekRelief(x, y float64) (z float64, water bool) {
	bank := 0.55 + 0.12*math.Sin(x/24)
	hill := 0.245 + 0.025*math.Sin(x/31)
	rise := bank*(within(y, creekSouthM, bankTopM)-(bankTopM-creekSouthM)) +
		0.07*within(y, bankTopM, bankTopM+40) + 0.13*within(y, bankTopM+40, benchTopM-40) + 0.09*within(y, benchTopM-40, benchTopM) +
		hill*within(y, benchTopM, creekNorthM+6) + 0.08*within(y, creekNorthM+6, creekRows)
	lane := profile{{0, -7.5}, {58, -6}, {120, 2}, {400, 30}}.at(y)
	const bed = 0.4 // of water over gravel, below the first dry ground
	z = 100 + rise
	if y < creekSouthM {
		z += min(bed, 0.1*(creekSouthM-y))*-1 + above(0.35*(creekSouthM-14-y), 0.5)
	}
	z = mix(100+lane, z, step(24, 40, x))
	pad := 1 - step(9, 15, math.Hypot(x-yardX, y-yardY))
	return mix(z, 102, pad), false
}

// The yard on the lot is a level pad.
const yardX, yardY = 62, 120

// within is how much of y lies between two others.
func within(y, from, to float64) float64 { return min(max(y-from, 0), to-from) }
