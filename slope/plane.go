package slope

import (
	"errors"
	"fmt"
	"math"

	"github.com/acreband/acreband/terrain"
)

// Footprint is the ground that a machine stands on, as a window of cells around
// the one it is centred on: 2·HalfCols+1 columns by 2·HalfRows+1 rows.
type Footprint struct{ HalfCols, HalfRows int }

// maxHalf bounds a footprint: 33 cells across.
const maxHalf = 16

// FootprintOf returns the smallest window that is at least nine tenths of metres
// wide and tall on cells of the given size: metre cells of a raster seldom
// measure one metre on the ground. ok is false where cells are so coarse that the
// window would not be one: a cell of half the footprint or more says nothing of
// what a machine feels, and slope is then taken at cell scale.
func FootprintOf(metres float64, cellM [2]float64) (f Footprint, ok bool) {
	if !(cellM[0] > 0) || !(cellM[1] > 0) || !(max(cellM[0], cellM[1]) < metres/2) {
		return Footprint{}, false
	}
	half := func(cell float64) int {
		return int(min(math.Ceil((0.9*metres/cell-1)/2), maxHalf))
	}
	return Footprint{half(cellM[0]), half(cellM[1])}, true
}

// Planes computes the slopes of rows r0 ≤ r < r1 of a grid at machine scale into
// dst, which holds those rows and has room for relief: the least-squares plane through the heights
// in the footprint (with 3 × 3 cells that of Evans, and of Sharpnack and Akin
// 1969), and beside it what the plane hides:
//
//   - RoughSquared, the mean square distance of the heights from the plane, m²;
//   - Step, the greatest difference of height between neighbouring cells of the
//     footprint, less the difference that the plane makes, metres. Where
//     roughness shows that it cannot pass stepCareM, that bound stands in its
//     place: a step is never understated.
//
// It reads HalfRows rows more on either side and writes no other row. Every
// sum is taken in one order, so strips may be computed in any order, or at once,
// to the same bits. Where cells of the footprint have no elevation or lie off the
// grid, the plane is fitted to those that remain and the rest is theirs; where
// those lie on one line, and where the cell itself has no elevation, all three
// are unknown (NaN). What [Rows] refuses, a field without relief, and a footprint that
// [FootprintOf] does not give are errors.
func Planes(g *terrain.Grid, f Footprint, stepCareM float64, r0, r1 int, dst *Field) error {
	if err := dst.holds(g, r0, r1); err != nil {
		return err
	}
	if f.HalfCols < 1 || f.HalfRows < 1 || f.HalfCols > maxHalf || f.HalfRows > maxHalf {
		return fmt.Errorf("a footprint of %d × %d cells; write 3 to %d each way", 2*f.HalfCols+1, 2*f.HalfRows+1, 2*maxHalf+1)
	}
	if len(dst.Step) != len(dst.Squared) {
		return errors.New("the field has no room for relief: see AddRelief")
	}
	if !(stepCareM >= 0) {
		return fmt.Errorf("steps of %g m to be told apart; write 0 m or more", stepCareM)
	}
	b := newBelt(g, f)
	care := float32(stepCareM)
	var pieces []terrain.RowMetric
	for r := r0; r < r1; r++ {
		at := (r - dst.Row0) * dst.Cols
		squared, rough, step := dst.Squared[at:][:g.Cols], dst.RoughSquared[at:][:g.Cols], dst.Step[at:][:g.Cols]
		first, last := g.Cols, g.Cols // the columns fitted here
		if r >= f.HalfRows && r < g.Rows-f.HalfRows && g.Cols > 2*f.HalfCols {
			first, last = f.HalfCols, g.Cols-f.HalfCols
			b.sum(r)
			pieces = g.Frame.RowMetrics(pieces[:0], g.Row0+r, g.Col0, g.Col0+g.Cols)
			for _, m := range pieces {
				b.fit(max(m.From-g.Col0, first), min(m.To-g.Col0, last), m, squared, rough, dst.aspectRow(r))
			}
		}
		for c := range first {
			squared[c] = nan
		}
		for c := last; c < g.Cols; c++ {
			squared[c] = nan
		}
		for c, z := range g.Z[r*g.Stride:][:g.Cols] {
			if s := z + squared[c]; s != s { // something in the footprint is missing
				p := planeOfRemaining(g, f, c, r)
				squared[c], rough[c], step[c] = p.squared, p.roughSquared, p.step
				if dst.Aspect != nil {
					dst.Aspect[at+c] = p.aspect
				}
				continue
			}
			step[c] = b.bound(rough[c])
			if step[c] > care {
				step[c] = planeOfRemaining(g, f, c, r).step
			}
		}
	}
	return nil
}

// belt holds, for each column of a row's footprints, what the column adds to
// them: its sums of height, of height times row, and of height squared.
type belt struct {
	g *terrain.Grid
	f Footprint

	z, jz, zz            []float64
	perCol, perRow, mean float64 // 1 over the sums of squares, and over the count
}

func newBelt(g *terrain.Grid, f Footprint) *belt {
	b := &belt{g: g, f: f, z: make([]float64, g.Cols), jz: make([]float64, g.Cols), zz: make([]float64, g.Cols)}
	squares := func(half int) float64 { return float64(half*(half+1)*(2*half+1)) / 3 }
	cols, rows := float64(2*f.HalfCols+1), float64(2*f.HalfRows+1)
	b.perCol, b.perRow, b.mean = 1/(rows*squares(f.HalfCols)), 1/(cols*squares(f.HalfRows)), 1/(rows*cols)
	return b
}

