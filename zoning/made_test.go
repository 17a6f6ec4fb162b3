package zoning

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/pymaxion/geographiclib-go/geodesic"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
)

// plane is ground that rises by rise (over run) towards an azimuth, in cells of
// cellM metres around a height.
func plane(t testing.TB, cols, rows int, cellM, rise, azimuth, height float64) *terrain.Grid {
	t.Helper()
	s, c := math.Sincos(azimuth * math.Pi / 180)
	z := make([]float32, cols*rows)
	for i := range z {
		x := (float64(i%cols) - float64(cols)/2) * cellM
		y := (float64(rows)/2 - float64(i/cols)) * cellM
		z[i] = float32(height + rise*(x*s+y*c))
	}
	g, err := terrain.NewGrid(z, cols, rows, cellM, cellM)
	require.NoError(t, err)
	return g
}

func fleetOf(limitsPct ...float64) []Machine {
	var fleet []Machine
	for i, l := range limitsPct {
		fleet = append(fleet, Machine{Key: string(rune('a' + i)), Name: "Machine", LimitPct: l})
	}
	return fleet
}

// stand gives each cell the machines whose limit its slope stays below.
func stand(f *slope.Field, fleet []Machine, masks []Mask) {
	for i, s := range f.Squared {
		masks[i] = 0
		if math.IsNaN(float64(s)) {
			masks[i] = Unknown
			continue
		}
		for k, m := range fleet {
			if math.Sqrt(float64(s)) < m.SteepestPct()/100-TieRise {
				masks[i] |= 1 << k
			}
		}
	}
}

// toGround places rings given in cell coordinates, rounded as a file would.
func toGround(f *terrain.Frame, unit float64, rings ...[][2]float64) orb.Polygon {
	var poly orb.Polygon
	for _, r := range rings {
		var ring orb.Ring
		for _, p := range r {
			lon, lat := f.LonLat(p[0], p[1])
			ring = append(ring, orb.Point{math.Round(lon*unit) / unit, math.Round(lat*unit) / unit})
		}
		poly = append(poly, append(ring, ring[0]))
	}
	return poly
}

// waves is a sum of waves of all lengths and ways, from about -2 to 2.
func waves(rng *rand.Rand) func(x, y float64) float64 {
	var k [6][3]float64
	for i := range k {
		length := 3 + 30*rng.Float64()
		s, c := math.Sincos(2 * math.Pi * rng.Float64())
		k[i] = [3]float64{2 * math.Pi * c / length, 2 * math.Pi * s / length, 2 * math.Pi * rng.Float64()}
	}
	return func(x, y float64) (h float64) {
		for _, w := range k {
			h += 0.5 * math.Sin(w[0]*x+w[1]*y+w[2])
		}
		return h
	}
}

// laid is a frame around 45° N, 100° W whose columns and rows go by metres east and
// north of its middle, by geodesics: the port of GeographicLib is no part of this
// project.
func laid(t testing.TB, cols, rows int, perCol, perRow [2]float64) *terrain.Frame {
	t.Helper()
	frame, err := terrain.NewFrame(16, 0, 0, cols, rows, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			u, v := c[0]-float64(cols)/2, c[1]-float64(rows)/2
			east, north := u*perCol[0]+v*perRow[0], u*perCol[1]+v*perRow[1]
			to := geodesic.WGS84.Direct(45, -100, math.Atan2(east, north)*180/math.Pi, math.Hypot(east, north))
			out[i] = [2]float64{to.Lon2, to.Lat2}
		}
		return out, nil
	})
	require.NoError(t, err)
	return frame
}
