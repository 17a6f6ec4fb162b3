package raster

import (
	"context"
	"math"
	"slices"

	"github.com/acreband/acreband/terrain"
)

// mapEvery is how many cells apart the place of a cell on a coarser grid is
// found; between, along a row, it is interpolated. Over 16 cells of 30 m a
// parallel bends by 4 mm.
const mapEvery = 16

// lacks reports whether the rectangle around the place, without the halo, has
// voids.
func (j *join) lacks() bool {
	g, w := j.canvas.grid, j.window.Grown(-j.halo)
	if p := (terrain.NewWindow(g.Col0, g.Row0, g.Col0+g.Cols, g.Row0+g.Rows)); w.In(p) != w {
		return true
	}
	for r := w.Row0; r < w.Row1; r++ {
		at := (r-g.Row0)*g.Stride + w.Col0 - g.Col0
		if slices.ContainsFunc(g.Z[at:at+w.Cols()], func(z float32) bool { return z != z }) {
			return true
		}
	}
	return false
}

// fillFrom fills what is void from a layer of coarser rasters.
func (j *join) fillFrom(ctx context.Context, l *layer) error {
	c := j.canvas
	g := c.grid
	if !j.lacks() {
		return nil
	}
	voids := voidRows(g)
	rows := terrain.Window{Col1: g.Cols, Row0: g.Rows}
	for r, void := range voids {
		if void {
			rows.Row0, rows.Row1 = min(rows.Row0, max(0, r-1)), min(g.Rows, r+2)
		}
	}
	if rows.Empty() {
		return nil
	}
	coarse, err := j.coarseOver(ctx, l, rows)
	if err != nil || coarse == nil {
		return err
	}
	first := len(j.sources) - len(l.members)
	c.begin(first)
	heights := make([]float32, g.Cols)
	nearest := make([]int, g.Cols)
	source := func(i int) uint16 {
		if coarse.canvas.from == nil {
			return uint16(first)
		}
		return uint16(first) + coarse.canvas.from[nearest[i]]
	}
	for r := rows.Row0; r < rows.Row1; r++ {
		if voids[r] || r > 0 && voids[r-1] || r+1 < g.Rows && voids[r+1] {
			interpolate(coarse.canvas.grid, g, r, heights, nearest)
			c.paint(r, 0, heights, source)
			j.carryMarks(coarse, r, nearest)
		}
	}
	return nil
}

// carryMarks marks the cells just painted whose nearest coarse cell lies across
// a step between two coarse sources: interpolation makes a ramp of it.
func (j *join) carryMarks(coarse *join, row int, nearest []int) {
	if coarse.stepped == nil {
		return
	}
	if j.stepped == nil {
		j.stepped = make([]bool, len(j.canvas.grid.Z))
	}
	for i, own := range j.canvas.mine {
		if own && coarse.stepped[nearest[i]] {
			j.stepped[row*j.canvas.grid.Stride+i] = true
		}
	}
}

// voidRows tells which rows of a grid hold voids.
func voidRows(g *terrain.Grid) []bool {
	out := make([]bool, g.Rows)
	for r := range out {
		out[r] = slices.ContainsFunc(g.Z[r*g.Stride:r*g.Stride+g.Cols], func(z float32) bool { return z != z })
	}
	return out
}

// coarseOver reads a layer around some rows of the canvas; nil where it does
// not reach there.
func (j *join) coarseOver(ctx context.Context, l *layer, rows terrain.Window) (*join, error) {
	g := j.canvas.grid
	const pieces = 32
	var rim [][2]float64
	add := func(col, row float64) {
		lon, lat := g.Frame.LonLat(float64(g.Col0)+col, float64(g.Row0)+row)
		rim = append(rim, [2]float64{lon, lat})
	}
	w, h := float64(rows.Cols()), float64(rows.Rows())
	for i := range pieces + 1 {
		t := float64(i) / pieces
		add(t*w, float64(rows.Row0))
		add(t*w, float64(rows.Row1))
		add(0, float64(rows.Row0)+t*h)
		add(w, float64(rows.Row0)+t*h)
	}
	around, err := l.members[0].raster.around(rim, halo)
	if err != nil {
		return nil, err
	}
	cover := l.cover(around)
	if cover.Empty() {
		return nil, nil
	}
	frame, err := frameOver(l.members[0].raster, around)
	if err != nil {
		return nil, err
	}
	coarse := &join{canvas: newCanvas(cover, frame, nil), window: around}
	if err := coarse.read(ctx, l); err != nil {
		return nil, err
	}
	if coarse.canvas.grid.Z0 == noZ0 {
		return nil, nil
	}
	first := len(j.sources)
	if coarse.canvas.from != nil {
		var seams []terrain.Seam
		seams, coarse.stepped = coarse.weighSeams()
		for _, s := range seams {
			s.A, s.B = s.A+first, s.B+first
			j.seams = append(j.seams, s)
		}
	}
	j.warnings = append(j.warnings, coarse.warnings...)
	j.sources = append(j.sources, coarse.sources...)
	for range coarse.sources {
		j.layerOf = append(j.layerOf, j.layers)
	}
	j.layers++
	return coarse, nil
}

// interpolate finds the heights of a coarser grid at the middles of a row of
// cells, in metres above the finer grid's Z0, and the coarse cell nearest to
// each. Any void among the four around a middle makes a void.
func interpolate(coarse, g *terrain.Grid, row int, heights []float32, nearest []int) {
	place := func(col int) (x, y float64) {
		lon, lat := g.Frame.LonLat(float64(g.Col0+col)+0.5, float64(g.Row0+row)+0.5)
		x, y = coarse.Frame.Cell(lon, lat)
		return x - float64(coarse.Col0) - 0.5, y - float64(coarse.Row0) - 0.5
	}
	rise := float64(coarse.Z0 - g.Z0)
	nan := float32(math.NaN())
	x0, y0 := place(0)
	for from := 0; from < len(heights); from += mapEvery {
		x1, y1 := place(from + mapEvery)
		for i := from; i < min(from+mapEvery, len(heights)); i++ {
			t := float64(i-from) / mapEvery
			x, y := x0+t*(x1-x0), y0+t*(y1-y0)
			heights[i], nearest[i] = nan, 0
			if x >= 0 && y >= 0 && x <= float64(coarse.Cols-1) && y <= float64(coarse.Rows-1) {
				c, r := min(int(x), coarse.Cols-2), min(int(y), coarse.Rows-2)
				if c < 0 || r < 0 {
					continue
				}
				u, v := x-float64(c), y-float64(r)
				z := coarse.Z[r*coarse.Stride+c:]
				s := coarse.Z[(r+1)*coarse.Stride+c:]
				h := (float64(z[0])*(1-u)+float64(z[1])*u)*(1-v) + (float64(s[0])*(1-u)+float64(s[1])*u)*v
				heights[i] = float32(h + rise)
				nearest[i] = int(math.Round(y))*coarse.Stride + int(math.Round(x))
			}
		}
		x0, y0 = x1, y1
	}
}
