package relief

import (
	"math"

	"github.com/acreband/acreband/terrain"
)

// Relief is how brightly each block of a grid's cells is lit, for drawing
// ground: nothing is decided from it.
//
// It is Lambert shading (Horn 1981, Hill shading and the reflectance map, Proc.
// IEEE 69:14): brightness is the cosine of the angle between the light and the
// upright of the ground. The gradient is Horn's, on the ground metric of the
// grid's frame; the light stands in the true north-west whatever way the rows
// run. With k the exaggeration of heights, t the rise towards the light and s
// the slope, both rise over ground run, and a the light's altitude,
//
//	brightness = (sin a - k·t·cos a) / √(1 + k²·s²), not below 0
type Relief struct {
	Cols, Rows int

	// Lit is the brightness, 0 to 1, of each block, row-major from the
	// north-west; NaN where no cell of it has elevation.
	Lit []float32

	// Exaggeration is what heights were multiplied by: gentle ground would
	// look flat and cliffs black. It brings the mean slope to 40%, and lies
	// between ½ and 8 so that noise on flat ground is not drawn as hills.
	Exaggeration float64

	every      float64 // cells along the side of a block
	col0, row0 float64 // the grid's first cell in the raster
}

// Direction of the light: azimuth from true north, altitude above the horizon.
const (
	lightAzimuth  = 315 * math.Pi / 180
	lightAltitude = 45 * math.Pi / 180
)

// Bounds of the exaggeration, and the mean slope it aims at.
const (
	reliefSlope     = 0.40
	minExaggeration = 0.5
	maxExaggeration = 8
)

// FlatLit is the brightness of level ground.
var FlatLit = math.Sin(lightAltitude)

// Shade lights a grid. Heights are first averaged over blocks of every × every
// cells (1: each cell by itself), for pictures whose pixels are larger than a
// cell. Neighbours without elevation, and those off the grid, are taken to
// carry the ground on straight. A grid that cannot be used is an error.
func Shade(g *terrain.Grid, every int) (*Relief, error) {
	if err := g.Check(); err != nil {
		return nil, err
	}
	b := blocksOf(g, min(max(every, 1), max(g.Cols, g.Rows)))
	r := &Relief{
		Cols: b.cols, Rows: b.rows, Lit: make([]float32, b.cols*b.rows),
		every: float64(b.every), col0: float64(g.Col0), row0: float64(g.Row0),
	}
	squared := make([]float32, len(r.Lit)) // slope²; Lit holds the rise towards the light
	const tile = 64
	for row := 0; row < b.rows; row += tile {
		for col := 0; col < b.cols; col += tile {
			c1, r1 := min(col+tile, b.cols), min(row+tile, b.rows)
			m, u, v := b.light(g, float64(col+c1)/2, float64(row+r1)/2)
			for rr := row; rr < r1; rr++ {
				line := rr * b.cols
				b.rises(rr, col, c1, m, u, v, r.Lit[line:line+b.cols], squared[line:line+b.cols])
			}
		}
	}
	r.Exaggeration = exaggeration(squared)
	sin, cos := math.Sincos(lightAltitude)
	up, toward, steep := float32(sin), float32(r.Exaggeration*cos), float32(r.Exaggeration*r.Exaggeration)
	for i, s := range squared {
		long := float32(math.Sqrt(float64(1 + steep*s)))
		r.Lit[i] = max((up-toward*r.Lit[i])/long, 0) // NaN stays
	}
	return r, nil
}

func exaggeration(squared []float32) float64 {
	var sum float64
	n := 0
	const enough = 7 // every seventh block tells the mean well
	for i := 0; i < len(squared); i += enough {
		if s := float64(squared[i]); s == s {
			sum += math.Sqrt(s)
			n++
		}
	}
	if !(sum > 0) || math.IsInf(sum, 0) {
		return 1
	}
	return min(max(reliefSlope*float64(n)/sum, minExaggeration), maxExaggeration)
}

