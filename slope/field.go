package slope

import (
	"errors"
	"fmt"
	"math"

	"github.com/acreband/acreband/terrain"
)

// Field is the slope of every cell of a grid, or of some of its rows, row-major
// from the north-west.
type Field struct {
	Cols, Rows int
	Row0       int // the grid's row that comes first here

	// Squared is slope squared, slope being rise over ground run (1 is 45°,
	// 100%); NaN where it is unknown. Limits compare squares, which needs
	// neither root nor arctangent.
	Squared []float32

	// Aspect is which way the ground falls, in 256ths of a turn from along the row
	// (east on a north-up raster) towards down the column (south), on the ground;
	// it means nothing where slope is unknown or none. It is found where it is not
	// nil.
	Aspect []uint8

	// UpperSquared is the square of the slope that the ground is below with [Certainty],
	// see [Spread]; +Inf where nothing bounds it, NaN where slope is unknown. It is nil where
	// nobody asked.
	UpperSquared []float32

	// RoughSquared (m²) and Step (m) say what a plane at machine scale hides; see
	// [Planes]. They are nil at cell scale.
	RoughSquared, Step []float32
}

// AddRelief makes room for RoughSquared and Step.
func (f *Field) AddRelief() {
	f.RoughSquared, f.Step = make([]float32, len(f.Squared)), make([]float32, len(f.Squared))
}

// AddAspect makes room for Aspect.
func (f *Field) AddAspect() { f.Aspect = make([]uint8, len(f.Squared)) }

// aspectRow is the aspects of a row of the grid, nil where they are not found.
func (f *Field) aspectRow(r int) []uint8 {
	if f.Aspect == nil {
		return nil
	}
	return f.Aspect[(r-f.Row0)*f.Cols:][:f.Cols]
}

// NewField makes room for the slopes of a grid.
func NewField(g *terrain.Grid) *Field {
	return &Field{Cols: g.Cols, Rows: g.Rows, Squared: make([]float32, g.Cols*g.Rows)}
}

// Part is the field of the grid's rows r0 ≤ r < r1, which shares its memory.
func (f *Field) Part(r0, r1 int) *Field {
	from, to := (r0-f.Row0)*f.Cols, (r1-f.Row0)*f.Cols
	part := &Field{Cols: f.Cols, Rows: r1 - r0, Row0: r0, Squared: f.Squared[from:to]}
	if f.Aspect != nil {
		part.Aspect = f.Aspect[from:to]
	}
	if f.UpperSquared != nil {
		part.UpperSquared = f.UpperSquared[from:to]
	}
	if f.Step != nil {
		part.RoughSquared, part.Step = f.RoughSquared[from:to], f.Step[from:to]
	}
	return part
}

// Of computes the slope of every cell of a grid at cell scale.
func Of(g *terrain.Grid) (*Field, error) {
	if err := g.Check(); err != nil {
		return nil, err
	}
	f := NewField(g)
	return f, Rows(g, 0, g.Rows, f)
}

// holds returns why a field cannot take the rows r0 ≤ r < r1 of a grid.
func (f *Field) holds(g *terrain.Grid, r0, r1 int) error {
	if err := g.Check(); err != nil {
		return err
	}
	if r0 < 0 || r1 > g.Rows || r0 > r1 {
		return fmt.Errorf("rows %d to %d of a grid of %d", r0, r1, g.Rows)
	}
	if f == nil || f.Cols != g.Cols || r0 < f.Row0 || r1 > f.Row0+f.Rows {
		return fmt.Errorf("the field has no room for rows %d to %d of %d cells", r0, r1, g.Cols)
	}
	return f.Check()
}

// Check returns why a field is none: slices that are neither nil nor one value a cell, or
// no slopes.
func (f *Field) Check() error {
	if f == nil {
		return errors.New("there are no slopes")
	}
	if f.Cols < 1 || f.Rows < 0 || f.Rows > math.MaxInt32/f.Cols {
		return fmt.Errorf("slopes of %d columns × %d rows", f.Cols, f.Rows)
	}
	n := f.Cols * f.Rows
	for _, s := range []struct {
		name  string
		cells int
	}{{"Aspect", len(f.Aspect)}, {"UpperSquared", len(f.UpperSquared)}, {"RoughSquared", len(f.RoughSquared)}, {"Step", len(f.Step)}} {
		if s.cells != 0 && s.cells != n {
			return fmt.Errorf("%s has %d values for %d cells", s.name, s.cells, n)
		}
	}
	if len(f.Squared) != n || len(f.Step) != len(f.RoughSquared) {
		return fmt.Errorf("of Squared there are %d values, of Step %d and of RoughSquared %d, for %d cells", len(f.Squared), len(f.Step), len(f.RoughSquared), n)
	}
	return nil
}

// Pct returns the slope of a cell in percent, NaN where it is unknown.
func (f *Field) Pct(col, row int) float64 {
	return 100 * math.Sqrt(float64(f.Squared[row*f.Cols+col]))
}
