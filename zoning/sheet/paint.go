package sheet

import (
	"image"

	"github.com/acreband/acreband/terrain/relief"
)

// block is the side of the blocks of pixels that ground is painted in; it
// divides tileSide.
const block = 16

// paint draws relief and zones into the rows from ≤ y < to of a view, from being
// a multiple of block; at is where the view's corner lies.
func (p *paints) paint(img *image.Paletted, at image.Point, v *view, from, to int, relief *relief.Relief, bands []uint8) {
	v.eachLit(from, to, relief, func(x, y int, lit []float32) {
		line := img.Pix[img.PixOffset(at.X+x, at.Y+y):]
		p.run(line, bands[y*v.w+x:], lit, y%tileSide*tileSide+x%tileSide)
	})
}

// eachLit visits the rows from ≤ y < to of a view with the brightness of their
// pixels, a block's at a time, from being a multiple of block. Cell coordinates are
// found at the corners of blocks and interpolated between: finding them means
// inverting the frame.
func (v *view) eachLit(from, to int, relief *relief.Relief, visit func(x, y int, lit []float32)) {
	across := (v.w + block - 1) / block
	var upper [][2]float64
	lower := v.cellsAlong(from, across)
	var lits [block]float32
	for y := from; y < to; y++ {
		if y%block == 0 {
			upper, lower = lower, v.cellsAlong(y+block, across)
		}
		t := (float64(y%block) + 0.5) / block
		for i := range across {
			col, dc := between(upper[i][0], upper[i+1][0], lower[i][0], lower[i+1][0], t)
			row, dr := between(upper[i][1], upper[i+1][1], lower[i][1], lower[i+1][1], t)
			col, dc, row, dr = col+dc/block/2, dc/block, row+dr/block/2, dr/block
			lit := lits[:min(block, v.w-i*block)]
			relief.Along(lit, col, row, dc, dr)
			visit(i*block, y, lit)
		}
	}
}

// run paints pixels in a row by their kind and brightness; inks is where they
// begin in a hatch tile.
func (p *paints) run(line, kinds []uint8, lit []float32, inks int) {
	line, kinds = line[:len(lit)], kinds[:len(lit)]
	for j, l := range lit {
		k := &p.kinds[kinds[j]]
		s := shades // no relief
		if l == l {
			s = shadeAt(l)
		}
		line[j] = k.colours[s*inkSteps+int(k.tile[inks+j])]
	}
}

// cellsAlong are the cell coordinates of the corners of blocks whose upper side
// lies at a row of pixels.
func (v *view) cellsAlong(y, blocks int) [][2]float64 {
	cells := make([][2]float64, blocks+1)
	for i := range cells {
		cells[i][0], cells[i][1] = v.cell(float64(i*block), float64(y))
	}
	return cells
}

// between interpolates down the sides of a block; it returns the value on its
// left side and the change across it.
func between(nw, ne, sw, se, t float64) (left, across float64) {
	left = nw + (sw-nw)*t
	return left, ne + (se-ne)*t - left
}
