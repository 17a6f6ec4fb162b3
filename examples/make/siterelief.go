package main

import (
	"math"
	"math/rand/v2"
)

// The elevation, in cells of a metre.
const (
	siteCols, siteRows = 460, 400
	seed               = 7
)

// siteHeights are whole 1/128 m, a little finer than a centimetre, which a float32 holds
// exactly and the file packs well.
func siteHeights() []float32 { return heights(siteCols, siteRows, relief) }

// heights are those of a raster, row by row from the north-west, in metres.
func heights(cols, rows int, relief func(x, y float64) (z float64, water bool)) []float32 {
	rng := rand.New(rand.NewPCG(seed, seed))
	z := make([]float32, 0, cols*rows)
	for r := range rows {
		for c := range cols {
			x, y := float64(c)+0.5, float64(rows-r)-0.5
			h, water := relief(x, y)
			if !water {
				h += swells(x, y) + 0.02*rng.NormFloat64() // what lidar leaves, 2 cm
			}
			z = append(z, float32(math.Round(h*128)/128))
		}
	}
	return z
}

// relief is the height of the ground at x metres east and y north of the raster's
// south-west corner, and whether water stands there.
func relief(x, y float64) (z float64, water bool) {
	z = mix(west(x, y), east(x, y), step(222, 272, x))
	z = pit(z, x, y)
	z -= draw(x, y)
	return pond(z, x, y)
}

// field rises from the road by 4.5 %.
var field = profile{{-50, 196.4}, {400, 216.65}}

// west is the field, and a ridge that ends in it: its crest climbs by 20 %, then 36 %,
// and its flanks fall by 34 % across that.
func west(x, y float64) float64 {
	crest := profile{{0, 0}, {125, 0}, {250, 19.4}, {400, 66.6}}
	const roundM = 26 // of the crest
	flank := 0.34 * (math.Hypot(x-120, roundM) - roundM)
	return field.at(y) + above(crest.at(y)-flank, 1.5)
}

// east is the field, a hillside, a face 14 m high that is steeper the farther east, the
// bench on it, and the hill behind. Beyond the boundary a spur with the neighbour's lane
// climbs to the bench by less than 14 %.
func east(x, y float64) float64 {
	const toe, faceM = 215, 14
	top := toe + faceM/(0.72+0.25*step(272, 360, x))
	hill := profile{{-50, 196.4}, {150, 205.4}, {180, 208.4}, {toe, 217.5}, {top, 217.5 + faceM}, {290, 233.2}, {400, 279.4}}
	spur := profile{{-50, 196.4}, {30, 200}, {265, 232}, {290, 233.2}, {400, 279.4}}
	return mix(hill.at(y), spur.at(y), step(345, 405, x))
}

// pit is a borrow pit at the foot of the ridge: it is dug level into the hill and ends
// at a cut bank of 2.5 m.
func pit(z, x, y float64) float64 {
	if y > 152 {
		return z
	}
	return z - 2.5*step(134, 152, y)*step(76, 82, x)*(1-step(108, 114, x))
}

// drawLine is the bed of the draw.
var drawLine = profile{{-50, 186}, {60, 192}, {120, 198}, {180, 212}, {240, 224}, {330, 220}, {450, 216}}

// crossingY is where an old farm crossing fills the draw, with a pipe under it.
const crossingY = 80

// draw is how deep the draw has cut in. Its sides steepen up the valley.
func draw(x, y float64) float64 {
	depth := profile{{-50, 1.2}, {50, 1.5}, {150, 1.9}, {200, 4}, {270, 5}, {330, 4}, {450, 4}}.at(y)
	side := profile{{-50, 0.55}, {120, 0.55}, {200, 0.75}, {450, 0.75}}.at(y)
	fill := 1 - step(2.8, 5.5, math.Abs(y-crossingY))
	return above(depth-side*math.Abs(x-drawLine.at(y)), 0.15) * (1 - 0.9*fill)
}

// The pond is dug into the field: level water, banks of 70 % above it.
const (
	pondX, pondY, pondE, pondN = 300.0, 95.0, 24.0, 15.0
	pondLevel, pondBank        = 201.2, 0.70
)

func pond(z, x, y float64) (float64, bool) {
	dx, dy := (x-pondX)/pondE, (y-pondY)/pondN
	d := math.Hypot(dx, dy)
	if d <= 1 {
		return pondLevel, true
	}
	// To first order, how far from the shore: (d-1) over the slope of d.
	shoreM := (d - 1) * d / math.Hypot(dx/pondE, dy/pondN)
	return min(z, pondLevel+pondBank*shoreM), false
}

// swells are what no ground is without.
func swells(x, y float64) float64 {
	return 0.06*math.Sin(x/9+1.3*math.Sin(y/17)) + 0.05*math.Sin(y/7+0.9*math.Cos(x/13)) + 0.12*math.Sin(x/31-y/23)
}

// profile is a line through points, from west to east or south to north, its corners
// rounded over 5 m.
type profile [][2]float64

func (p profile) at(t float64) float64 {
	sum := 0.0
	for i := -2.0; i <= 2; i++ {
		sum += p.straight(t + i)
	}
	return sum / 5
}

func (p profile) straight(t float64) float64 {
	for i := 1; i < len(p); i++ {
		if a, b := p[i-1], p[i]; t <= b[0] || i == len(p)-1 {
			return a[1] + (b[1]-a[1])*(t-a[0])/(b[0]-a[0])
		}
	}
	return math.NaN()
}

// step climbs smoothly from 0 at a to 1 at b.
func step(a, b, v float64) float64 {
	t := min(max((v-a)/(b-a), 0), 1)
	return t * t * (3 - 2*t)
}

// above is v where it is above 0, else 0, rounded in between.
func above(v, round float64) float64 { return (v + math.Sqrt(v*v+round*round)) / 2 }

func mix(a, b, t float64) float64 { return a + (b-a)*t }