// At returns the brightness at cell coordinates of the raster, NaN where the
// block there has no elevation and off the grid. Between the middles of blocks
// it is interpolated.
func (r *Relief) At(col, row float64) float64 {
	x, y := (col-r.col0)/r.every, (row-r.row0)/r.every
	if !(x >= 0 && y >= 0 && x < float64(r.Cols) && y < float64(r.Rows)) {
		return math.NaN()
	}
	c, w := int(x), r.Cols
	row0 := int(y)
	here := r.Lit[row0*w+c]
	if here != here {
		return math.NaN()
	}
	u, v := x-float64(c)-0.5, y-float64(row0)-0.5
	dc, dr := 1, w
	if u < 0 {
		u, dc = -u, -1
	}
	if v < 0 {
		v, dr = -v, -w
	}
	if c+dc < 0 || c+dc >= w {
		dc = 0
	}
	if k := row0*w + dr; k < 0 || k >= len(r.Lit) {
		dr = 0
	}
	i := row0*w + c
	side, below, across := r.Lit[i+dc], r.Lit[i+dr], r.Lit[i+dc+dr]
	if s := side + below + across; s != s {
		side, below, across = orElse(side, here), orElse(below, here), orElse(across, here)
	}
	a, b := float64(here), float64(side)
	d, e := float64(below), float64(across)
	near, far := a+(b-a)*u, d+(e-d)*u
	return near + (far-near)*v
}

// Along fills dst with the brightness at spots on a straight line: element i is
// [Relief.At] of (col + i·perCol, row + i·perRow).
func (r *Relief) Along(dst []float32, col, row, perCol, perRow float64) {
	x, y := (col-r.col0)/r.every-0.5, (row-r.row0)/r.every-0.5
	dx, dy := perCol/r.every, perRow/r.every
	right, bottom := float64(r.Cols-1), float64(r.Rows-1)
	for i := range dst {
		u, v := x+float64(i)*dx, y+float64(i)*dy
		if u >= 0 && v >= 0 && u < right && v < bottom {
			c, k := int(u), int(v)
			upper := r.Lit[k*r.Cols+c:][:2]
			lower := r.Lit[(k+1)*r.Cols+c:][:2]
			fu, fv := float32(u-float64(c)), float32(v-float64(k))
			near, far := upper[0]+(upper[1]-upper[0])*fu, lower[0]+(lower[1]-lower[0])*fu
			if dst[i] = near + (far-near)*fv; dst[i] == dst[i] {
				continue
			}
		}
		dst[i] = float32(r.At(col+float64(i)*perCol, row+float64(i)*perRow))
	}
}

func orElse(v, instead float32) float32 {
	if v != v {
		return instead
	}
	return v
}

// blocks are the mean heights of square blocks of cells.
type blocks struct {
	z                  []float32
	cols, rows, stride int
	every              int
}

func blocksOf(g *terrain.Grid, every int) blocks {
	if every == 1 {
		return blocks{g.Z, g.Cols, g.Rows, g.Stride, 1}
	}
	cols, rows := (g.Cols+every-1)/every, (g.Rows+every-1)/every
	b := blocks{make([]float32, cols*rows), cols, rows, cols, every}
	sum, count := make([]float64, cols), make([]float64, cols)
	for r := range rows {
		clear(sum)
		clear(count)
		for row := r * every; row < min((r+1)*every, g.Rows); row++ {
			line := g.Z[row*g.Stride : row*g.Stride+g.Cols]
			for c := range cols {
				for _, z := range line[c*every : min((c+1)*every, g.Cols)] {
					if z == z {
						sum[c] += float64(z)
						count[c]++
					}
				}
			}
		}
		for c := range cols {
			b.z[r*cols+c] = float32(sum[c] / count[c])
		}
	}
	return b
}

