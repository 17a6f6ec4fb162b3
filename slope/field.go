package slope

import (
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
	if f.Step != nil {
		part.RoughSquared, part.Step = f.RoughSquared[from:to], f.Step[from:to]
	}
	return part
}

// Of computes the slope of every cell of a grid at cell scale.
func Of(g *terrain.Grid) *Field {
	f := NewField(g)
	Rows(g, 0, g.Rows, f)
	return f
}

// Pct returns the slope of a cell in percent, NaN where it is unknown.
func (f *Field) Pct(col, row int) float64 {
	return 100 * math.Sqrt(float64(f.Squared[row*f.Cols+col]))
}

// PctOfDegrees returns in percent the slope of an angle in degrees.
func PctOfDegrees(deg float64) float64 { return 100 * math.Tan(deg*math.Pi/180) }

// DegreesOfPct returns in degrees the angle of a slope in percent.
func DegreesOfPct(pct float64) float64 { return math.Atan(pct/100) * 180 / math.Pi }
