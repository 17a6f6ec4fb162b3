package sheet

import (
	"image"
	"image/color"

	"github.com/acreband/acreband/terrain"
)

// shades is how many steps of relief are told apart.
const shades = 64

// paints holds every colour the ground can have: by kind (one more than the
// band, 0 outside the lots), by brightness of the relief, by ink.
type paints struct {
	colours [][shades][inkSteps]color.RGBA
	void    []([inkSteps]color.RGBA) // where there is no relief
	tiles   []*tile
}

func paintsFor(machines int) *paints {
	var p paints
	p.add(outside, &tile{}, fadedRelief)
	for b := range machines + 2 {
		p.add(groundOf(b, machines), patternOf(b, machines).tile(), zoneRelief)
	}
	return &p
}

func (p *paints) add(g ground, t *tile, relief float64) {
	var lit [shades][inkSteps]color.RGBA
	for s := range shades {
		tint := g.tint
		if g.shaded {
			tint = shaded(tint, float64(s)/(shades-1), relief)
		}
		for i := range inkSteps {
			lit[s][i] = mix(tint, g.hatch, float64(i)/(inkSteps-1))
		}
	}
	var plain [inkSteps]color.RGBA
	for i := range inkSteps {
		plain[i] = mix(g.bare, g.hatch, float64(i)/(inkSteps-1))
	}
	p.colours, p.void, p.tiles = append(p.colours, lit), append(p.void, plain), append(p.tiles, t)
}

// paint draws relief and zones into an image, the view's corner at a point.
// Cell coordinates are found at the corners of blocks of pixels and
// interpolated between: finding them means inverting the frame.
func (p *paints) paint(img *image.RGBA, at image.Point, v *view, relief *terrain.Relief, bands []uint8) {
	const block = 16
	across, down := (v.w+block-1)/block+1, (v.h+block-1)/block+1
	cells := make([][2]float64, across*down)
	for j := range down {
		for i := range across {
			cells[j*across+i][0], cells[j*across+i][1] = v.cell(float64(i*block), float64(j*block))
		}
	}
	var lits [block]float32
	for y := range v.h {
		t := (float64(y%block) + 0.5) / block
		upper, lower := cells[y/block*across:][:across], cells[(y/block+1)*across:][:across]
		line := img.Pix[img.PixOffset(at.X, at.Y+y):][:4*v.w]
		kinds := bands[y*v.w:][:v.w]
		inkRow := y % tileSide * tileSide
		for i := range across - 1 {
			col, dc := between(upper[i][0], upper[i+1][0], lower[i][0], lower[i+1][0], t)
			row, dr := between(upper[i][1], upper[i+1][1], lower[i][1], lower[i+1][1], t)
			col, dc, row, dr = col+dc/block/2, dc/block, row+dr/block/2, dr/block
			lit := lits[:min(block, v.w-i*block)]
			relief.Along(lit, col, row, dc, dr)
			for j, l := range lit {
				x := i*block + j
				k := kinds[x]
				n := p.tiles[k][inkRow+x%tileSide]
				c := p.void[k][n]
				if l == l {
					c = p.colours[k][int(l*(shades-1)+0.5)][n]
				}
				px := line[4*x:][:4]
				px[0], px[1], px[2], px[3] = c.R, c.G, c.B, 0xFF
			}
		}
	}
}

// between interpolates down the sides of a block; it returns the value on its
// left side and the change across it.
func between(nw, ne, sw, se, t float64) (left, across float64) {
	left = nw + (sw-nw)*t
	return left, ne + (se-ne)*t - left
}
