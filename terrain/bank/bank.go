package bank

import (
	"context"
	"fmt"
	"math"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
)

// Kind is what parts the ground on either side of a line.
type Kind uint8

const (
	Step  Kind = iota // the ground beyond lies lower: a bank, a scarp, a wall, a cut
	Ditch             // the ground on the line lies lower than on both sides
)

// Bank is a place of a bank or a ditch: one cell of the line that it runs along.
type Bank struct {
	Kind  Kind
	Cell  int // on the line, row by row from the grid's first cell
	Upper int // the cell at the upper edge; of a ditch the rim, on either side
	Foot  int // the cell at the foot; of a ditch the other rim
	Line  int // the line that it belongs to, from 0

	// HeightM is how far the ground falls over the quadratic surface around; of a ditch how
	// deep it is. LowM and HighM are the ends of its range, with 90% certainty.
	HeightM, LowM, HighM float64

	// Hidden says that the cells are too coarse to tell the line's face from a slope: a bank is
	// likely here, and no more is known.
	Hidden bool

	// Likelihood is how likely the cell is one of a bank and no ordinary ground of this
	// raster, from 0 to 1.
	Likelihood float64
}

// Options say what is known of a grid's heights.
type Options struct {
	// QuantumM is the step in which heights come, in meters; 0 where they come in none. A rise
	// of one of it is no bank.
	QuantumM float64
	// CoarseM is the cell of the coarser raster that the grid was drawn from, in meters; 0
	// where it was drawn from none.
	CoarseM float64
}

const (
	// LeastM is the lowest bank that is looked for, and the shallowest ditch: 18 in, the least
	// step that stops a machine of the built-in fleet (common practice, no source).
	LeastM = 18 * 0.0254

	// sureLikelihood begins a line, and likely carries it on.
	sureLikelihood, likely = 0.5, 0.005
	// lineReaches is how long a line is at least, in radii of the disc that is fitted.
	lineReaches = 1.5
	// leastOfQuantum is how many steps of quantised heights make a bank.
	leastOfQuantum = 1.5
	// halfRange is how many standard errors the range of a height reaches to either side: 90%.
	halfRange = 1.645
)

// Find finds the banks and ditches of a grid, line by line. The same grid gives the same banks,
// whatever the number of processors. One that is smaller than the disc, or whose cells are more
// than twice as long as wide, has none.
// A grid that cannot be used and options that are none are errors; once the context is done
// Find ends with its error.
func Find(ctx context.Context, g *terrain.Grid, o Options) (_ []Bank, err error) {
	if err := g.Check(); err != nil {
		return nil, err
	}
	for _, m := range [2]float64{o.QuantumM, o.CoarseM} {
		if !(m >= 0) || math.IsInf(m, 0) {
			return nil, fmt.Errorf("heights in steps of %g m from cells of %g m; write 0 m or more", o.QuantumM, o.CoarseM)
		}
	}
	defer beside.Ended(&err)
	watch := beside.NewWatch(ctx)
	m := g.Frame.MetricAt(float64(g.Col0)+float64(g.Cols)/2, float64(g.Row0)+float64(g.Rows)/2)
	t := templateFor(m, o.CoarseM)
	if t == nil || g.Cols <= 2*t.reach || g.Rows <= 2*t.reach {
		return nil, nil
	}
	for _, d := range t.at {
		t.offsets = append(t.offsets, d[1]*g.Stride+d[0])
	}
	s := &search{template: t, g: g, watch: watch, leastM: max(LeastM, leastOfQuantum*o.QuantumM)}
	s.calibrate()
	s.fitAll()
	return s.lines(s.peaks()), nil
}

// search is one look for banks.
type search struct {
	*template
	g      *terrain.Grid
	watch  *beside.Watch
	leastM float64
	scale  *scale
	rows   [][]fit // by row, in order of columns
}

func abs32(v float32) float64 { return math.Abs(float64(v)) }