// light returns, at a spot in blocks, the metric per block and the step in
// blocks that leads one metre of ground towards the light.
func (b blocks) light(g *terrain.Grid, col, row float64) (m terrain.Metric, u, v float64) {
	every := float64(b.every)
	col, row = float64(g.Col0)+col*every, float64(g.Row0)+row*every
	m = g.Frame.MetricAt(col, row)
	lon, lat := g.Frame.LonLat(col, row)
	lonC, latC := g.Frame.LonLat(col+1, row)
	lonR, latR := g.Frame.LonLat(col, row+1)

	// Which way the light stands, in degrees and then in cells.
	sin, cos := math.Sincos(lightAzimuth)
	// A degree of latitude is shorter than one of longitude at the equator, by
	// (1-e²)/(1-e² sin² φ) on the ellipsoid.
	const e2 = terrain.Eccentricity2
	sinLat, cosLat := math.Sincos(lat * math.Pi / 180)
	toLon, toLat := sin/cosLat, cos*(1-e2*sinLat*sinLat)/(1-e2)
	ac, bc, ar, br := lonC-lon, latC-lat, lonR-lon, latR-lat
	det := ac*br - ar*bc
	u, v = (toLon*br-ar*toLat)/det, (ac*toLat-toLon*bc)/det

	metres := m.LengthM(u, v)
	u, v = u/metres/every, v/metres/every // one metre of it
	return terrain.Metric{A: m.A / (every * every), B: m.B / (every * every), C: m.C / (every * every)}, u, v
}

// rises writes, for the blocks c0 ≤ c < c1 of a row, the rise towards the light
// and slope², NaN at a void.
func (b blocks) rises(row, c0, c1 int, m terrain.Metric, u, v float64, toward, squared []float32) {
	write := func(c int, p, q float64) {
		toward[c] = float32(p*u + q*v)
		squared[c] = float32(p*(m.A*p+2*m.B*q) + m.C*q*q)
	}
	from, to := max(c0, 1), min(c1, b.cols-1)
	if row == 0 || row == b.rows-1 || from >= to {
		from, to = c1, c1
	}
	for c := c0; c < from; c++ {
		p, q := b.carriedOn(c, row)
		write(c, p, q)
	}
	if from < to {
		// Horn's sums, each column of three blocks summed once.
		i := row*b.stride + from - 1
		n := to - from
		up, mid, down := b.z[i-b.stride:][:n+2], b.z[i:][:n+2], b.z[i+b.stride:][:n+2]
		sum := func(k int) (v, h float64) {
			n, s := float64(up[k]), float64(down[k])
			return n + 2*float64(mid[k]) + s, s - n
		}
		v0, h0 := sum(0)
		v1, h1 := sum(1)
		for k := range n {
			v2, h2 := sum(k + 2)
			p, q := (v2-v0)/8, (h0+2*h1+h2)/8
			v0, h0, v1, h1 = v1, h1, v2, h2
			if all := p + q; all != all || mid[k+1] != mid[k+1] {
				p, q = b.carriedOn(from+k, row)
			}
			write(from+k, p, q)
		}
	}
	for c := max(to, from); c < c1; c++ {
		p, q := b.carriedOn(c, row)
		write(c, p, q)
	}
}

// carriedOn is the rise per block along the row and down the column where
// neighbours are missing: the ground is carried on straight. NaN at a void.
func (b blocks) carriedOn(col, row int) (p, q float64) {
	for dr := -1; dr <= 1; dr++ {
		for dc := -1; dc <= 1; dc++ {
			h := b.neighbour(col, row, dc, dr)
			p += float64(dc*(2-dr*dr)) * h
			q += float64(dr*(2-dc*dc)) * h
		}
	}
	return p / 8, q / 8
}

// neighbour is the height beside a block or, where that is missing, what lies
// on a line with the block opposite; in a corner, in one plane with the blocks
// beside it; else level ground.
func (b blocks) neighbour(col, row, dc, dr int) float64 {
	centre := b.height(col, row)
	if h := b.height(col+dc, row+dr); h == h {
		return h
	}
	if h := 2*centre - b.height(col-dc, row-dr); h == h || dc == 0 && dr == 0 {
		return h
	}
	if dc == 0 || dr == 0 {
		return centre
	}
	return b.neighbour(col, row, dc, 0) + b.neighbour(col, row, 0, dr) - centre
}

// height is NaN off the grid.
func (b blocks) height(col, row int) float64 {
	if col < 0 || row < 0 || col >= b.cols || row >= b.rows {
		return math.NaN()
	}
	return float64(b.z[row*b.stride+col])
}
