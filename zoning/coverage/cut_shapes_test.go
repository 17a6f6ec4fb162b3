//go:build cgo

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

// cutters in cell coordinates over a 3×3 window, chosen to be awkward: through
// nodes, along grid lines, tangent to them, inside one cell, far outside.
func cutters(angle float64) map[string][][2]float64 {
	turned := func(ring [][2]float64) [][2]float64 {
		s, c := math.Sincos(angle)
		out := make([][2]float64, len(ring))
		for i, p := range ring {
			x, y := p[0]-1.5, p[1]-1.5
			out[i] = [2]float64{1.5 + c*x - s*y, 1.5 + s*x + c*y}
		}
		return out
	}
	return map[string][][2]float64{
		"whole cells":      {{0, 0}, {3, 0}, {3, 3}, {0, 3}},
		"one cell":         {{1, 1}, {2, 1}, {2, 2}, {1, 2}},
		"within a cell":    {{1.2, 1.3}, {1.8, 1.2}, {1.6, 1.9}},
		"through nodes":    {{0, 1}, {1, 0}, {3, 2}, {2, 3}},
		"diagonal of one":  {{1, 1}, {2, 2}, {1, 2}},
		"along grid lines": {{0, 0}, {2, 0}, {2, 1}, {3, 1}, {3, 3}, {1, 3}, {1, 2}, {0, 2}},
		"corner on a side": {{1, 0.5}, {2.5, 1}, {1.5, 2}, {0, 1.5}},
		"bigger":           {{-1.5, -1.2}, {4.6, -0.7}, {4.1, 4.4}, {-0.9, 4.9}},
		"turned":           turned([][2]float64{{0.3, 0.3}, {2.7, 0.3}, {2.7, 2.7}, {0.3, 2.7}}),
	}
}

func TestCutAllMasksOfThreeByThree(t *testing.T) {
	for bits := range 512 {
		masks := make([]Mask, 9)
		for i := range masks {
			masks[i] = Mask(bits >> i & 1)
		}
		angle := float64(bits) * 0.7
		f := tilted(t, -105, 40, testCell, []float64{0, 30, 90, 211}[bits%4])
		cells := &Window{Masks: masks, Cols: 3, Rows: 3, Frame: f}
		for name, ring := range cutters(angle) {
			p := orb.MultiPolygon{toGround(f, 1e9, ring)}
			cov, err := Cut(cells, p)
			require.NoError(t, err, "%s, masks %09b", name, bits)
			classes := checkCoverage(t, cov, cells, p)
			if bits%16 == 5 {
				checkAgainstGEOS(t, classes, p, 1e9, 1e-4)
			}
		}
	}
}

// Cells that meet only at a corner stay apart: a chessboard is single cells.
func TestCutChessboardIsFourConnected(t *testing.T) {
	f := tilted(t, -105, 40, testCell, 0)
	masks := make([]Mask, 64)
	for i := range masks {
		masks[i] = Mask((i + i/8) & 1)
	}
	cells := &Window{Masks: masks, Cols: 8, Rows: 8, Frame: f}
	p := orb.MultiPolygon{toGround(f, 1e9, [][2]float64{{0, 0}, {8, 0}, {8, 8}, {0, 8}})}
	cov, err := Cut(cells, p)
	require.NoError(t, err)
	classes := checkCoverage(t, cov, cells, p)
	assert.Len(t, classes[0], 32)
	assert.Len(t, classes[1], 32)
	for _, poly := range classes[1] {
		assert.Len(t, poly, 1)
		assert.Len(t, poly[0], 5)
	}
}

// A ring of cells closed at a corner has a hole that touches its shell there.
func TestCutRingTouchingItself(t *testing.T) {
	f := tilted(t, -105, 40, testCell, 0)
	masks := []Mask{
		0, 0, 0, 0, 0,
		0, 1, 1, 1, 0,
		0, 1, 0, 1, 0,
		0, 1, 1, 0, 0,
		0, 0, 0, 0, 0,
	}
	cells := &Window{Masks: masks, Cols: 5, Rows: 5, Frame: f}
	p := orb.MultiPolygon{toGround(f, 1e9, [][2]float64{{0, 0}, {5, 0}, {5, 5}, {0, 5}})}
	cov, err := Cut(cells, p)
	require.NoError(t, err)
	classes := checkCoverage(t, cov, cells, p)
	checkAgainstGEOS(t, classes, p, 1e9, 1e-4)
	require.Len(t, classes[1], 1)
	assert.Len(t, classes[1][0], 2, "a shell and a hole that meet at a corner")
	assert.Len(t, classes[0], 2)
}

