package terrain

import (
	"errors"
	"fmt"
	"math"
)

// Frame says where a raster's cells lie on the ground. It is a lattice of
// positions asked of the raster's CRS every Step cells; between them, position
// and metric are interpolated. Cell coordinates are real numbers counted from
// the raster's north-west corner, so the middle of its first cell is (0.5, 0.5).
//
// The lattice is anchored to the raster, not to a window of it, so a cell has
// the same place and metric whatever was read around it.
//
// A Frame does not change once made and may be shared between goroutines.
type Frame struct {
	step       int
	col0, row0 int // cell coordinates of the first lattice node
	cols, rows int // lattice nodes along a row and down a column
	lonLat     [][2]float64
	metric     []Metric
	midLon     float64
	guess      affine
}

// affine maps longitude and latitude to a first guess of cell coordinates.
type affine struct{ lon0, lat0, col0, row0, cLon, cLat, rLon, rLat float64 }

// ErrNoPlace says that a CRS has no longitude and latitude for a spot.
var ErrNoPlace = errors.New("the CRS gives no longitude and latitude here")

// ErrPole says that a frame would hold a pole, where longitude means nothing; a
// lattice square around the window counts.
var ErrPole = errors.New("the window holds a pole, or nearly: longitude has no meaning there")

// Locate gives WGS84 longitude and latitude in degrees for cell coordinates.
// Spots it cannot place become NaN.
type Locate func(cells [][2]float64) ([][2]float64, error)

// all is locate held to its promise: one place for each spot.
func (locate Locate) all(cells [][2]float64) ([][2]float64, error) {
	if locate == nil {
		return nil, errors.New("nothing tells where cells lie: there is no Locate")
	}
	places, err := locate(cells)
	if err == nil && len(places) != len(cells) {
		err = fmt.Errorf("Locate gave %d places for %d cells", len(places), len(cells))
	}
	return places, err
}

// Bounds of a frame: cells are counted in 32 bits, and a lattice of more nodes takes
// gigabytes.
const (
	farCell   = 1 << 31
	mostNodes = 1 << 22
)

// Lattice steps that [ChooseStep] tries, coarsest first.
const (
	maxStep = 256
	minStep = 1
)

// Tolerances of interpolation: position in metres or in cells, whichever is
// larger, and the metric relative to itself.
const (
	positionTolM    = 0.5e-3
	positionTolCell = 3e-4
	metricTol       = 2e-6
)

// ChooseStep returns the coarsest lattice step that keeps interpolation within
// tolerance (0.5 mm or 3e-4 cells, and 2e-6 of the metric) at sites spread over
// a raster of the given size. It depends on the raster alone.
func ChooseStep(cols, rows int, locate Locate) (int, error) {
	if cols < 1 || rows < 1 {
		return 0, fmt.Errorf("a raster of %d × %d cells has no frame", cols, rows)
	}
	var nowhere error
	for step := maxStep; step > minStep; step /= 2 {
		ok, err := stepServes(step, cols, rows, locate)
		switch {
		case errors.Is(err, ErrNoPlace): // a coarse lattice may reach beyond the earth
			nowhere = err
		case err != nil:
			return 0, err
		case ok:
			return step, nil
		default:
			nowhere = nil
		}
	}
	return minStep, nowhere
}

func stepServes(step, cols, rows int, locate Locate) (bool, error) {
	const sites = 3
	placed := false
	for i := range sites {
		for j := range sites {
			c := i * (cols / step) / (sites - 1) * step
			r := j * (rows / step) / (sites - 1) * step
			f, err := NewFrame(step, c, r, c+step, r+step, locate)
			if errors.Is(err, ErrNoPlace) || errors.Is(err, ErrPole) {
				continue
			}
			if err != nil {
				return false, err
			}
			placed = true
			fine, err := NewFrame(step/2, c, r, c+step, r+step, locate)
			if errors.Is(err, ErrNoPlace) || errors.Is(err, ErrPole) {
				return false, nil
			}
			if err != nil {
				return false, err
			}
			if !f.agrees(fine, float64(c+step/2), float64(r+step/2)) {
				return false, nil
			}
		}
	}
	if !placed {
		return false, ErrNoPlace
	}
	return true, nil
}

// agrees compares two frames at one spot, within the tolerances.
func (f *Frame) agrees(fine *Frame, col, row float64) bool {
	lon, lat := f.LonLat(col, row)
	c, r := fine.Cell(lon, lat)
	m, n := f.MetricAt(col, row), fine.MetricAt(col, row)
	w, h := n.CellM()
	off := math.Hypot((c-col)*w, (r-row)*h)
	if off > math.Max(positionTolM, positionTolCell*math.Min(w, h)) {
		return false
	}
	scale := n.A + n.C
	return math.Abs(m.A-n.A)+math.Abs(m.B-n.B)+math.Abs(m.C-n.C) <= metricTol*scale
}

