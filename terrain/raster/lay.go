package raster

import (
	"context"
	"math"

	"github.com/acreband/acreband/terrain"
)

// layable reports whether [Raster.lay] can read the raster.
func (r *Raster) layable() bool { return r.cached != nil && !r.cached.wide && !r.flip }

// laid is a decoded block with its window of the raster, and the part of that which is wanted.
type laid struct {
	*block
	of, part terrain.Window
}

// row is the wanted values of a row.
func (l laid) row(y int) []float32 {
	return l.narrow[(y-l.of.Row0)*l.cols+l.part.Col0-l.of.Col0:][:l.part.Cols()]
}

// lay writes the heights of a window of the raster into a grid, each block in one go: what
// values, metres and painting do one after another. Cell (dc, dr) of the grid's raster is this
// one's first.
func (r *Raster) lay(ctx context.Context, g *terrain.Grid, w terrain.Window, dc, dr int) error {
	k := r.cached
	var blocks []laid // beside each other
	for row := w.Row0 / k.height; row*k.height < w.Row1; row++ {
		blocks = blocks[:0]
		for col := w.Col0 / k.width; col*k.width < w.Col1; col++ {
			of := terrain.NewWindow(col*k.width, row*k.height, (col+1)*k.width, (row+1)*k.height).In(r.Extent())
			b, err := k.block(ctx, r, col, row, of)
			if ended := ctx.Err(); ended != nil {
				return ended
			}
			if err != nil {
				return r.unread(of, err)
			}
			blocks = append(blocks, laid{b, of, w.In(of)})
		}
		if g.Z0 == noZ0 {
			g.Z0 = r.baseOf(blocks)
		}
		for _, b := range blocks {
			for y := b.part.Row0; y < b.part.Row1; y++ {
				stored := b.row(y)
				to := g.Z[(y+dr-g.Row0)*g.Stride+b.part.Col0+dc-g.Col0:]
				r.notGround += r.toHeights(to[:len(stored)], stored, float64(g.Z0))
			}
		}
	}
	return nil
}

// baseOf is [base] of the heights in blocks beside each other, row by row.
func (r *Raster) baseOf(blocks []laid) int {
	var values []float64
	for y := blocks[0].part.Row0; y < blocks[0].part.Row1; y++ {
		values = values[:0]
		for _, b := range blocks {
			for _, v := range b.row(y) {
				values = append(values, float64(v))
			}
		}
		r.toMetres(values)
		if z0 := base(values); z0 != noZ0 {
			return z0
		}
	}
	return noZ0
}

// toHeights is toMetres from a block into a grid, above its Z0.
func (r *Raster) toHeights(to, stored []float32, z0 float64) (notGround int) {
	scale, offset, unit := r.Source.Scale, r.Source.Offset, r.Source.UnitM
	nodata, given := r.voidValues()
	for i, s := range stored {
		v := float64(s)
		h := (v*scale + offset) * unit
		if !terrain.IsGround(h) || v == nodata || v == given {
			if v == v && v != nodata && v != given {
				notGround++
			}
			h = math.NaN()
		}
		to[i] = float32(h - z0)
	}
	return notGround
}
