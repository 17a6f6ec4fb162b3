package terrain

import (
	"errors"
	"fmt"
	"math"
)

// Grid is a window of heights. Z is row-major from the north-west, one value a
// cell: metres above Z0, NaN where there is no elevation. Row r, column c is
// Z[r*Stride+c]. The integer Z0 was taken off in float64, since float32 at
// 3 300 m would lose 0.02 points of slope.
//
// The cell at (0, 0) is cell (Col0, Row0) of the raster, the coordinates in
// which Frame speaks. A window may reach beyond the raster: such cells are NaN.
type Grid struct {
	Z          []float32
	Z0         int
	Cols, Rows int
	Stride     int
	Col0, Row0 int
	Frame      *Frame
}

// NewGrid wraps heights in metres, row-major from the north-west, whose cells
// are dx metres wide and dy metres tall; NaN is a void, and so is a height that no
// ground has ([IsGround]), such as a -9999 nobody declared: [Grid.Voids] counts them.
// It is meant for heights that come from elsewhere than a public raster: its metric is exact, and it
// lies nowhere in particular: around longitude 0 on the equator, where acres cut
// from it are true to 1e-6 within 5 km of its middle.
func NewGrid(heightsM []float32, cols, rows int, dx, dy float64) (*Grid, error) {
	if cols < 1 || rows < 1 || len(heightsM)/cols != rows || len(heightsM)%cols != 0 {
		return nil, fmt.Errorf("%d heights do not fill %d columns × %d rows", len(heightsM), cols, rows)
	}
	if !(dx > 0) || !(dy > 0) || math.IsInf(dx+dy, 0) {
		return nil, fmt.Errorf("cells of %g × %g m; both must be positive meters", dx, dy)
	}
	// Degrees of longitude and of latitude at the equator, in metres (WGS84).
	const lonM = SemiMajorM * math.Pi / 180
	const latM = lonM * (1 - Flattening) * (1 - Flattening)
	locate := func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			out[i] = [2]float64{(c[0] - float64(cols)/2) * dx / lonM, (float64(rows)/2 - c[1]) * dy / latM}
		}
		return out, nil
	}
	frame, err := NewFrame(maxStep, 0, 0, cols, rows, locate)
	if err != nil {
		return nil, fmt.Errorf("cells of %g × %g m, %d × %d of them: %w", dx, dy, cols, rows, err)
	}
	for k := range frame.metric {
		frame.metric[k] = Metric{A: 1 / (dx * dx), C: 1 / (dy * dy)}
	}
	return &Grid{Z: groundOnly(heightsM), Cols: cols, Rows: rows, Stride: cols, Frame: frame}, nil
}

// Check returns why the grid cannot be used: none, cells that its heights do not fill, a
// first cell beyond what is counted, or no frame. One of [NewGrid] can be used.
func (g *Grid) Check() error {
	switch {
	case g == nil:
		return errors.New("there is no grid of heights")
	case g.Cols < 1 || g.Rows < 1 || g.Stride < g.Cols || g.Rows > math.MaxInt32/g.Stride || len(g.Z) < (g.Rows-1)*g.Stride+g.Cols:
		return fmt.Errorf("%d heights do not fill %d columns × %d rows, %d apart", len(g.Z), g.Cols, g.Rows, g.Stride)
	case max(g.Col0, g.Row0) > farCell || min(g.Col0, g.Row0) < -farCell:
		return fmt.Errorf("the grid of heights begins at column %d, row %d", g.Col0, g.Row0)
	case g.Frame == nil || len(g.Frame.metric) == 0:
		return errors.New("the grid of heights has no frame: nobody knows how large its cells are")
	}
	return nil
}

// At returns the height in metres of a cell of the window, NaN for a void.
func (g *Grid) At(col, row int) float64 {
	return float64(g.Z[row*g.Stride+col]) + float64(g.Z0)
}

// Voids counts the cells without elevation.
func (g *Grid) Voids() int {
	n := 0
	for r := range g.Rows {
		for _, z := range g.Z[r*g.Stride : r*g.Stride+g.Cols] {
			if z != z {
				n++
			}
		}
	}
	return n
}

// HeightsM returns the lowest and the highest height of the window in metres, NaN
// where it holds none.
func (g *Grid) HeightsM() (lowest, highest float64) {
	low, high := float32(math.Inf(1)), float32(math.Inf(-1))
	for r := range g.Rows {
		for _, z := range g.Z[r*g.Stride : r*g.Stride+g.Cols] {
			if z < low {
				low = z
			}
			if z > high {
				high = z
			}
		}
	}
	if low > high {
		return math.NaN(), math.NaN()
	}
	return float64(low) + float64(g.Z0), float64(high) + float64(g.Z0)
}
