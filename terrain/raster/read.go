package raster

import (
	"context"
	"fmt"
	"math"

	"github.com/airbusgeo/godal"

	"github.com/acreband/acreband/terrain"
)

// Extent is the raster's own window.
func (r *Raster) Extent() terrain.Window {
	return terrain.NewWindow(0, 0, r.Source.Cols, r.Source.Rows)
}

// readRows is how many rows are read at a time, as float64; fewer where they are
// so long that they would pass readCells, 16 MB.
const (
	readRows  = 256
	readCells = 1 << 21

	// From decoded blocks so few that they stay in a processor's own cache.
	cachedCells = 1 << 15
)

// fill reads the heights of a window of the raster onto a canvas. Rows (dc, dr)
// of the raster are cell (0, 0) of the canvas's own raster.
func (r *Raster) fill(ctx context.Context, c *canvas, dc, dr int, source uint16) error {
	g := c.grid
	want := terrain.NewWindow(g.Col0, g.Row0, g.Col0+g.Cols, g.Row0+g.Rows).Moved(-dc, -dr).In(r.Extent())
	if c.from == nil {
		c.voidAround(want.Moved(dc-g.Col0, dr-g.Row0))
	}
	if want.Empty() {
		return nil
	}
	if c.from == nil && r.layable() {
		return r.lay(ctx, g, want, dc, dr)
	}
	cols := want.Cols()
	heights := make([]float32, cols)
	most := min(readRows, max(1, readCells/cols))
	if r.cached != nil {
		most = max(1, cachedCells/cols)
	}
	for row := want.Row0; row < want.Row1; row += most {
		rows := min(most, want.Row1-row)
		values, err := r.values(ctx, want.Col0, row, cols, rows)
		if ended := ctx.Err(); ended != nil {
			return ended
		}
		if err != nil {
			return r.unread(terrain.NewWindow(want.Col0, row, want.Col1, row+rows), err)
		}
		r.notGround += r.toMetres(values)
		if g.Z0 == noZ0 {
			g.Z0 = base(values)
		}
		z0 := float64(g.Z0)
		for i := range rows {
			for k, h := range values[i*cols : (i+1)*cols] {
				heights[k] = float32(h - z0)
			}
			c.paint(row+i+dr-g.Row0, want.Col0+dc-g.Col0, heights, func(int) uint16 { return source })
		}
	}
	return nil
}

// unread says that a window could not be read.
func (r *Raster) unread(w terrain.Window, err error) error {
	return fmt.Errorf("%s: reading %d × %d cells at column %d, row %d: %w; the file may be cut short: fetch it again", r.Source.Path, w.Cols(), w.Rows(), w.Col0, w.Row0, err)
}

// values reads stored values as float64, which holds every type exactly but
// 64-bit integers; voids by the raster's mask become NaN.
func (r *Raster) values(ctx context.Context, col, row, cols, rows int) ([]float64, error) {
	stored := row
	if r.flip {
		stored = r.Source.Rows - row - rows
	}
	v, err := r.stored(ctx, terrain.NewWindow(col, stored, col+cols, stored+rows), cols, rows)
	if err != nil {
		return nil, err
	}
	if r.flip {
		for i, j := 0, rows-1; i < j; i, j = i+1, j-1 {
			for c := range cols {
				v[i*cols+c], v[j*cols+c] = v[j*cols+c], v[i*cols+c]
			}
		}
	}
	return v, nil
}

// stored reads a window in the file's own order of rows, sampled to cols × rows
// where that is fewer. What it returns lasts until the next reading.
func (r *Raster) stored(ctx context.Context, w terrain.Window, cols, rows int) ([]float64, error) {
	if len(r.scratch) < cols*rows {
		r.scratch = make([]float64, cols*rows)
	}
	v := r.scratch[:cols*rows]
	if r.cached != nil && cols == w.Cols() && rows == w.Rows() {
		return v, r.cached.window(ctx, r, w, v)
	}
	if err := r.readInto(ctx, r.band, w, v, cols, rows); err != nil {
		return nil, err
	}
	if r.mask != nil {
		mask := make([]byte, cols*rows)
		if err := r.readInto(ctx, *r.mask, w, mask, cols, rows); err != nil {
			return nil, err
		}
		for i, m := range mask {
			if m == 0 {
				v[i] = math.NaN()
			}
		}
	}
	return v, nil
}

// readInto reads a window of a band into a buffer of cols × rows. Once the context is
// done nobody may look at the buffer any more.
func (r *Raster) readInto(ctx context.Context, band godal.Band, w terrain.Window, buffer any, cols, rows int) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	of := godal.Window(w.Cols(), w.Rows())
	if !isRemote(r.Source.Path) {
		options := []godal.BandIOOption{of, godal.ErrLogger(quiet)}
		if !r.options.AllowRemote && !onNetwork.MatchString(r.Source.Path) {
			options = append(options, godal.ConfigOption(noCurl))
		}
		return band.Read(w.Col0, w.Row0, buffer, cols, rows, options...)
	}
	return r.asked.wait(ctx, func() error {
		return readRemote(r.Source.Path, func() error {
			return band.Read(w.Col0, w.Row0, buffer, cols, rows, of, godal.ErrLogger(quiet), alone())
		})
	})
}

// maskOf finds what marks voids beside the values themselves: a mask or an
// alpha band, 0 where there is no elevation. GDAL sees no mask in an alpha band
// of floats, which warping float heights leaves.
func maskOf(bands []godal.Band) *godal.Band {
	const allValid, byNodata = 0x01, 0x08 // GMF_ALL_VALID, GMF_NODATA
	if flags := bands[0].MaskFlags(); flags&allValid == 0 && flags != byNodata {
		mask := bands[0].MaskBand()
		return &mask
	}
	for _, b := range bands[1:] {
		if b.ColorInterp() == godal.CIAlpha {
			return &b
		}
	}
	return nil
}

// toMetres turns stored values into heights in metres, voids into NaN, and
// counts the values it took for voids although nothing declares them so. Nodata
// is compared as it is stored, before scale, offset and unit.
func (r *Raster) toMetres(values []float64) (notGround int) {
	s := &r.Source
	nodata, given := r.voidValues()
	for i, v := range values {
		h := (v*s.Scale + s.Offset) * s.UnitM
		switch {
		case v == nodata || v == given || v != v:
			h = math.NaN()
		case !terrain.IsGround(h):
			h = math.NaN()
			notGround++
		}
		values[i] = h
	}
	return notGround
}

// voidValues are the stored values that stand for voids, NaN where there are none.
func (r *Raster) voidValues() (nodata, given float64) {
	if len(r.nodata) == 0 {
		return math.NaN(), math.NaN()
	}
	return r.nodata[0], r.nodata[len(r.nodata)-1]
}

// base is the whole metre under the first height, [noZ0] where there is none.
func base(heights []float64) int {
	for _, h := range heights {
		if h == h {
			return int(math.Floor(h))
		}
	}
	return noZ0
}

// noZ0 marks a grid in which no height was found yet.
const noZ0 = math.MinInt

// newGrid is a grid over a window, whose heights are yet to be written, in spare memory where
// that is enough.
func newGrid(w terrain.Window, f *terrain.Frame, spare []float32) *terrain.Grid {
	n := w.Cols() * w.Rows()
	if cap(spare) < n {
		spare = make([]float32, n)
	}
	return &terrain.Grid{
		Z: spare[:n], Z0: noZ0,
		Cols: w.Cols(), Rows: w.Rows(), Stride: w.Cols(),
		Col0: w.Col0, Row0: w.Row0, Frame: f,
	}
}
