package coverage

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// tilted is a frame of square cells in degrees, turned by an angle: node (c, r)
// lies at (lon, lat) plus the turned offset.
func tilted(t testing.TB, lon, lat, cell, deg float64) *terrain.Frame {
	s, c := math.Sincos(deg * math.Pi / 180)
	f, err := terrain.NewFrame(64, -64, -64, 128, 128, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, p := range cells {
			x, y := p[0]*cell, -p[1]*cell
			out[i] = [2]float64{lon + c*x - s*y, lat + s*x + c*y}
		}
		return out, nil
	})
	require.NoError(t, err)
	return f
}

const testCell = 1e-5 // about a metre

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

func randomMasks(rng *rand.Rand, cols, rows, kinds int) []Mask {
	m := make([]Mask, cols*rows)
	for i := range m {
		m[i] = Mask(rng.IntN(kinds))
		if rng.IntN(20) == 0 {
			m[i] = Unknown
		}
	}
	return m
}

// star is a simple ring around a centre, in cell coordinates.
func star(rng *rand.Rand, cx, cy, r0, r1 float64, n int) [][2]float64 {
	ring := make([][2]float64, n)
	for i := range ring {
		s, c := math.Sincos(2 * math.Pi * (float64(i) + 0.4*rng.Float64()) / float64(n))
		r := r0 + (r1-r0)*rng.Float64()
		ring[i] = [2]float64{cx + r*c, cy + r*s}
	}
	return ring
}

func byMask(m Mask) int {
	if m == Unknown {
		return 7
	}
	return int(m)
}

// checkCoverage asserts what holds for every cut: faces sum to the outline,
// every class's polygons measure what the faces say, cell shares add up.
func checkCoverage(t *testing.T, cov *Coverage, cells *Window, p orb.MultiPolygon) []orb.MultiPolygon {
	t.Helper()
	whole := AreaM2(p)
	// A vertex put where a zone meets the boundary is off it by half a unit.
	require.InDelta(t, whole, cov.M2(), perimeterM(p)*0.8*111319/cov.unit+1e-9*whole, "faces sum to the parcel")
	// An area is a difference of areas to the equator, good to about 1e-7 m².
	require.InDelta(t, cov.M2(), AreaM2(cov.Outline()), 1e-9*whole+1e-7, "outline measures the sum")
	classes := cov.Polygons(8, byMask)
	want := make([]float64, 8)
	for _, f := range cov.Faces {
		want[byMask(f.Mask)] += f.M2
	}
	for i, mp := range classes {
		require.InDelta(t, want[i], AreaM2(mp), 1e-9*whole+1e-7, "class %d measures what is written", i)
	}
	shares := make([]float64, 8)
	var sum float64
	cov.EachCell(func(col, row int, share float64) {
		m := Unknown
		if col >= 0 && row >= 0 && col < cells.Cols && row < cells.Rows {
			m = cells.Masks[row*cells.Cols+col]
		}
		shares[byMask(m)] += share
		sum += share
	})
	for i := range shares {
		require.InDelta(t, want[i]/whole, shares[i]/sum, 1e-3, "class %d's cells add up to its ground", i)
	}
	return classes
}

func perimeterM(ground orb.MultiPolygon) float64 {
	var sum float64
	for _, poly := range ground {
		for _, ring := range poly {
			for i := 1; i < len(ring); i++ {
				sum += 111319 * math.Hypot(ring[i][0]-ring[i-1][0], ring[i][1]-ring[i-1][1])
			}
		}
	}
	return sum
}

func TestCutOneCell(t *testing.T) {
	f := tilted(t, -120, 45, testCell, 0)
	cells := &Window{Masks: []Mask{1, 2, 3, 4}, Cols: 2, Rows: 2, Frame: f}
	p := orb.MultiPolygon{toGround(f, 1e9, [][2]float64{{0.25, 0.25}, {1.75, 0.25}, {1.75, 1.75}, {0.25, 1.75}})}
	cov, err := Cut(cells, p)
	require.NoError(t, err)
	got := checkCoverage(t, cov, cells, p)
	quarter := AreaM2(p) / 4
	for i := 1; i <= 4; i++ {
		require.Len(t, got[i], 1)
		assert.InEpsilon(t, quarter, AreaM2(got[i]), 1e-4)
		assert.Len(t, got[i][0][0], 5)
		assert.Equal(t, orb.CCW, got[i][0][0].Orientation())
	}
}

// randomCase is a window of masks, turned any way, and a ragged parcel over
// part of it, sometimes with a hole or a second part.
func randomCase(t testing.TB, rng *rand.Rand, unit float64) (*Window, orb.MultiPolygon) {
	cols, rows := 1+rng.IntN(12), 1+rng.IntN(12)
	f := tilted(t, -120, 45, testCell, rng.Float64()*360)
	cells := &Window{Masks: randomMasks(rng, cols, rows, 3), Cols: cols, Rows: rows, Frame: f}
	cx, cy := float64(cols)*rng.Float64(), float64(rows)*rng.Float64()
	corners := 3 + rng.IntN(20)
	rings := [][][2]float64{star(rng, cx, cy, 2, 8, corners)}
	if corners > 7 && rng.IntN(2) == 0 { // fewer may leave the middle outside
		rings = append(rings, star(rng, cx, cy, 0.1, 0.9, 3+rng.IntN(5)))
	}
	p := orb.MultiPolygon{toGround(f, unit, rings...)}
	if rng.IntN(3) == 0 {
		p = append(p, toGround(f, unit, star(rng, cx+20, cy, 0.05, 6, 3+rng.IntN(9))))
	}
	return cells, p
}

func TestCutRandom(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	for i := range 400 {
		unit := []float64{1e9, 1e13}[i%2]
		cells, p := randomCase(t, rng, unit)
		cov, err := cutAt(cells, p, unit)
		require.NoError(t, err, "round %d", i)
		checkCoverage(t, cov, cells, p)
	}
}
