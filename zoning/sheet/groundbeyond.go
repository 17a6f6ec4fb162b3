package sheet

import (
	"image"

	"github.com/acreband/acreband/terrain/relief"
)

// reliefOn is relief with the view of it: each grid has a frame of its own.
type reliefOn struct {
	v      *view
	relief *relief.Relief
}

// reliefsOf are the reliefs of grids for a view.
func reliefsOf(all []*Painter, at View) ([]reliefOn, error) {
	var out []reliefOn
	for _, p := range all {
		if err := p.check(); err != nil {
			return nil, err
		}
		v := at.on(p.grid.Frame)
		lit, err := p.relief(v)
		if err != nil {
			return nil, err
		}
		out = append(out, reliefOn{v, lit})
	}
	return out, nil
}

// paintBeyond paints relief of other grids, the first on top, on dots outside the lots where
// a view's own relief has no heights.
func (p *paints) paintBeyond(img *image.Paletted, v *view, from, to int, own *relief.Relief, bands []uint8, beyond []reliefOn) {
	if len(beyond) == 0 {
		return
	}
	bare := make([]bool, (to-from)*v.w)
	v.eachLit(from, to, own, func(x, y int, lit []float32) {
		for i, l := range lit {
			bare[(y-from)*v.w+x+i] = l != l && bands[y*v.w+x+i] == 0
		}
	})
	colours := &p.kinds[0].colours
	for k := len(beyond) - 1; k >= 0; k-- {
		beyond[k].v.eachLit(from, to, beyond[k].relief, func(x, y int, lit []float32) {
			line := img.Pix[img.PixOffset(x, y):]
			for i, l := range lit {
				if l == l && bare[(y-from)*v.w+x+i] {
					line[i] = colours[shadeAt(l)*inkSteps]
				}
			}
		})
	}
}
