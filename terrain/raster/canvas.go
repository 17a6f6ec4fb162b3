package raster

import (
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/setting"
)

// canvas is a grid being filled, source after source, the first into all cells, each other into
// those that are still void.
type canvas struct {
	grid *terrain.Grid
	from []uint16 // source of each height; nil as long as there is one
	met  map[int]meeting

	shared   overlaps // of sources of its grid
	compares bool     // the source at work lies on its grid

	// The row painted last of the source at work: how much higher it is where
	// another was there first, and which cells are its own.
	last       int
	over, prev []float32
	mine, were []bool
}

// meeting is what a later source says of a cell that an earlier one gave, beside
// cells of its own.
type meeting struct {
	source uint16
	stepM  float32 // later less earlier
}

func newCanvas(w terrain.Window, f *terrain.Frame, spare []float32) *canvas {
	return &canvas{grid: newGrid(w, f, spare), met: map[int]meeting{}, shared: overlaps{}}
}

// read reads a raster of the canvas's grid. The warning tells of heights that no
// ground has.
func (c *canvas) read(ctx context.Context, m member, source int) (warning string, err error) {
	r, before := m.raster, m.raster.notGround
	c.begin(source)
	if err := r.fill(ctx, c, m.cols, m.rows, uint16(source)); err != nil {
		return "", err
	}
	if n := r.notGround - before; n > 0 {
		warning = fmt.Sprintf("%s: %d cells hold heights below %d m or above %d m, which no ground has; they are mapped as no elevation data. "+
			"Is the unit right (%s), or is a no-data value not declared (%s)?", r.options.called(r.Source.Path), n, terrain.LowestGroundM, terrain.HighestGroundM, r.options.flag("unit"), setting.Name("nodata"))
	}
	return warning, nil
}

// begin makes ready for another source.
func (c *canvas) begin(source int) {
	c.last = math.MinInt
	if source == 0 || c.from != nil {
		return
	}
	c.from = make([]uint16, len(c.grid.Z))
	for i, z := range c.grid.Z {
		if z != z {
			c.from[i] = terrain.NoSource
		}
	}
}

// voidAround makes voids of the cells outside a window, which the first source has nothing for.
func (c *canvas) voidAround(w terrain.Window) {
	g := c.grid
	w = w.In(terrain.Window{Col1: g.Cols, Row1: g.Rows})
	for row := range g.Rows {
		line := g.Z[row*g.Stride:][:g.Cols]
		if w.Empty() || row < w.Row0 || row >= w.Row1 {
			void(line)
			continue
		}
		void(line[:w.Col0])
		void(line[w.Col1:])
	}
}

func void(heights []float32) {
	nan := float32(math.NaN())
	for i := range heights {
		heights[i] = nan
	}
}

// paint writes a row of heights, in metres above the grid's Z0, into the cells
// of row and those from col on that are void, and notes what it says of those
// beside them that are not. Rows of a source come from the north, of one width.
func (c *canvas) paint(row, col int, heights []float32, source func(i int) uint16) {
	g := c.grid
	at := row*g.Stride + col
	dst := g.Z[at : at+len(heights)]
	if c.from == nil {
		copy(dst, heights)
		return
	}
	n := len(heights)
	c.over, c.prev = slices.Grow(c.prev[:0], n)[:n], c.over
	c.mine, c.were = slices.Grow(c.were[:0], n)[:n], c.mine
	for i, h := range heights {
		if over := h - dst[i]; over == over && c.compares {
			z0 := float64(g.Z0)
			c.shared.of(int(c.from[at+i]), int(source(i))).add(float64(dst[i])+z0, float64(h)+z0)
		}
		c.over[i], c.mine[i] = h-dst[i], dst[i] != dst[i] && h == h
		if c.mine[i] {
			dst[i], c.from[at+i] = h, source(i)
		}
	}
	for i := 1; i < n; i++ {
		c.meet(at+i-1, c.over[i-1], at+i, c.mine[i])
		c.meet(at+i, c.over[i], at+i-1, c.mine[i-1])
	}
	if c.last == row-1 {
		for i := range n {
			c.meet(at+i, c.over[i], at+i-g.Stride, c.were[i])
			c.meet(at+i-g.Stride, c.prev[i], at+i, c.mine[i])
		}
	}
	c.last = row
}

// meet notes the step at a cell of an earlier source beside a later one's own.
func (c *canvas) meet(earlier int, step float32, later int, own bool) {
	if own && step == step {
		c.met[earlier] = meeting{c.from[later], step}
	}
}
