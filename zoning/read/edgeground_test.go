package read

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/paulmach/orb"
	"github.com/pymaxion/geographiclib-go/geodesic"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// laid makes a lot of rings in metres east and north of a place, as parts
// without holes unless holes is set. Its metres are those of GeographicLib's
// geodesics along the parallel and the meridian there.
func laid(lon, lat float64, holes bool, rings ...[][2]float64) zoning.Parcel {
	const step = 1e-3
	east := geodesic.WGS84.Inverse(lat, 0, lat, step).S12 / step
	north := geodesic.WGS84.Inverse(lat-step/2, 0, lat+step/2, 0).S12 / step
	var polys orb.MultiPolygon
	for i, r := range rings {
		var ring orb.Ring
		for _, xy := range r {
			at := lon + xy[0]/east
			ring = append(ring, orb.Point{shortWay(at), lat + xy[1]/north})
		}
		ring = append(ring, ring[0])
		if holes && i > 0 {
			polys[0] = append(polys[0], ring)
		} else {
			polys = append(polys, orb.Polygon{ring})
		}
	}
	wind(polys)
	return zoning.Parcel{Lot: "A", Ground: polys}
}

func square(x, y, side float64) [][2]float64 {
	return [][2]float64{{x, y}, {x + side, y}, {x + side, y + side}, {x, y + side}}
}

func TestEdgeAcresByHand(t *testing.T) {
	const d = 10.0
	quarter := math.Pi / 4 * d * d // of a circle of radius d
	for _, c := range []struct {
		about string
		lot   zoning.Parcel
		m2    float64
	}{
		// Twice the width and height less the corners counted twice: 4ad − 4d².
		{"a square", laid(-120, 45, false, square(-100, -100, 200)), 4*200*d - 4*d*d},
		{"a square in Alaska", laid(-150, 65, false, square(-100, -100, 200)), 4*200*d - 4*d*d},
		{"south of the equator", laid(20, -33, false, square(-100, -100, 200)), 4*200*d - 4*d*d},
		{"on the equator", laid(20, 0, false, square(-100, -100, 200)), 4*200*d - 4*d*d},
		// Of an L the core is an L whose inner corner is round: at the reflex
		// corner the strips leave a d × d square of which a quarter circle is edge.
		{"an L", laid(-120, 45, false, [][2]float64{{0, 0}, {200, 0}, {200, 100}, {100, 100}, {100, 200}, {0, 200}}),
			200*200 - 100*100 - ((200-2*d)*(100-2*d) + (100-2*d)*100 + d*d - quarter)},
		// A hole's line has the edge ground outside it, with round corners.
		{"a hole", laid(-120, 45, true, square(-100, -100, 200), square(-20, -20, 40)),
			4*200*d - 4*d*d + 4*40*d + 4*quarter},
		{"two lots that share an edge", laid(-120, 45, false, square(-100, -100, 100), square(0, -100, 100)),
			2*(200+100)*d - 4*d*d},
		{"two lots that share half an edge", laid(-120, 45, false, square(-100, -100, 100), square(0, -50, 100)),
			700*d - 6*d*d + 2*quarter},
		// The corner that only one part has is rounded off the other's edge.
		{"parts along a slanted edge", laid(-120, 45, false, [][2]float64{{0, 0}, {60, 0}, {60 + 80./3, 100. / 3}, {140, 100}, {0, 100}},
			[][2]float64{{60, 0}, {200, 0}, {200, 100}, {140, 100}}), 600*d - 4*d*d},
		{"two lots apart", laid(-120, 45, false, square(-100, -100, 90), square(0, -100, 90)), 2 * (4*90*d - 4*d*d)},
		{"no wider than twice the inset", laid(-120, 45, false, square(-9.99, -9.99, 19.98)), 19.98 * 19.98},
		{"a strip of 15 m", laid(-120, 45, false, [][2]float64{{0, 0}, {300, 0}, {300, 15}, {0, 15}}), 300 * 15},
		{"a tiny lot", laid(-120, 45, false, square(0, 0, 1)), 1},
		{"a tiny core", laid(-120, 45, false, square(-10.1, -10.1, 20.2)), 20.2*20.2 - 0.2*0.2},
	} {
		t.Run(c.about, func(t *testing.T) {
			edge, acres, err := edgeGround(c.lot, d)
			require.NoError(t, err)
			requireSound(t, zoning.Lot{Parcel: zoning.Parcel{Lot: "A", Ground: edge}})
			assert.Equal(t, coverage.Acres(edge), acres)
			// The chords round a corner, and the closing of slits of 1 mm.
			assert.InEpsilon(t, c.m2, acres*terrain.SquareMetresPerAcre, 1e-4)
		})
	}
}

func TestNoInsetNoEdge(t *testing.T) {
	lot := laid(-120, 45, false, square(0, 0, 100))
	edge, acres, err := edgeGround(lot, 0)
	require.NoError(t, err)
	assert.Empty(t, edge)
	assert.Zero(t, acres)
	for _, bad := range []float64{-1, math.NaN(), math.Inf(1)} {
		_, _, err = edgeGround(lot, bad)
		assert.ErrorContains(t, err, "lot A: an inset of")
	}
	_, _, err = edgeGround(zoning.Parcel{Lot: "A", Ground: box(0, 40, 1, 45)}, 1)
	assert.ErrorContains(t, err, "lot A: reaches from latitude 40 to 45, too far for distances from its line: cut it into parts")
	_, _, err = edgeGround(zoning.Parcel{Lot: "A", Ground: box(0, 89.99, 10, 90)}, 1)
	assert.Error(t, err)
}

