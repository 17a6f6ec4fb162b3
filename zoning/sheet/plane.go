package sheet

import (
	"math"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
)

// plane is the ground around a map's lots as a plane in metres, x east and y
// north of a middle. Metres are those of the frame's metric at that middle.
type plane struct {
	frame        *terrain.Frame
	lon0, lat0   float64
	perLon       float64 // metres in a degree of longitude at the middle
	perLat       float64
	halfW, halfH float64 // the lots reach so far from the middle
}

// planeOf puts the middle of the plane in the middle of the lots.
func planeOf(f *terrain.Frame, zm *zoning.ZoneMap) (plane, bool) {
	if f.Check() != nil || zm == nil {
		return plane{}, false
	}
	west, east := math.Inf(1), math.Inf(-1)
	south, north := math.Inf(1), math.Inf(-1)
	for _, lot := range zm.Lots {
		for _, z := range lot.Zones {
			for _, poly := range z.Ground {
				for _, ring := range poly {
					for _, p := range ring {
						lon := f.Near(p[0])
						west, east = min(west, lon), max(east, lon)
						south, north = min(south, p[1]), max(north, p[1])
					}
				}
			}
		}
	}
	if !(west <= east) || !(south <= north) {
		return plane{}, false
	}
	p := planeAt(f, (west+east)/2, (south+north)/2)
	p.halfW, p.halfH = (east-west)/2*p.perLon, (north-south)/2*p.perLat
	return p, p.perLon > 0 && p.perLat > 0 && isFinite(p.perLon+p.perLat+p.halfW+p.halfH)
}

func isFinite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// view is a picture of the plane, w × h pixels with its middle in the middle.
type view struct {
	plane
	w, h   int
	metres float64 // in a pixel
}

// pixel returns where a point lies, in pixels from the view's top left corner.
func (v *view) pixel(p orb.Point) (x, y float64) {
	return float64(v.w)/2 + (v.frame.Near(p[0])-v.lon0)*v.perLon/v.metres,
		float64(v.h)/2 - (p[1]-v.lat0)*v.perLat/v.metres
}

// cell returns the cell coordinates of a spot in pixels.
func (v *view) cell(x, y float64) (col, row float64) {
	return v.frame.Cell(v.lon0+(x-float64(v.w)/2)*v.metres/v.perLon, v.lat0-(y-float64(v.h)/2)*v.metres/v.perLat)
}

// cellsPerPixel is how many cells fit along a pixel at the middle.
func (v *view) cellsPerPixel() float64 {
	c, r := v.cell(float64(v.w)/2, float64(v.h)/2)
	along, down := v.frame.MetricAt(c, r).CellM()
	return v.metres / max(along, down)
}

// projection tells where a point lies in a picture, in pixels from its top left
// corner.
type projection func(orb.Point) (x, y float64)

// edges calls line for every edge of polygons, in pixels, and joins edges
// shorter than a number of pixels. Edges along the antimeridian, where a ground
// was cut only to be written, are left out.
func (pixel projection) edges(ground orb.MultiPolygon, shortest float64, line func(x0, y0, x1, y1 float64)) {
	for _, poly := range ground {
		for _, ring := range poly {
			if len(ring) == 0 {
				continue
			}
			last := ring[0]
			x0, y0 := pixel(last)
			for i, p := range ring[1:] {
				x1, y1 := pixel(p)
				seam := onSeam(last, p)
				near := math.Abs(x1-x0)+math.Abs(y1-y0) < shortest && i < len(ring)-2
				if near && !seam {
					continue
				}
				if !seam {
					line(x0, y0, x1, y1)
				}
				last, x0, y0 = p, x1, y1
			}
		}
	}
}