func TestCutKeepsTheOwnersCornersAndEdges(t *testing.T) {
	f := tilted(t, -105, 40, testCell, 17)
	cells := &Window{Masks: make([]Mask, 400), Cols: 20, Rows: 20, Frame: f}
	p := orb.MultiPolygon{toGround(f, 1e9, [][2]float64{{1.3, 2.2}, {17.9, 1.1}, {18.6, 16.2}, {9, 12.5}, {2.2, 18.8}})}
	cov, err := Cut(cells, p)
	require.NoError(t, err)
	out := cov.Outline()
	require.Len(t, out, 1)
	assert.ElementsMatch(t, p[0][0][1:], out[0][0][1:], "one zone: exactly the owner's corners")
}

func TestCutBeyondTheWindowIsUnknown(t *testing.T) {
	f := tilted(t, -105, 40, testCell, 0)
	cells := &Window{Masks: []Mask{1, 1, 1, 1}, Cols: 2, Rows: 2, Frame: f}
	p := orb.MultiPolygon{toGround(f, 1e9, [][2]float64{{1, 0}, {5, 0}, {5, 2}, {1, 2}})}
	cov, err := Cut(cells, p)
	require.NoError(t, err)
	classes := checkCoverage(t, cov, cells, p)
	assert.InEpsilon(t, AreaM2(p)*0.75, AreaM2(classes[7]), 1e-4)
}

// Parts that share an edge are one piece of ground, counted once.
func TestCutJoinsPartsThatShareAnEdge(t *testing.T) {
	f := tilted(t, -105, 40, testCell, 5)
	cells := &Window{Masks: make([]Mask, 36), Cols: 6, Rows: 6, Frame: f}
	west := toGround(f, 1e9, [][2]float64{{0.5, 0.5}, {2.7, 0.5}, {2.4, 5.5}, {0.5, 5.5}})
	eastern := toGround(f, 1e9, [][2]float64{{2.7, 0.5}, {5.5, 0.5}, {5.5, 5.5}, {2.4, 5.5}})
	cov, err := Cut(cells, orb.MultiPolygon{west, eastern})
	require.NoError(t, err)
	out := cov.Outline()
	require.Len(t, out, 1)
	assert.InEpsilon(t, AreaM2(orb.MultiPolygon{west})+AreaM2(orb.MultiPolygon{eastern}), AreaM2(out), 1e-6)
}

func TestCutAcrossTheAntimeridian(t *testing.T) {
	f := tilted(t, 180-3*testCell, 50, testCell, 0)
	masks := make([]Mask, 36)
	for i := range masks {
		masks[i] = Mask(i % 6 / 2)
	}
	cells := &Window{Masks: masks, Cols: 6, Rows: 6, Frame: f}
	box := func(w, e float64) orb.Polygon {
		s, n := 50-5*testCell, 50-testCell
		return orb.Polygon{{{w, s}, {e, s}, {e, n}, {w, n}, {w, s}}}
	}
	p := orb.MultiPolygon{box(180-2.5*testCell, 180), box(-180, -180+2.5*testCell)}
	cov, err := Cut(cells, p)
	require.NoError(t, err)
	classes := checkCoverage(t, cov, cells, p)
	require.Len(t, classes[1], 2, "the middle band has a part on either side")
	for _, mp := range classes {
		for _, poly := range mp {
			b := poly.Bound()
			assert.True(t, b.Min[0] >= -180 && b.Max[0] <= 180)
			assert.Less(t, b.Max[0]-b.Min[0], 1.0)
		}
	}
}