// NewFrame makes the frame that covers cells c0 ≤ col ≤ c1, r0 ≤ row ≤ r1 of a
// raster, its lattice nodes at multiples of step.
func NewFrame(step, c0, r0, c1, r1 int, locate Locate) (*Frame, error) {
	if step < 1 || step > farCell || c1 < c0 || r1 < r0 || min(c0, r0) < -farCell || max(c1, r1) > farCell {
		return nil, fmt.Errorf("no frame of step %d over cells %d..%d, %d..%d", step, c0, c1, r0, r1)
	}
	f := &Frame{step: step, col0: floorTo(c0, step), row0: floorTo(r0, step)}
	f.cols = (ceilTo(c1, step)-f.col0)/step + 1
	f.rows = (ceilTo(r1, step)-f.row0)/step + 1
	f.cols, f.rows = max(f.cols, 2), max(f.rows, 2)
	if f.cols > mostNodes/f.rows {
		return nil, fmt.Errorf("a frame of step %d over cells %d..%d, %d..%d has more than %d places to ask for; take less ground, or a coarser step", step, c0, c1, r0, r1, mostNodes)
	}

	spots, delta := f.spots()
	places, err := locate.all(spots)
	if err != nil {
		return nil, err
	}
	if err := f.place(places, delta); err != nil {
		return nil, err
	}
	return f, nil
}

func floorTo(v, step int) int { return int(math.Floor(float64(v)/float64(step))) * step }
func ceilTo(v, step int) int  { return int(math.Ceil(float64(v)/float64(step))) * step }

// spots lists, for each lattice node, the node and its four neighbours delta
// cells away, from which the metric is differenced.
func (f *Frame) spots() (spots [][2]float64, delta float64) {
	delta = math.Max(0.5, float64(f.step)/4)
	for j := range f.rows {
		for i := range f.cols {
			c, r := float64(f.col0+i*f.step), float64(f.row0+j*f.step)
			spots = append(spots, [2]float64{c, r},
				[2]float64{c - delta, r}, [2]float64{c + delta, r},
				[2]float64{c, r - delta}, [2]float64{c, r + delta})
		}
	}
	return spots, delta
}

func (f *Frame) place(places [][2]float64, delta float64) error {
	n := f.cols * f.rows
	f.lonLat, f.metric = make([][2]float64, n), make([]Metric, n)
	for k := range n {
		five := places[5*k : 5*k+5]
		if !onEarth(five) {
			return ErrNoPlace
		}
		f.lonLat[k] = five[0]
		f.metric[k] = metricOf(tangents(five, delta))
		if !(f.metric[k].CellAreaM2() > 0) || math.IsInf(f.metric[k].A+f.metric[k].C, 0) {
			return ErrNoPlace
		}
	}
	return f.unwrap()
}

// unwrap makes longitudes run on across the antimeridian, with the middle of
// the lattice between -180 and 180, and prepares the inverse.
func (f *Frame) unwrap() error {
	for k := range f.lonLat {
		prev := k - 1
		if k%f.cols == 0 {
			prev = k - f.cols
		}
		if prev >= 0 {
			f.lonLat[k][0] = near(f.lonLat[k][0], f.lonLat[prev][0])
		}
		if k >= f.cols && k%f.cols > 0 && math.Abs(f.lonLat[k][0]-f.lonLat[k-f.cols][0]) > 180 {
			return ErrPole
		}
	}
	mid := f.lonLat[(f.rows/2)*f.cols+f.cols/2][0]
	shift := near(mid, 0) - mid
	for k := range f.lonLat {
		f.lonLat[k][0] += shift
	}
	f.midLon = mid + shift

	nw, ne := f.lonLat[0], f.lonLat[f.cols-1]
	sw := f.lonLat[(f.rows-1)*f.cols]
	w, h := float64((f.cols-1)*f.step), float64((f.rows-1)*f.step)
	a, b := (ne[0]-nw[0])/w, (sw[0]-nw[0])/h
	c, d := (ne[1]-nw[1])/w, (sw[1]-nw[1])/h
	det := a*d - b*c
	if det == 0 || math.IsNaN(det) {
		return ErrPole
	}
	f.guess = affine{nw[0], nw[1], float64(f.col0), float64(f.row0), d / det, -b / det, -c / det, a / det}
	return nil
}

// onEarth reports whether all places are longitudes and latitudes.
func onEarth(places [][2]float64) bool {
	for _, p := range places {
		if !(math.Abs(p[1]) <= 90) || math.IsNaN(p[0]) || math.IsInf(p[0], 0) {
			return false
		}
	}
	return true
}

// near returns lon shifted by whole turns to lie within half a turn of ref.
func near(lon, ref float64) float64 { return lon - 360*math.Round((lon-ref)/360) }