// The antimeridian is no boundary: a square across it has the edge ground of
// one that is not cut.
func TestEdgeAcrossTheAntimeridian(t *testing.T) {
	for _, ring := range []string{
		"179.995 50, -179.995 50, -179.995 50.01, 179.995 50.01, 179.995 50",
		"179.996 50.001, -179.993 50.002, -179.995 50.011, 179.994 50.012, 179.996 50.001",
	} {
		lot := readShape(t, polygon(ring))
		require.NoError(t, lot.Err)
		require.Len(t, lot.Ground, 2)
		edge, acres, err := edgeGround(lot.Parcel, 10)
		require.NoError(t, err)
		requireSound(t, zoning.Lot{Parcel: zoning.Parcel{Ground: edge}})
		there := lot.Ground.Clone()
		for i := range there { // 170 degrees to the west
			for _, r := range there[i] {
				for k := range r {
					r[k][0] = math.Mod(r[k][0]+360, 360) - 170
				}
			}
		}
		_, want, err := edgeGround(zoning.Parcel{Ground: there}, 10)
		require.NoError(t, err)
		assert.InEpsilon(t, want, acres, 1e-5, "corners at the cut have 9 decimals")
	}
	// Its perimeter is 2 × (1112.6 + 716.9) m (geodesics), less four corners.
	lot := readShape(t, polygon("179.995 50, -179.995 50, -179.995 50.01, 179.995 50.01, 179.995 50"))
	_, acres, err := edgeGround(lot.Parcel, 10)
	require.NoError(t, err)
	height := geodesic.WGS84.Inverse(50, 0, 50.01, 0).S12
	width := geodesic.WGS84.Inverse(50.005, 0, 50.005, 0.01).S12
	assert.InEpsilon(t, 2*(height+width)*10-4*100, acres*terrain.SquareMetresPerAcre, 1e-4)
}

// Of random points in random lots, those in the edge ground are those that
// GeographicLib finds within the inset of the line.
func TestEdgeGroundIsWithinTheInset(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for trial := range 10 {
		lon, lat := -180+360*r.Float64(), -65+130*r.Float64()
		var shell, hole [][2]float64
		n := 5 + r.IntN(20)
		for i := range n {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			out, in := 80+200*r.Float64(), 20+20*r.Float64()
			shell, hole = append(shell, [2]float64{out * cos, out * sin}), append(hole, [2]float64{in * cos, in * sin})
		}
		lot := laid(lon, lat, true, shell, hole)
		const inset = 12.0
		edge, _, err := edgeGround(lot, inset)
		require.NoError(t, err)
		requireSound(t, zoning.Lot{Parcel: zoning.Parcel{Ground: edge}})
		b := lot.Ground.Bound()
		sampled, near := 0, 0
		for sampled < 60 {
			p := orb.Point{b.Min[0] + r.Float64()*(b.Max[0]-b.Min[0]), b.Min[1] + r.Float64()*(b.Max[1]-b.Min[1])}
			if in, _ := encloses(lot.Ground[0], p); !in {
				continue
			}
			sampled++
			d := geodesicToLine(lot.Ground[0], p)
			if math.Abs(d-inset) < 0.011*inset { // what the docs admit
				continue
			}
			if d < inset {
				near++
			}
			got := false
			for _, poly := range edge {
				in, _ := encloses(poly, p)
				got = got || in
			}
			require.Equal(t, d < inset, got, "trial %d: %v is %.3f m from the line", trial, p, d)
		}
		require.Positive(t, near)
	}
}

// geodesicToLine is the least distance from a point to the line. Along an edge
// it falls and then rises: thirds of it close in on the nearest place.
func geodesicToLine(poly orb.Polygon, p orb.Point) float64 {
	least := math.Inf(1)
	for _, ring := range poly {
		for i := 1; i < len(ring); i++ {
			a, b := ring[i-1], ring[i]
			at := func(f float64) float64 {
				return geodesic.WGS84.Inverse(p[1], p[0], a[1]+f*(b[1]-a[1]), a[0]+f*(b[0]-a[0])).S12
			}
			from, to := 0.0, 1.0
			for range 30 {
				l, r := from+(to-from)/3, to-(to-from)/3
				if at(l) < at(r) {
					to = r
				} else {
					from = l
				}
			}
			least = min(least, at(from))
		}
	}
	return least
}

// Edge ground and the rest are the parcel.
func TestEdgeAndCoreAddUp(t *testing.T) {
	lots, err := Read(t.Context(), "testdata/lots_usft.zip", Options{})
	require.NoError(t, err)
	for _, lot := range lots {
		for _, q := range []zoning.BoundaryQuality{zoning.Surveyed, zoning.County, zoning.Sketched} {
			edge, acres, err := edgeGround(lot.Parcel, q.InsetM())
			require.NoError(t, err)
			core, err := difference(lot.Ground, edge)
			require.NoError(t, err)
			assert.InEpsilon(t, coverage.Acres(lot.Ground), acres+coverage.Acres(core), 1e-9)
		}
	}
}

func TestQuality(t *testing.T) {
	for word, want := range map[string]float64{"surveyed": 0.3048, "county": 3.048, "sketched": 9.144} {
		q, err := zoning.BoundaryQualityOf(word)
		require.NoError(t, err)
		assert.InDelta(t, want, q.InsetM(), 1e-12)
		assert.Equal(t, fmt.Sprintf("%s boundary, taken as good to %.0f ft (common practice, no published source)", word, want/0.3048), q.Words(measure.US))
	}
	_, err := zoning.BoundaryQualityOf("")
	assert.EqualError(t, err, `"" is no quality of a boundary: say surveyed, county or sketched`)
	assert.Zero(t, zoning.BoundaryQuality("guessed").InsetM())
}
