package mapping

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
)

// heights are made ground, row by row from the north-west.
type heights struct {
	z     []float64
	side  int
	cellM float64
}

// rough is a square of ground at 1 m whose relief falls with the power hurst of its scale,
// from the whole square to 2 m: octaves of random heights under cubic B-splines. Ridged
// ground has each octave folded, so that crests and hollows are sharp.
func rough(side int, hurst, reliefM float64, ridged bool, seed uint64) heights {
	random := rand.New(rand.NewPCG(seed, 1))
	h := heights{make([]float64, side*side), side, 1}
	for long := side; long >= 2; long /= 2 {
		n := side/long + 5
		knots := make([]float64, n*n)
		for i := range knots {
			knots[i] = random.NormFloat64()
		}
		high := reliefM * math.Pow(float64(long)/float64(side), hurst)
		for r := range side {
			y := float64(r) / float64(long)
			for c := range side {
				x := float64(c) / float64(long)
				v := 0.0
				for j := range 4 {
					for i := range 4 {
						v += spline(x-math.Floor(x), i) * spline(y-math.Floor(y), j) * knots[(int(y)+j)*n+int(x)+i]
					}
				}
				if ridged {
					v = -1.5 * math.Abs(v)
				}
				h.z[r*side+c] += high * v
			}
		}
	}
	return h
}

// spline is the weight of the kth of four knots of a uniform cubic B-spline.
func spline(t float64, k int) float64 {
	return [4]float64{(1 - t) * (1 - t) * (1 - t), 3*t*t*t - 6*t*t + 4, -3*t*t*t + 3*t*t + 3*t + 1, t * t * t}[k] / 6
}

// means is the ground at cells n times as long, each the mean of what it covers.
func (h heights) means(n int) heights {
	out := heights{make([]float64, h.side/n*(h.side/n)), h.side / n, h.cellM * float64(n)}
	for r := range out.side * n {
		for c := range out.side * n {
			out.z[r/n*out.side+c/n] += h.z[r*h.side+c] / float64(n*n)
		}
	}
	return out
}

// noisy is the ground with independent errors of a standard deviation.
func (h heights) noisy(sigmaM float64) heights {
	random := rand.New(rand.NewPCG(7, 7))
	out := heights{make([]float64, len(h.z)), h.side, h.cellM}
	for i, z := range h.z {
		out.z[i] = z + sigmaM*random.NormFloat64()
	}
	return out
}

// elevation is the ground as read.
func (h heights) elevation(t testing.TB) *terrain.Elevation {
	z := make([]float32, len(h.z))
	for i, v := range h.z {
		z[i] = float32(v)
	}
	g, err := terrain.NewGrid(z, h.side, h.side, h.cellM, h.cellM)
	require.NoError(t, err)
	return &terrain.Elevation{Grid: g, Sources: []terrain.Source{{Path: "made", CellM: [2]float64{h.cellM, h.cellM}, Unit: "metre", UnitFrom: "declared"}}}
}

// ground is all of it, one lot but for a rim.
func (h heights) ground(t testing.TB) *Ground {
	e := h.elevation(t)
	corner := func(col, row float64) orb.Point {
		lon, lat := e.Grid.Frame.LonLat(col, row)
		return orb.Point{lon, lat}
	}
	near, far := 0.5, float64(h.side)-0.5
	ring := orb.Ring{corner(near, near), corner(near, far), corner(far, far), corner(far, near), corner(near, near)}
	g, err := NewGround(e, []zoning.Lot{{Parcel: zoning.Parcel{Lot: "7", Ground: orb.MultiPolygon{{ring}}}}}, nil)
	require.NoError(t, err)
	return g
}

// mapped is the map of that ground.
func (h heights) mapped(t testing.TB, fleet zoning.Fleet, o Options) *zoning.ZoneMap {
	m, err := Map(t.Context(), h.ground(t), fleet, o)
	require.NoError(t, err)
	return m
}

// sureAcres are the acres of the cells that a machine is sure of, worksAcres of those that
// it works.
func sureAcres(m *zoning.ZoneMap, machine int, cellM float64) float64 {
	return acresOfMasks(m.Cells.Sure, machine, cellM)
}

func worksAcres(m *zoning.ZoneMap, machine int, cellM float64) float64 {
	return acresOfMasks(m.Cells.Masks, machine, cellM)
}

func acresOfMasks(masks []zoning.Mask, machine int, cellM float64) float64 {
	n := 0
	for _, mask := range masks {
		n += int(mask >> machine & 1)
	}
	return float64(n) * cellM * cellM / terrain.SquareMetresPerAcre
}
