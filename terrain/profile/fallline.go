package profile

import (
	"math"

	"github.com/acreband/acreband/terrain"
)

// FallLine returns the ends of a line straight down the fall of the ground through a place,
// the upper one first, half of its length on either side. The fall is that of the
// least-squares plane through the heights within radiusM, or through the nine cells around
// where that holds fewer. It reports false where those heights are level, or too few to tell.
func FallLine(g *terrain.Grid, at [2]float64, lengthM, radiusM float64) (upper, lower [2]float64, ok bool) {
	if g.Check() != nil || !(lengthM > 0) {
		return upper, lower, false
	}
	col, row := g.Frame.Cell(at[0], at[1])
	if cellAt(g, col, row) < 0 {
		return upper, lower, false
	}
	m := g.Frame.MetricAt(col, row)
	p, q, ok := planeAround(g, m, col, row, radiusM)
	if !ok {
		return upper, lower, false
	}
	dc, dr := m.A*p+m.B*q, m.B*p+m.C*q // straight up, in cells
	half := lengthM / 2 / m.LengthM(dc, dr)
	if math.IsInf(half, 0) || math.IsNaN(half) {
		return upper, lower, false
	}
	upper[0], upper[1] = g.Frame.LonLat(col+half*dc, row+half*dr)
	lower[0], lower[1] = g.Frame.LonLat(col-half*dc, row-half*dr)
	return upper, lower, true
}

// planeAround is the rise of the least-squares plane through the heights around cell
// coordinates, along a row and down a column, in meters a cell.
func planeAround(g *terrain.Grid, m terrain.Metric, col, row, radiusM float64) (p, q float64, ok bool) {
	w, h := m.CellM()
	wide, tall := max(int(math.Ceil(radiusM/w)), 1), max(int(math.Ceil(radiusM/h)), 1)
	c0, r0 := int(math.Floor(col)), int(math.Floor(row))
	var n, x, y, z, xx, xy, yy, xz, yz float64
	for r := max(r0-tall, g.Row0); r <= min(r0+tall, g.Row0+g.Rows-1); r++ {
		for c := max(c0-wide, g.Col0); c <= min(c0+wide, g.Col0+g.Cols-1); c++ {
			dx, dy := float64(c-c0), float64(r-r0)
			height := g.At(c-g.Col0, r-g.Row0) - float64(g.Z0)
			if math.IsNaN(height) || max(math.Abs(dx), math.Abs(dy)) > 1 && m.LengthM(dx, dy) > radiusM {
				continue
			}
			n, x, y, z = n+1, x+dx, y+dy, z+height
			xx, xy, yy, xz, yz = xx+dx*dx, xy+dx*dy, yy+dy*dy, xz+dx*height, yz+dy*height
		}
	}
	if n < 3 {
		return 0, 0, false
	}
	xx, xy, yy, xz, yz = xx-x*x/n, xy-x*y/n, yy-y*y/n, xz-x*z/n, yz-y*z/n
	det := xx*yy - xy*xy
	if det < 1e-9*xx*yy || det == 0 { // all on one line
		return 0, 0, false
	}
	p, q = (xz*yy-yz*xy)/det, (yz*xx-xz*xy)/det
	const level = 1e-6 // of slope squared: a tenth of a percent
	return p, q, m.A*p*p+2*m.B*p*q+m.C*q*q > level
}
