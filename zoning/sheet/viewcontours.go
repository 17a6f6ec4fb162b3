package sheet

import (
	"cmp"
	"math"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/relief"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// ViewContours are contours as they lie in a view.
type ViewContours struct {
	Interval relief.ContourInterval // of the ground's whole height; a Step of 0 where it has none
	Lines    []ViewContour
}

// ViewContour is a piece of a contour: meters east and north of the plane's spot.
type ViewContour struct {
	Label string // with its unit
	Index bool   // every fifth
	Line  [][2]float64
}

// Contours are those of the painter's ground in a view of a map, as the sheet draws them: as
// far apart as its heights bear out, and from means of cells where those are finer than dots.
func (p *Painter) Contours(zm *zoning.ZoneMap, at View) (ViewContours, error) {
	var out ViewContours
	if err := cmp.Or(p.check(), zm.Check(), at.check()); err != nil {
		return out, err
	}
	low, high := p.grid.HeightsM()
	if !(low < high) {
		return out, nil
	}
	interval, err := relief.ChooseContourInterval(low, high, heightErrorM(zm), mostContours, zm.Units.ShortLength())
	if err != nil {
		return out, err
	}
	out.Interval = interval
	v := at.on(p.grid.Frame)
	every := max(int(math.Ceil(contourDots*v.cellsPerPixel())), 1)
	part, ok := p.part(v, every)
	if !ok {
		return out, nil
	}
	grid, side := averaged(part, every)
	low, high = grid.HeightsM()
	if !(low < high) {
		return out, nil
	}
	levels, err := interval.Levels(low, high)
	if err != nil {
		return out, err
	}
	heights := make([]float64, len(levels))
	for i, l := range levels {
		heights[i] = l.HeightM
	}
	lines, err := relief.Contours(grid, heights)
	if err != nil {
		return out, err
	}
	box := drawing.Box{Right: float64(v.w), Bottom: float64(v.h)}
	for _, c := range lines {
		for _, piece := range drawing.ClipLine(v.dots(part, c.Line, side), box) {
			line := make([][2]float64, len(piece))
			for i, d := range piece {
				line[i] = [2]float64{at.XM + (d.X-float64(v.w)/2)*v.metres, at.YM - (d.Y-float64(v.h)/2)*v.metres}
			}
			out.Lines = append(out.Lines, ViewContour{levels[c.Level].Label, levels[c.Level].Index, line})
		}
	}
	return out, nil
}

// contourDots is how wide the cells of contours are at least, in dots of the view.
const contourDots = 2

// part is the grid's cells in a view, whole blocks of every × every from its corner; false
// where there are too few for a line.
func (p *Painter) part(v *view, every int) (*terrain.Grid, bool) {
	g := p.grid
	c0, r0, c1, r1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for i := range 9 { // corners and middles of sides
		c, r := v.cell(float64(v.w*(i%3))/2, float64(v.h*(i/3))/2)
		c0, r0, c1, r1 = min(c0, c), min(r0, r), max(c1, c), max(r1, r)
	}
	block := func(cell float64, first, more, most int) int {
		b := (math.Floor((cell-float64(first))/float64(every)) + float64(more)) * float64(every)
		return int(min(max(b, 0), float64(most)))
	}
	left, right := block(c0, g.Col0, -1, g.Cols), block(c1, g.Col0, 2, g.Cols)
	top, bottom := block(r0, g.Row0, -1, g.Rows), block(r1, g.Row0, 2, g.Rows)
	if right-left < 2 || bottom-top < 2 {
		return nil, false
	}
	return &terrain.Grid{
		Z: g.Z[top*g.Stride+left:], Z0: g.Z0, Cols: right - left, Rows: bottom - top, Stride: g.Stride,
		Col0: g.Col0 + left, Row0: g.Row0 + top, Frame: g.Frame,
	}, true
}

// dots brings a line in cells of an averaged grid into a view, without points nearer together
// than a dot.
func (v *view) dots(g *terrain.Grid, line [][2]float64, side float64) []drawing.Point {
	var out []drawing.Point
	for i, c := range line {
		lon, lat := g.Frame.LonLat(float64(g.Col0)+c[0]*side, float64(g.Row0)+c[1]*side)
		x, y := v.pixel([2]float64{lon, lat})
		if n := len(out); n == 0 || i == len(line)-1 || math.Hypot(x-out[n-1].X, y-out[n-1].Y) >= 1 {
			out = append(out, drawing.Point{X: x, Y: y})
		}
	}
	return out
}