// Edges closer than a unit, slivers thinner than one, spikes and doubled
// vertices: what rounding would tangle stays valid.
func TestCutNearCoincidence(t *testing.T) {
	rng := rand.New(rand.NewPCG(15, 16))
	for i := range 400 {
		f := tilted(t, -105, 40, testCell, rng.Float64()*360)
		cells := &Window{Masks: randomMasks(rng, 6, 6, 3), Cols: 6, Rows: 6, Frame: f}
		// Corners on nodes or sides, moved by a few units of 1e-4 cells each.
		var ring [][2]float64
		for _, p := range star(rng, 3, 3, 1, 3.4, 4+rng.IntN(12)) {
			if rng.IntN(2) == 0 {
				p[0] = math.Round(p[0])
			}
			if rng.IntN(2) == 0 {
				p[1] = math.Round(p[1])
			}
			ring = append(ring, [2]float64{p[0] + float64(rng.IntN(5)-2)*1e-4, p[1] + float64(rng.IntN(5)-2)*1e-4})
		}
		p := orb.MultiPolygon{toGround(f, 1e9, ring)}
		cov, err := Cut(cells, p)
		if err != nil {
			require.ErrorIs(t, err, ErrNoGround)
			continue
		}
		valid := geos(t, p, 1e9, p[0][0][0])
		if valid.Valid() {
			checkAgainstGEOS(t, checkCoverage(t, cov, cells, p), p, 1e9, 1e-3)
		} else {
			// The winding rule decides; what comes out is valid all the same.
			for _, mp := range cov.Polygons(8, byMask) {
				if len(mp) > 0 {
					g := geos(t, mp, 1e9, p[0][0][0])
					require.True(t, g.Valid(), "round %d", i)
					g.Close()
				}
			}
		}
		valid.Close()
	}
}

func TestCutRefusals(t *testing.T) {
	f := tilted(t, -105, 40, testCell, 0)
	cells := &Window{Masks: make([]Mask, 4), Cols: 2, Rows: 2, Frame: f}
	_, err := Cut(cells, orb.MultiPolygon{toGround(f, 1e9, [][2]float64{{0, 0}, {1, 1}})})
	assert.ErrorIs(t, err, ErrNoGround)
	// NaN once made the search for touched cells begin at the least integer.
	for _, bad := range []float64{math.NaN(), math.Inf(1), 1e300} {
		_, err = Cut(cells, orb.MultiPolygon{{{{-105, 40}, {bad, 40}, {-105, 41}, {-105, 40}}}})
		assert.ErrorIs(t, err, ErrNotFinite)
	}
	far := orb.MultiPolygon{{{{-105, 40}, {-104, 40}, {-104, 41}, {-105, 41}, {-105, 40}}}}
	_, err = Cut(cells, far)
	assert.ErrorIs(t, err, ErrTooLarge)
	tiny := &Window{Masks: make([]Mask, 4), Cols: 2, Rows: 2, Frame: tilted(t, -105, 40, 1e-7, 0)}
	_, err = Cut(tiny, orb.MultiPolygon{toGround(tiny.Frame, 1e9, [][2]float64{{0, 0}, {2, 0}, {2, 2}})})
	assert.ErrorIs(t, err, ErrCellSize)
}

// A spike, out and back within a unit, once came out as a ring of two corners:
// with the vertices on cell sides left out, both ways were the same edge.
func TestCutSpikeKeepsItsVertices(t *testing.T) {
	f := tilted(t, -105, 40, testCell, 3)
	cells := &Window{Masks: make([]Mask, 16), Cols: 4, Rows: 4, Frame: f}
	p := orb.MultiPolygon{toGround(f, 1e9,
		[][2]float64{{-0.9999, -0.9999}, {-0.9999, 1.75}, {-0.9999, 0.25}, {0.5, 0.5}})}
	cov, err := Cut(cells, p)
	require.NoError(t, err)
	for _, mp := range cov.Polygons(8, byMask) {
		if len(mp) > 0 {
			g := geos(t, mp, 1e9, p[0][0][0])
			assert.True(t, g.Valid())
			g.Close()
		}
	}
}

// A grid made of bare metres once lay 0.67 % too flat in latitude: its slopes
// were right and its acres were not.
func TestAcresOnAGridOfMetres(t *testing.T) {
	const n = 80
	g, err := terrain.NewGrid(make([]float32, n*n), n, n, 1, 1)
	require.NoError(t, err)
	cells := &Window{Masks: make([]Mask, n*n), Cols: n, Rows: n, Frame: g.Frame}
	p := orb.MultiPolygon{toGround(g.Frame, 1e9, [][2]float64{{0, 0}, {n, 0}, {n, n}, {0, n}})}
	cov, err := Cut(cells, p)
	require.NoError(t, err)
	assert.InEpsilon(t, n*n, cov.M2(), 2e-6)
}
