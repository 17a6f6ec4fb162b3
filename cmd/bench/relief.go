package main

import "math"

// The ground of the benchmark: waves from 1.1 km down to 7 m long, two to a
// length and crossing, on which every cell adds a little of its own, the way a
// bare-earth raster from lidar does. Slopes run from 0 to beyond 80%.
//
// The shares are chosen so that zones are about as ragged as on real 1 m
// elevation: some 800 corners an acre under the fleet of slope alone.
var waves = [...]struct{ lengthM, slope, bearing float64 }{
	{1103, 0.20, 0.31}, {983, 0.17, 1.83},
	{541, 0.16, 2.55}, {467, 0.14, 1.07},
	{263, 0.13, 0.68}, {229, 0.12, 2.21},
	{127, 0.09, 1.42}, {109, 0.08, 2.93},
	{61, 0.045, 0.12}, {53, 0.04, 1.66},
	{29, 0.025, 2.38}, {23, 0.02, 0.87},
	{11, 0.03, 1.21}, {7, 0.03, 2.74},
}

const (
	baseM  = 640.0 // height about which the ground undulates
	grainM = 0.06  // each cell's own share, up or down
)

// relief gives heights in metres, row by row. A wave's phase is a sum of what
// its column and its row add, so sines are taken once a column and once a row.
type relief struct {
	sin, cos [len(waves)][]float64 // by column
}

func newRelief(cols int) *relief {
	r := &relief{}
	for i, w := range waves {
		r.sin[i], r.cos[i] = make([]float64, cols), make([]float64, cols)
		k := 2 * math.Pi / w.lengthM * math.Cos(w.bearing)
		for c := range cols {
			r.sin[i][c], r.cos[i][c] = math.Sincos(k*float64(c) + float64(i))
		}
	}
	return r
}

// row writes the heights of a row.
func (r *relief) row(dst []float32, row int) {
	sums := make([]float64, len(dst))
	for i, w := range waves {
		s, c := math.Sincos(2 * math.Pi / w.lengthM * math.Sin(w.bearing) * float64(row))
		high := w.slope * w.lengthM / (2 * math.Pi)
		s, c = s*high, c*high
		sin, cos := r.sin[i][:len(dst)], r.cos[i][:len(dst)]
		for col := range sums {
			sums[col] += sin[col]*c + cos[col]*s
		}
	}
	for col := range dst {
		dst[col] = float32(baseM + sums[col] + grainM*grain(col, row))
	}
}

// grain is noise from -1 to 1 that depends on the cell alone: the finalizer of
// splitmix64.
func grain(col, row int) float64 {
	z := uint64(row)<<32 | uint64(col)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	z ^= z >> 31
	return float64(int64(z)) / (1 << 63)
}
