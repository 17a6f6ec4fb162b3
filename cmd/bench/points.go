package main

import (
	"math"
	"math/rand/v2"

	"github.com/acreband/acreband/terrain"
)

// points are heights where a laser met the ground: one in each square of a lattice,
// anywhere in the middle of it.
type points struct {
	side     int // squares each way
	spacingM float64
	x, y, z  []float64
}

// lidar samples square ground of a side, with noise of its own on each height.
func lidar(seed uint64, sideM, perM2, noiseM float64, height func(x, y float64) float64) *points {
	rnd := rand.New(rand.NewPCG(seed, 3))
	p := &points{spacingM: 1 / math.Sqrt(perM2)}
	p.side = int(math.Ceil(sideM/p.spacingM)) + 1
	for j := range p.side {
		for i := range p.side {
			x := (float64(i) + 0.1 + 0.8*rnd.Float64() - 0.5) * p.spacingM
			y := (float64(j) + 0.1 + 0.8*rnd.Float64() - 0.5) * p.spacingM
			p.x, p.y, p.z = append(p.x, x), append(p.y, y), append(p.z, height(x, y)+noiseM*rnd.NormFloat64())
		}
	}
	return p
}

// gridding makes heights of cells from points.
type gridding struct {
	name string
	of   func(p *points, x, y, cellM float64) float64
}

var griddings = []gridding{{"TIN", (*points).tin}, {"IDW", (*points).idw}, {"mean", (*points).mean}}

// grid lays square cells on the points.
func (p *points) grid(sideM, cellM float64, of gridding) (*terrain.Grid, error) {
	n := int(sideM / cellM)
	z := make([]float32, n*n)
	for i := range z {
		z[i] = float32(of.of(p, (float64(i%n)+0.5)*cellM, (float64(i/n)+0.5)*cellM, cellM))
	}
	return terrain.NewGrid(z, n, n, cellM, cellM)
}

// near visits the points within some squares of a place.
func (p *points) near(x, y float64, squares int, visit func(i int)) {
	c, r := int(math.Round(x/p.spacingM)), int(math.Round(y/p.spacingM))
	for j := max(r-squares, 0); j <= min(r+squares, p.side-1); j++ {
		for i := max(c-squares, 0); i <= min(c+squares, p.side-1); i++ {
			visit(j*p.side + i)
		}
	}
}

// idw weighs the points around by the inverse square of their distance.
func (p *points) idw(x, y, cellM float64) float64 {
	var sum, weight float64
	reachM := max(1.5*p.spacingM, cellM)
	p.near(x, y, int(math.Ceil(reachM/p.spacingM))+1, func(i int) {
		if d := math.Hypot(p.x[i]-x, p.y[i]-y); d <= reachM {
			w := 1 / max(d*d, 1e-6)
			sum, weight = sum+w*p.z[i], weight+w
		}
	})
	return sum / weight
}

// mean is that of the points in the cell; a cell without any takes what is around.
func (p *points) mean(x, y, cellM float64) float64 {
	var sum, n float64
	p.near(x, y, int(math.Ceil(cellM/2/p.spacingM))+1, func(i int) {
		if math.Abs(p.x[i]-x) <= cellM/2 && math.Abs(p.y[i]-y) <= cellM/2 {
			sum, n = sum+p.z[i], n+1
		}
	})
	if n == 0 {
		return p.idw(x, y, cellM)
	}
	return sum / n
}

// tin is the height of the triangle around a place: each four neighbours of the lattice make
// two, parted along the shorter diagonal.
func (p *points) tin(x, y, cellM float64) float64 {
	c, r := int(math.Floor(x/p.spacingM)), int(math.Floor(y/p.spacingM))
	for ring := range 3 {
		for j := max(r-ring, 0); j <= min(r+ring, p.side-2); j++ {
			for i := max(c-ring, 0); i <= min(c+ring, p.side-2); i++ {
				a, b, d, e := j*p.side+i, j*p.side+i+1, (j+1)*p.side+i, (j+1)*p.side+i+1
				triangles := [2][3]int{{a, b, d}, {b, e, d}}
				if math.Hypot(p.x[a]-p.x[e], p.y[a]-p.y[e]) < math.Hypot(p.x[b]-p.x[d], p.y[b]-p.y[d]) {
					triangles = [2][3]int{{a, b, e}, {a, e, d}}
				}
				for _, t := range triangles {
					if z, inside := p.onTriangle(t, x, y); inside {
						return z
					}
				}
			}
		}
	}
	return p.idw(x, y, cellM)
}

func (p *points) onTriangle(t [3]int, x, y float64) (z float64, inside bool) {
	x0, y0 := p.x[t[0]], p.y[t[0]]
	ux, uy, vx, vy := p.x[t[1]]-x0, p.y[t[1]]-y0, p.x[t[2]]-x0, p.y[t[2]]-y0
	det := ux*vy - uy*vx
	u, v := ((x-x0)*vy-(y-y0)*vx)/det, ((y-y0)*ux-(x-x0)*uy)/det
	if !(u >= -1e-9 && v >= -1e-9 && u+v <= 1+1e-9) {
		return 0, false
	}
	return p.z[t[0]] + u*(p.z[t[1]]-p.z[t[0]]) + v*(p.z[t[2]]-p.z[t[0]]), true
}

// hummocks is rough ground: waves of 8 octaves from 100 m down, whose height falls with
// their length. Over 5 × 5 cells a quadratic surface leaves a median of some 1 cm at 1 m
// and 3 cm at 2 m, as it does on bare earth from lidar.
func hummocks(seed uint64, reliefM float64) func(x, y float64) float64 {
	rnd := rand.New(rand.NewPCG(seed, 5))
	type wave struct{ kx, ky, phase, height float64 }
	var waves []wave
	lengthM, heightM := 100.0, reliefM
	for range 6 {
		const each = 8
		for i := range each {
			sin, cos := math.Sincos(math.Pi * (float64(i) + rnd.Float64()) / each)
			k := 2 * math.Pi / (lengthM * (0.8 + 0.4*rnd.Float64()))
			waves = append(waves, wave{k * cos, k * sin, 2 * math.Pi * rnd.Float64(), heightM / each})
		}
		lengthM, heightM = lengthM/2, heightM/2
	}
	return func(x, y float64) (z float64) {
		for _, w := range waves {
			z += w.height * math.Sin(w.kx*x+w.ky*y+w.phase)
		}
		return z
	}
}