// at finds the lattice square around cell coordinates: the index of its first
// node and the fractions across and down it. Beyond the lattice the outermost
// square is carried on.
func (f *Frame) at(col, row float64) (k int, u, v float64) {
	u, v = (col-float64(f.col0))/float64(f.step), (row-float64(f.row0))/float64(f.step)
	i := min(max(int(math.Floor(u)), 0), f.cols-2)
	j := min(max(int(math.Floor(v)), 0), f.rows-2)
	return j*f.cols + i, u - float64(i), v - float64(j)
}

// LonLat returns the WGS84 longitude and latitude in degrees of cell
// coordinates. Longitude runs on across the antimeridian, so it may lie
// outside [-180, 180].
func (f *Frame) LonLat(col, row float64) (lon, lat float64) {
	k, u, v := f.at(col, row)
	a, b := f.lonLat[k], f.lonLat[k+1]
	c, d := f.lonLat[k+f.cols], f.lonLat[k+f.cols+1]
	return (a[0]*(1-u)+b[0]*u)*(1-v) + (c[0]*(1-u)+d[0]*u)*v,
		(a[1]*(1-u)+b[1]*u)*(1-v) + (c[1]*(1-u)+d[1]*u)*v
}

// Near returns a longitude shifted by whole turns to the one nearest the
// frame's middle, the way [Frame.LonLat] gives it.
func (f *Frame) Near(lon float64) float64 { return near(lon, f.midLon) }

// Cell returns the cell coordinates of a WGS84 longitude and latitude in
// degrees. It inverts [Frame.LonLat] to 1e-9 cells within the lattice.
func (f *Frame) Cell(lon, lat float64) (col, row float64) {
	lon = f.Near(lon)
	g := &f.guess
	col = g.col0 + g.cLon*(lon-g.lon0) + g.cLat*(lat-g.lat0)
	row = g.row0 + g.rLon*(lon-g.lon0) + g.rLat*(lat-g.lat0)
	for range 12 {
		k, u, v := f.at(col, row)
		a, b := f.lonLat[k], f.lonLat[k+1]
		c, d := f.lonLat[k+f.cols], f.lonLat[k+f.cols+1]
		dLon := lon - ((a[0]*(1-u)+b[0]*u)*(1-v) + (c[0]*(1-u)+d[0]*u)*v)
		dLat := lat - ((a[1]*(1-u)+b[1]*u)*(1-v) + (c[1]*(1-u)+d[1]*u)*v)
		lonU, latU := (b[0]-a[0])*(1-v)+(d[0]-c[0])*v, (b[1]-a[1])*(1-v)+(d[1]-c[1])*v
		lonV, latV := (c[0]-a[0])*(1-u)+(d[0]-b[0])*u, (c[1]-a[1])*(1-u)+(d[1]-b[1])*u
		det := lonU*latV - lonV*latU
		du, dv := (dLon*latV-lonV*dLat)/det, (lonU*dLat-dLon*latU)/det
		s := float64(f.step)
		col, row = col+du*s, row+dv*s
		if math.Abs(du)+math.Abs(dv) < 1e-11 {
			break
		}
	}
	return col, row
}

// MetricAt returns the metric at cell coordinates.
func (f *Frame) MetricAt(col, row float64) Metric {
	k, u, v := f.at(col, row)
	return blend(blend(f.metric[k], f.metric[k+1], u), blend(f.metric[k+f.cols], f.metric[k+f.cols+1], u), v)
}

// RowMetric is the metric along part of a row: at column c in [From, To) it is
// Start + (c-From)·PerCol.
type RowMetric struct {
	From, To      int
	Start, PerCol Metric
}

// RowMetrics appends to dst the metric at the middles of the cells c0 ≤ c < c1
// of a row, in pieces on which it is linear. A piece's values do not depend on
// c0 and c1.
func (f *Frame) RowMetrics(dst []RowMetric, row, c0, c1 int) []RowMetric {
	for c := c0; c < c1; {
		k, _, v := f.at(float64(c)+0.5, float64(row)+0.5)
		i := k % f.cols
		left := blend(f.metric[k], f.metric[k+f.cols], v)
		right := blend(f.metric[k+1], f.metric[k+1+f.cols], v)
		s := float64(f.step)
		per := Metric{(right.A - left.A) / s, (right.B - left.B) / s, (right.C - left.C) / s}
		from, to := f.col0+i*f.step, f.col0+(i+1)*f.step
		if i == f.cols-2 {
			to = max(to, c1)
		}
		if i == 0 && c0 < from {
			from = c0
		}
		at := float64(from-(f.col0+i*f.step)) + 0.5
		dst = append(dst, RowMetric{from, to, left.Plus(per, at), per})
		c = to
	}
	return dst
}
