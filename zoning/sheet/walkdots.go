package sheet

import (
	"image"
	"math"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
)

// walkDots are dots on ground that is to be walked or sighted first.
type walkDots struct {
	v       *view
	zm      *zoning.ZoneMap
	grid    *terrain.Grid
	bands   []uint8   // of each dot of the picture, from 1; 0 where none is painted
	surePct []float64 // by machine; nil draws none
}

// A walk dot is walkDot picture dots wide, with paper round it, one in every walkEvery.
const (
	walkEvery = 9
	walkDot   = 3
)

// draw sets the dots whose middles lie in rows of a picture; each is cut at those rows'
// ends, so that rows may be drawn at a time.
func (d *walkDots) draw(img *image.Paletted, from, to int) {
	if d.surePct == nil || d.zm.Cells == nil || d.zm.Field == nil {
		return
	}
	ink, paper := uint8(img.Palette.Index(palette.Ink)), uint8(img.Palette.Index(palette.Paper))
	const reach = walkDot/2 + 1
	first := (max(from-reach, 0) + walkEvery - 1) / walkEvery * walkEvery
	for y := first; y < min(to+reach, d.v.h); y += walkEvery {
		for x := y / walkEvery % 2 * (walkEvery / 2); x < d.v.w; x += walkEvery {
			if !d.walk(x, y) {
				continue
			}
			for dy := -reach; dy <= reach; dy++ {
				for dx := -reach; dx <= reach; dx++ {
					px, py := x+dx, y+dy
					if px < 0 || px >= d.v.w || py < from || py >= to {
						continue
					}
					colour := ink
					if max(dx, -dx, dy, -dy) == reach {
						colour = paper
					}
					img.Pix[img.PixOffset(px, py)] = colour
				}
			}
		}
	}
}

// walk reports whether the ground at a dot of the picture is a machine's and not surely
// within its limit.
func (d *walkDots) walk(x, y int) bool {
	k := int(d.bands[y*d.v.w+x]) - 1
	if k < 0 || k >= len(d.surePct) {
		return false
	}
	c, r := d.v.cell(float64(x)+0.5, float64(y)+0.5)
	col, row := int(math.Floor(c))-d.grid.Col0, int(math.Floor(r))-d.grid.Row0
	if col < 0 || row < 0 || col >= d.grid.Cols || row >= d.grid.Rows {
		return true // nothing is known of it
	}
	i := row*d.grid.Cols + col
	return !d.zm.Cells.IsSure(i, k, math.Sqrt(float64(d.zm.Field.Squared[i])), d.surePct[k]/100)
}
