package sheet

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning"
)

// filler finds the pixels whose middles lie inside polygons (even-odd), row by
// row.
type filler struct {
	w, h        int
	pixel       projection
	crossings   [][]float32 // by row
	top, bottom int         // rows that have any, top ≤ y < bottom
}

func newFiller(w, h int, pixel projection) *filler {
	return &filler{w: w, h: h, pixel: pixel, crossings: make([][]float32, h), top: h}
}

// fill calls span for every run of pixels inside, from ≤ x < to.
func (f *filler) fill(ground orb.MultiPolygon, span func(y, from, to int)) {
	// The edges along the antimeridian count here: each side is closed.
	for _, poly := range ground {
		for _, ring := range poly {
			if len(ring) == 0 {
				continue
			}
			x0, y0 := f.pixel(ring[len(ring)-1])
			for _, p := range ring {
				x1, y1 := f.pixel(p)
				f.edge(x0, y0, x1, y1)
				x0, y0 = x1, y1
			}
		}
	}
	for y := f.top; y < f.bottom; y++ {
		xs := f.crossings[y]
		slices.Sort(xs)
		for i := 0; i+1 < len(xs); i += 2 {
			from, to := max(int(math.Ceil(float64(xs[i])-0.5)), 0), min(int(math.Ceil(float64(xs[i+1])-0.5)), f.w)
			if from < to {
				span(y, from, to)
			}
		}
		f.crossings[y] = xs[:0]
	}
	f.top, f.bottom = f.h, 0
}

func (f *filler) edge(x0, y0, x1, y1 float64) {
	if y0 > y1 {
		x0, y0, x1, y1 = x1, y1, x0, y0
	}
	from, to := max(int(math.Ceil(y0-0.5)), 0), min(int(math.Ceil(y1-0.5)), f.h)
	if from < to {
		f.top, f.bottom = min(f.top, from), max(f.bottom, to)
	}
	for y := from; y < to; y++ {
		t := (float64(y) + 0.5 - y0) / (y1 - y0)
		f.crossings[y] = append(f.crossings[y], float32(x0+t*(x1-x0)))
	}
}

// bandImage holds for each pixel of a view one more than the band of its zone,
// 0 outside the lots.
func bandImage(v *view, zm *zoning.ZoneMap) []uint8 {
	bands := make([]uint8, v.w*v.h)
	f := newFiller(v.w, v.h, v.pixel)
	for _, lot := range zm.Lots {
		for _, z := range lot.Zones {
			b := uint8(z.Band + 1)
			f.fill(z.Ground, func(y, from, to int) {
				for x := y*v.w + from; x < y*v.w+to; x++ {
					bands[x] = b
				}
			})
		}
	}
	return bands
}
