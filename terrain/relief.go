package terrain

import "math"

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
	// look flat and cliffs black. It brings the mean slope to 30%, and lies
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
	reliefSlope     = 0.30
	minExaggeration = 0.5
	maxExaggeration = 8
)

// FlatLit is the brightness of level ground.
var FlatLit = math.Sin(lightAltitude)

// Shade lights a grid. Heights are first averaged over blocks of every × every
// cells (1: each cell by itself), for pictures whose pixels are larger than a
// cell. Neighbours without elevation, and those off the grid, are taken to
// carry the ground on straight.
func Shade(g *Grid, every int) *Relief {
	b := blocksOf(g, max(every, 1))
	r := &Relief{
		Cols: b.cols, Rows: b.rows, Lit: make([]float32, b.cols*b.rows),
		every: float64(b.every), col0: float64(g.Col0), row0: float64(g.Row0),
	}
	squared := make([]float32, len(r.Lit)) // slope²; Lit holds the rise towards the light
	const tile = 32
	for row := 0; row < b.rows; row += tile {
		for col := 0; col < b.cols; col += tile {
			c1, r1 := min(col+tile, b.cols), min(row+tile, b.rows)
			m, u, v := b.light(g, float64(col+c1)/2, float64(row+r1)/2)
			for rr := row; rr < r1; rr++ {
				for c := col; c < c1; c++ {
					p, q := b.gradient(c, rr)
					r.Lit[rr*b.cols+c] = float32(p*u + q*v)
					squared[rr*b.cols+c] = float32(p*(m.A*p+2*m.B*q) + m.C*q*q)
				}
			}
		}
	}
	r.Exaggeration = exaggeration(squared)
	k := r.Exaggeration
	sin, cos := math.Sincos(lightAltitude)
	for i, s := range squared {
		lit := (sin - k*cos*float64(r.Lit[i])) / math.Sqrt(1+k*k*float64(s))
		r.Lit[i] = float32(max(lit, 0)) // NaN stays
	}
	return r
}

func exaggeration(squared []float32) float64 {
	var sum float64
	n := 0
	for _, s := range squared {
		if s == s {
			sum += math.Sqrt(float64(s))
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

func blocksOf(g *Grid, every int) blocks {
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
func (b blocks) light(g *Grid, col, row float64) (m Metric, u, v float64) {
	every := float64(b.every)
	col, row = float64(g.Col0)+col*every, float64(g.Row0)+row*every
	m = g.Frame.MetricAt(col, row)
	lon, lat := g.Frame.LonLat(col, row)
	lonC, latC := g.Frame.LonLat(col+1, row)
	lonR, latR := g.Frame.LonLat(col, row+1)

	// Which way the light stands, in degrees and then in cells. Taking the
	// earth for a sphere here turns the light by at most 0.2°.
	sin, cos := math.Sincos(lightAzimuth)
	toLon, toLat := sin/math.Cos(lat*math.Pi/180), cos
	ac, bc, ar, br := lonC-lon, latC-lat, lonR-lon, latR-lat
	det := ac*br - ar*bc
	u, v = (toLon*br-ar*toLat)/det, (ac*toLat-toLon*bc)/det

	// One metre of it: the first fundamental form is the inverse of the metric.
	inv := 1 / (m.A*m.C - m.B*m.B)
	metres := math.Sqrt(inv * (m.C*u*u - 2*m.B*u*v + m.A*v*v))
	u, v = u/metres/every, v/metres/every
	return Metric{m.A / (every * every), m.B / (every * every), m.C / (every * every)}, u, v
}

// gradient is the rise per block along the row and down the column (Horn), NaN
// at a void.
func (b blocks) gradient(col, row int) (p, q float64) {
	if col > 0 && row > 0 && col < b.cols-1 && row < b.rows-1 {
		i := row*b.stride + col
		up, mid, down := b.z[i-b.stride-1:][:3], b.z[i-1:][:3], b.z[i+b.stride-1:][:3]
		nw, n, ne := float64(up[0]), float64(up[1]), float64(up[2])
		w, centre, e := float64(mid[0]), float64(mid[1]), float64(mid[2])
		sw, s, se := float64(down[0]), float64(down[1]), float64(down[2])
		p = ((ne - nw) + 2*(e-w) + (se - sw)) / 8
		q = ((sw-nw)+2*(s-n)+(se-ne))/8 + 0*centre
		if all := p + q; all == all || centre != centre {
			return p + 0*centre, q
		}
	}
	return b.carriedOn(col, row)
}

// carriedOn is the gradient where neighbours are missing: each is put on the
// straight line through the centre and the neighbour opposite.
func (b blocks) carriedOn(col, row int) (p, q float64) {
	centre := b.height(col, row)
	for dr := -1; dr <= 1; dr++ {
		for dc := -1; dc <= 1; dc++ {
			h := b.height(col+dc, row+dr)
			if h != h {
				h = 2*centre - b.height(col-dc, row-dr)
			}
			if h != h {
				h = centre
			}
			p += float64(dc*(2-dr*dr)) * h
			q += float64(dr*(2-dc*dc)) * h
		}
	}
	return p / 8, q / 8
}

// height is NaN off the grid.
func (b blocks) height(col, row int) float64 {
	if col < 0 || row < 0 || col >= b.cols || row >= b.rows {
		return math.NaN()
	}
	return float64(b.z[row*b.stride+col])
}