// bound is the greatest step that a mean square distance e² of n heights from
// their plane allows: two of them, d apart, take d²/2 of the sum n·e² at least.
func (b *belt) bound(roughSquared float32) float32 {
	return float32(math.Sqrt(2 * float64(roughSquared) / b.mean))
}

// sum gathers the columns of the footprints of row r: the three middle rows, then
// the pairs of rows outward.
func (b *belt) sum(r int) {
	row := func(j int) []float32 { return b.g.Z[(r+j)*b.g.Stride:][:b.g.Cols] }
	mid := row(0)
	z, jz, zz := b.z[:len(mid)], b.jz[:len(mid)], b.zz[:len(mid)]
	up, down := row(-1)[:len(mid)], row(1)[:len(mid)]
	for c := range mid {
		u, m, d := float64(up[c]), float64(mid[c]), float64(down[c])
		z[c], jz[c], zz[c] = u+m+d, d-u, u*u+m*m+d*d
	}
	for j := 2; j <= b.f.HalfRows; j++ {
		up, down, weight := row(-j)[:len(mid)], row(j)[:len(mid)], float64(j)
		for c := range mid {
			u, d := float64(up[c]), float64(down[c])
			z[c] += u + d
			jz[c] += weight * (d - u)
			zz[c] += u*u + d*d
		}
	}
}

// fit fits the planes of columns from ≤ c < to, all of one metric piece.
func (b *belt) fit(from, to int, piece terrain.RowMetric, squared, rough []float32, aspect []uint8) {
	size := blockCols(piece)
	for c := from; c < to; {
		block := (c + b.g.Col0 - piece.From) / size * size
		end := min(block+size, piece.To-piece.From)
		stop := min(end+piece.From-b.g.Col0, to)
		m := piece.Start.Plus(piece.PerCol, float64(block+end-1)/2)
		var turned []uint8
		if aspect != nil {
			turned = aspect[c:stop]
		}
		b.fitBlock(c, m, squared[c:stop], rough[c:stop], turned)
		c = stop
	}
}

// fitBlock fits the planes of as many columns as squared and rough hold, the
// first of them c, with one metric. Aspect may be nil.
func (b *belt) fitBlock(c int, m terrain.Metric, squared, rough []float32, aspect []uint8) {
	h := b.f.HalfCols
	width := len(squared) + 2*h
	bz, bj, bq := b.z[c-h:][:width], b.jz[c-h:][:width], b.zz[c-h:][:width]
	rough = rough[:len(squared)]
	for k := range squared {
		z, iz, jz, zz := bz[k+h], 0.0, bj[k+h], bq[k+h]
		for i := 1; i <= h; i++ {
			w, e := k+h-i, k+h+i
			z += bz[w] + bz[e]
			iz += float64(i) * (bz[e] - bz[w])
			jz += bj[w] + bj[e]
			zz += bq[w] + bq[e]
		}
		p, q := iz*b.perCol, jz*b.perRow
		squared[k] = float32(p*(m.A*p+2*m.B*q) + m.C*q*q)
		rough[k] = float32(max((zz-z*z*b.mean-p*iz-q*jz)*b.mean, 0))
		if aspect != nil {
			aspect[k] = aspectOf(p, q, m)
		}
	}
}

// fitted is what a plane says of the cell it is centred on.
type fitted struct {
	squared, roughSquared, step float32
	aspect                      uint8
}

// planeOfRemaining fits the plane to the cells of the footprint that have
// elevation and lie on the grid.
func planeOfRemaining(g *terrain.Grid, f Footprint, col, row int) fitted {
	centre := float64(g.Z[row*g.Stride+col])
	height := func(c, r int) (float64, bool) {
		if c < 0 || c >= g.Cols || r < 0 || r >= g.Rows {
			return 0, false
		}
		h := float64(g.Z[r*g.Stride+c])
		return h - centre, h == h
	}
	if centre != centre {
		return fitted{squared: nan, roughSquared: nan, step: nan}
	}
	var n, x, y, xx, xy, yy, z, xz, yz float64
	for j := -f.HalfRows; j <= f.HalfRows; j++ {
		for i := -f.HalfCols; i <= f.HalfCols; i++ {
			if h, ok := height(col+i, row+j); ok {
				u, v := float64(i), float64(j)
				n, x, y, z = n+1, x+u, y+v, z+h
				xx, xy, yy, xz, yz = xx+u*u, xy+u*v, yy+v*v, xz+u*h, yz+v*h
			}
		}
	}
	xx, xy, yy, xz, yz = n*xx-x*x, n*xy-x*y, n*yy-y*y, n*xz-x*z, n*yz-y*z
	det := xx*yy - xy*xy
	if det <= 0 {
		return fitted{squared: nan, roughSquared: nan, step: nan}
	}
	p, q := (xz*yy-yz*xy)/det, (yz*xx-xz*xy)/det
	base := (z - p*x - q*y) / n
	var left, most float64
	for j := -f.HalfRows; j <= f.HalfRows; j++ {
		for i := -f.HalfCols; i <= f.HalfCols; i++ {
			h, ok := height(col+i, row+j)
			if !ok {
				continue
			}
			e := h - base - p*float64(i) - q*float64(j)
			left += e * e
			if next, ok := height(col+i+1, row+j); ok && i < f.HalfCols {
				most = max(most, math.Abs(next-h-p))
			}
			if next, ok := height(col+i, row+j+1); ok && j < f.HalfRows {
				most = max(most, math.Abs(next-h-q))
			}
		}
	}
	m := g.Frame.MetricAt(float64(g.Col0+col)+0.5, float64(g.Row0+row)+0.5)
	return fitted{float32(p*(m.A*p+2*m.B*q) + m.C*q*q), float32(left / n), float32(most), aspectOf(p, q, m)}
}
