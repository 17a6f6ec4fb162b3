package terrain

import (
	"errors"
	"fmt"
	"math"
)

// NewGridOn puts heights in metres, row-major from the north-west, on the cells of a
// frame, the first on its cell (0, 0): what a raster's reader does, for heights that come
// from elsewhere. The whole metre under the first of them is taken off ([Grid].Z0) before
// they are rounded to float32. NaN is a void, and so is a height that no ground has
// ([IsGround]). The heights are only read.
func NewGridOn(frame *Frame, heightsM []float64, cols, rows int) (*Grid, error) {
	if frame == nil || len(frame.metric) == 0 {
		return nil, errors.New("there is no frame to put heights on")
	}
	if cols < 1 || rows < 1 || len(heightsM)/cols != rows || len(heightsM)%cols != 0 {
		return nil, fmt.Errorf("%d heights do not fill %d columns × %d rows", len(heightsM), cols, rows)
	}
	g := &Grid{Z: make([]float32, len(heightsM)), Cols: cols, Rows: rows, Stride: cols, Frame: frame}
	found := false
	for i, h := range heightsM {
		if !IsGround(h) {
			g.Z[i] = float32(math.NaN())
			continue
		}
		if !found {
			g.Z0, found = int(math.Floor(h)), true
		}
		g.Z[i] = float32(h - float64(g.Z0))
	}
	return g, nil
}
