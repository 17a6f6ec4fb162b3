package flow

import (
	"context"
	"fmt"
	"math"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/terrain/quality"
	"github.com/acreband/acreband/terrain/runs"
)

// Options say what counts. Zero takes the planning default.
type Options struct {
	// LineM2 is the least upslope area of a drainage line, on the ground; 0 is an
	// acre. Areas of less than 250 cells of the grid are raised to that.
	LineM2 float64

	HollowDepthM float64 // least depth of a hollow; 0 is 1 ft
	HollowM2     float64 // least area of a hollow, on the ground; 0 is 25 m²; at least 9 cells

	// Water is what [terrain.Water] found. Lines stop at its shores, and patches
	// of it that look like voids are taken for voids. Without it, lines run
	// straight across dead-flat water. It must be that of the same grid.
	Water *quality.Patches
}

// Planning defaults: see the package's doc for the reasons.
const (
	lineM2       = terrain.SquareMetresPerAcre
	lineCells    = 250
	hollowDepthM = 0.3048 // a foot
	hollowM2     = 25
	hollowCells  = 9
)

// filled returns the options with defaults in place of zeros.
func (o Options) filled(cellM2 float64) Options {
	set := func(v *float64, to float64) {
		if !(*v > 0) {
			*v = to
		}
	}
	set(&o.LineM2, lineM2)
	set(&o.HollowDepthM, hollowDepthM)
	set(&o.HollowM2, hollowM2)
	o.LineM2 = max(o.LineM2, lineCells*cellM2)
	o.HollowM2 = max(o.HollowM2, hollowCells*cellM2)
	return o
}

// Drainage is where water runs and stands. It does not change once made.
type Drainage struct {
	Cols, Rows int

	LineM2  float64 // the least upslope area that was used
	Lines   []Line  // in reading order of their first cells
	Hollows []Hollow

	// Wet are the cells of drainage lines, row by row. They are joined side by side: no step to
	// one of eight neighbours slips through a line between two dry cells.
	Wet []runs.Run
	// InHollow are the cells of Hollows, likewise.
	InHollow []runs.Run
}

// Line is a drainage line from its head, or from where two lines meet, down to
// the next meeting, the shore of standing water, the end of the window or a void.
type Line struct {
	// Path is its course through the middles of cells, in the coordinates of the
	// grid's Frame, less those that lie straight between their neighbours. It ends
	// in the cell where lines meet, or in the first of the water.
	Path    [][2]float64
	LengthM float64 // on the ground, plan
	HeadM2  float64 // area upslope of its first cell, that cell among it: a least value
	MouthM2 float64 // of the last cell that is its own
	Next    int     // the line that it runs into; -1 where there is none
}

// Hollow is ground from which water has no way out below a rim.
type Hollow struct {
	Col, Row int     // its deepest cell, counted from the grid's
	DepthM   float64 // from the rim to that cell
	RimM     float64 // height at which it would spill
	Cells    int     // below the rim
	AreaM2   float64 // of those cells, on the ground
}

// Drain finds the drainage lines and hollows of a grid of at most 2^31-1 cells.
// It runs on one core and gives the same bytes on any machine. A grid that cannot be used,
// and water of another one, are errors; once the context is done, Drain ends with its
// error.
func Drain(ctx context.Context, g *terrain.Grid, o Options) (_ *Drainage, err error) {
	if err := g.Check(); err != nil {
		return nil, err
	}
	if !o.Water.On(g) {
		return nil, fmt.Errorf("the water is not that of the grid's %d × %d cells", g.Cols, g.Rows)
	}
	defer beside.Ended(&err)
	watch := beside.NewWatch(ctx)
	middle := g.Frame.MetricAt(float64(g.Col0)+float64(g.Cols)/2, float64(g.Row0)+float64(g.Rows)/2)
	o = o.filled(middle.CellAreaM2())
	d := &Drainage{Cols: g.Cols, Rows: g.Rows, LineM2: o.LineM2}
	r, level := route(g, o.Water, watch)
	d.Hollows, d.InHollow = r.hollows(level, o)
	upslope := r.gather()
	wet := r.channels(upslope, o)
	d.Lines = r.lines(upslope, wet)
	d.Wet = runs.Of(r.cols, r.rows, func(i int) bool { return wet[i] })
	return d, nil
}

// route finds where the water of every cell goes, and how high each basin fills.
func route(g *terrain.Grid, water *quality.Patches, watch *beside.Watch) (*routing, []float32) {
	r := newRouting(g, water, watch)
	low := r.descend()
	r.settle(low)
	r.label(low)
	return r, r.flood(r.lowest(r.passes()))
}

// cellM2 is the area of a cell on the ground.
func (r *routing) cellM2(i int) float64 {
	return r.grid.Frame.MetricAt(r.place(i)).CellAreaM2()
}

// place is the middle of a cell in the coordinates of the frame.
func (r *routing) place(i int) (col, row float64) {
	return float64(r.grid.Col0+i%r.cols) + 0.5, float64(r.grid.Row0+i/r.cols) + 0.5
}

// stepM is the length of a step on the ground.
func (r *routing) stepM(i int, way uint8) float64 {
	return 1 / float64(perMOf(r.grid.Frame.MetricAt(r.place(i))).of(int(way)))
}

// areaCells is how many cells make an area, rounded up.
func areaCells(areaM2 float64, m terrain.Metric) int32 {
	return int32(min(math.Ceil(areaM2/m.CellAreaM2()), math.MaxInt32))
}
