package quality

import (
	"cmp"
	"math"
	"slices"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/terrain/rank"
)

// plateau is one height that many cells share and that may be no height.
type plateau struct {
	HeightM float64 // equal to [terrain.Grid.At] of its cells
	Cells   int
	StepM   float64 // median step to the neighbours beside it; 0 where it has none

	// Void says that the steps around it are such as no ground has: the value
	// stands for missing elevation. A plateau at 0 m with low steps is listed
	// without it: it may be the sea.
	Void bool
}

const (
	plateauShare = 0.01 // of the cells that have a height
	zeroCells    = 25   // of 0 m with a void's edge: few zeros are no chance

	// A step of a void's edge: at least 5 m around zeros, 10 m around another
	// value, and ten times the raster's usual step between neighbours, so that a
	// lake under cliffs on a coarse raster is none. Chosen on the made data of
	// the test.
	zeroStepM, voidStepM, voidStepTimes = 5, 10, 10

	plateauRims = 1 << 14 // steps looked at
)

// plateaus finds undeclared voids: 0 m, the lowest or the highest height of the
// grid where more than 1 % of its cells have exactly that height and the median
// step to their neighbours is at least 10 m and ten times the grid's usual one. Of
// zeros 25 cells and steps of 5 m are enough; above 1 % they are listed with
// smaller steps too, as what may be the sea.
//
// Values outside -500 to 9000 m are voids before they come here. Not caught: a
// stand-in value that is neither 0 nor the lowest nor the highest; one close to
// the ground's own heights; fewer cells than that. A quarry lake under steep walls that is
// the lowest ground can be taken for a void.
func plateaus(g *terrain.Grid, watch *beside.Watch) []plateau {
	heights, n := heightRange(g, watch)
	if n == 0 {
		return nil
	}
	var found []plateau
	usual := -1.0
	for _, k := range heights {
		v, h, wide := k.z, float64(k.z)+float64(g.Z0), float64(k.cells) > plateauShare*float64(n)
		if k.cells == n || !wide && !(h == 0 && k.cells >= zeroCells) {
			continue
		}
		if usual < 0 {
			usual = usualStep(g)
		}
		step := rimStep(g, v)
		least := float64(voidStepM)
		if h == 0 {
			least = zeroStepM
		}
		p := plateau{h, k.cells, step, step >= max(least, voidStepTimes*usual)}
		if p.Void || h == 0 && wide {
			found = append(found, p)
		}
	}
	return found
}

// plateauDoubts tells of heights that may be none.
func plateauDoubts(l *Look, _ *beside.Watch) []Doubt {
	var out []Doubt
	for _, p := range l.plateaus {
		acres := l.units.AreaText(l.grid.Acres(p.Cells), 1)
		if p.Void {
			out = append(out, doubt(DoubtPlateau, p.Cells, "%s at exactly %.4g m, with steps of %.3g m around: an undeclared no-data value, or water under cliffs: no ground, though it reads as perfect ground", acres, p.HeightM, p.StepM))
		} else {
			out = append(out, doubt(DoubtPlateau, p.Cells, "%s at exactly 0 m, with steps of %.2g m around: the sea, or an undeclared no-data value", acres, p.StepM))
		}
	}
	return out
}

// void reports whether a height is that of a plateau which stands for voids.
func void(plateaus []plateau, h float64) bool {
	return slices.ContainsFunc(plateaus, func(p plateau) bool { return p.Void && p.HeightM == h })
}

// sharedHeight is a value of Z and how many cells have it.
type sharedHeight struct {
	z     float32
	cells int
}

// heightRange counts the cells of the lowest and the highest Z and of 0 m, in rising
// order, and those that have a height.
func heightRange(g *terrain.Grid, watch *beside.Watch) (heights []sharedHeight, n int) {
	zero, lowest, highest := sharedHeight{z: float32(-g.Z0)}, sharedHeight{z: float32(math.Inf(1))}, sharedHeight{z: float32(math.Inf(-1))}
	n = g.Rows * g.Cols
	for r := range g.Rows {
		watch.Did(g.Cols)
		line := g.Line(r)
		for c := 0; c < len(line); c++ {
			if c += between(line[c:], lowest.z, highest.z, zero.z); c == len(line) {
				break
			}
			z := line[c]
			if z != z {
				n--
				continue
			}
			if z <= lowest.z {
				if z < lowest.z {
					lowest = sharedHeight{z: z}
				}
				lowest.cells++
			}
			if z >= highest.z {
				if z > highest.z {
					highest = sharedHeight{z: z}
				}
				highest.cells++
			}
			if z == zero.z {
				zero.cells++
			}
		}
	}
	heights = []sharedHeight{zero, lowest, highest}
	slices.SortFunc(heights, func(a, b sharedHeight) int { return cmp.Compare(a.z, b.z) })
	return slices.CompactFunc(heights, func(a, b sharedHeight) bool { return a.z == b.z }), n
}

// between is how many cells lie between two heights before one that does not, is a void or has
// the height that none may have.
func between(line []float32, low, high, none float32) int {
	for c, z := range line {
		if !(z > low && z < high) || z == none {
			return c
		}
	}
	return len(line)
}

// usualStep is the median step between unequal neighbours along sampled rows.
func usualStep(g *terrain.Grid) float64 {
	var steps []float64
	every := max(1, g.Rows/32)
	for r := every / 2; r < g.Rows; r += every {
		line := g.Line(r)
		for c := 1; c < len(line); c++ {
			if d := math.Abs(float64(line[c]) - float64(line[c-1])); d > 0 {
				steps = append(steps, d)
			}
		}
	}
	return Median(steps)
}

// rimStep is the median step between cells of one height and their neighbours
// of another, right and below, of the first [plateauRims] in every part of the
// grid.
func rimStep(g *terrain.Grid, v float32) float64 {
	var steps []float64
	see := func(a, b float32) {
		if (a == v) != (b == v) {
			if d := math.Abs(float64(a) - float64(b)); d == d {
				steps = append(steps, d)
			}
		}
	}
	every := max(1, g.Rows*g.Cols/(64*plateauRims))
	for r := 0; r < g.Rows; r += every {
		line := g.Line(r)
		for c := 1; c < len(line); c++ {
			see(line[c-1], line[c])
		}
		if r+1 < g.Rows {
			for c, b := range g.Line(r + 1) {
				see(line[c], b)
			}
		}
	}
	return Median(steps)
}

// Median is the middle value, the upper one of two, of values that it reorders, none of them NaN; 0 of none.
func Median(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	return rank.Nth(v, len(v)/2)
}
