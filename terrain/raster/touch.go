package raster

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geo"

	"github.com/acreband/acreband/terrain"
)

// along lists points along the edges of a place, which are straight in
// longitude and latitude and so bend on most grids.
func along(ground orb.MultiPolygon) [][2]float64 {
	const pieces = 8
	var out [][2]float64
	for _, poly := range ground {
		for _, ring := range poly {
			for i := 1; i < len(ring); i++ {
				a, b := ring[i-1], ring[i]
				for k := range pieces {
					t := float64(k) / pieces
					out = append(out, [2]float64{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])})
				}
			}
		}
	}
	return out
}

// around is the window of the cells around points, with a halo; empty where the CRS
// places none of them.
func (r *Raster) around(lonLat [][2]float64, halo int) (terrain.Window, error) {
	cells, err := r.Cells(lonLat)
	if err != nil {
		return terrain.Window{}, err
	}
	c0, r0, c1, r1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, c := range cells {
		if c[0] == c[0] && c[1] == c[1] {
			c0, r0, c1, r1 = min(c0, c[0]), min(r0, c[1]), max(c1, c[0]), max(r1, c[1])
		}
	}
	const most = math.MaxInt32
	if !(c0 <= c1 && r0 <= r1 && c0 > -most && r0 > -most && c1 < most && r1 < most) {
		return terrain.Window{}, nil
	}
	return terrain.NewWindow(int(math.Floor(c0))-halo, int(math.Floor(r0))-halo, int(math.Ceil(c1))+halo, int(math.Ceil(r1))+halo), nil
}

// Touches reports whether any of a place's surroundings lie on the raster.
func (r *Raster) Touches(ground orb.MultiPolygon) (bool, error) {
	w, err := r.around(along(ground), halo)
	if err != nil {
		return false, err
	}
	return !w.Grown(-halo).In(r.Extent()).Empty(), nil
}

// Middle is the longitude and latitude of the raster's middle.
func (r *Raster) Middle() orb.Point {
	p, err := r.Locate([][2]float64{{float64(r.Source.Cols) / 2, float64(r.Source.Rows) / 2}})
	if err != nil {
		return orb.Point{math.NaN(), math.NaN()}
	}
	return orb.Point{math.Remainder(p[0][0], 360), p[0][1]}
}

// DistanceKM is how far a spot lies from the raster's edge, in kilometres on a
// sphere; 0 on the raster.
func (r *Raster) DistanceKM(spot orb.Point) float64 {
	if at, err := r.Cells([][2]float64{spot}); err == nil && r.holds(at[0]) {
		return 0
	}
	const pieces = 32
	c, w := float64(r.Source.Cols), float64(r.Source.Rows)
	var rim [][2]float64
	for i := range pieces {
		t := float64(i) / pieces
		rim = append(rim, [2]float64{t * c, 0}, [2]float64{c, t * w}, [2]float64{c - t*c, w}, [2]float64{0, w - t*w})
	}
	places, err := r.Locate(rim)
	if err != nil {
		return math.Inf(1)
	}
	least := math.Inf(1)
	for _, p := range places {
		if km := geo.DistanceHaversine(spot, p) / 1000; km < least {
			least = km
		}
	}
	return least
}

func (r *Raster) holds(cell [2]float64) bool {
	return cell[0] >= 0 && cell[1] >= 0 && cell[0] <= float64(r.Source.Cols) && cell[1] <= float64(r.Source.Rows)
}
