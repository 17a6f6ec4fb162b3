package slope

import (
	"slices"

	"github.com/acreband/acreband/terrain"
)

// alongRow is what five heights of a row add to the residual of the 5 × 5 heights that they
// are a row of: sums by the shapes of a quadratic, see [bent]. Each serves five windows.
type alongRow struct{ whole, fall, bend, squares float64 }

// residualsOfAll appends residualAt of every place of a grid that has one, row by row. Of
// heights well above the sea the sums are exact in any order, so they have the same bits;
// beside its level, where floats are finer, they are some 1e-13 m² off.
func residualsOfAll(to []float64, g *terrain.Grid, dc, dr int, room *residualRoom) []float64 {
	from, end := 2*dc, g.Cols-2*dc // columns with two heights on either side
	base := baseOf(g)
	room.heights = slices.Grow(room.heights[:0], g.Cols)
	room.rows = slices.Grow(room.rows[:0], (4*dr+1)*(end-from))
	heights, rows := room.heights[:g.Cols], room.rows[:(4*dr+1)*(end-from)] // the latest, in turn
	latest := func(r int) []alongRow { return rows[r%(4*dr+1)*(end-from):][:end-from] }
	for r := range g.Rows {
		for c, z := range g.Line(r) {
			heights[c] = float64(z) - base
		}
		row := latest(r)
		n := len(row)
		a, b, c, d, e := heights[:n], heights[dc:][:n], heights[2*dc:][:n], heights[3*dc:][:n], heights[4*dc:][:n]
		for i := range row {
			a, b, c, d, e := a[i], b[i], c[i], d[i], e[i]
			row[i] = alongRow{a + b + c + d + e, 2*(e-a) + (d - b), 2*(a+e) - (b + d) - 2*c, a*a + b*b + c*c + d*d + e*e}
		}
		if r < 4*dr {
			continue
		}
		mid := g.Line(r - 2*dr)[from:end]
		first, second, third, fourth, fifth := latest(r - 4*dr)[:len(mid)], latest(r - 3*dr)[:len(mid)], latest(r - 2*dr)[:len(mid)], latest(r - dr)[:len(mid)], row[:len(mid)]
		for i, z := range mid {
			a, b, c, d, e := &first[i], &second[i], &third[i], &fourth[i], &fifth[i]
			above := float64(z) - base
			outer, inner := a.whole+e.whole, b.whole+d.whole
			whole := outer + inner + c.whole
			squares := a.squares + b.squares + c.squares + d.squares + e.squares
			// Of heights above the middle one, so that what is left is no small part of them.
			squares += above * (25*above - 2*whole)
			whole -= 25 * above
			x, xx := a.fall+b.fall+c.fall+d.fall+e.fall, a.bend+b.bend+c.bend+d.bend+e.bend
			y, xy := 2*(e.whole-a.whole)+(d.whole-b.whole), 2*(e.fall-a.fall)+(d.fall-b.fall)
			yy := 2*outer - inner - 2*c.whole
			if left := squares - whole*whole/25 - (x*x+y*y)/50 - (xx*xx+yy*yy)/70 - xy*xy/100; left == left {
				to = append(to, left)
			}
		}
	}
	return to
}

// baseOf is a height amid those of a grid: what lies near it has squares that are exact. It
// is NaN where no height is known.
func baseOf(g *terrain.Grid) float64 {
	known := func(z float32) bool { return z == z }
	for i := range g.Rows { // from the middle on
		line := g.Line((g.Rows/2 + i) % g.Rows)
		if z := line[g.Cols/2]; known(z) {
			return float64(z)
		}
		if c := slices.IndexFunc(line, known); c >= 0 {
			return float64(line[c])
		}
	}
	return float64(nan)
}
