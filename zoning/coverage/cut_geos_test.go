//go:build cgo

package coverage

import (
	"errors"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// geos is an orb geometry in GEOS, through GDAL, as whole units from an origin
// near it: planar areas of degrees would lose the digits that are compared.
func geos(t testing.TB, mp orb.MultiPolygon, unit float64, origin orb.Point) *godal.Geometry {
	var b strings.Builder
	b.WriteString("MULTIPOLYGON (")
	for i, poly := range mp {
		if i > 0 {
			b.WriteByte(',')
		}
		for j, ring := range poly {
			b.WriteString([]string{"((", ",("}[min(j, 1)])
			for k, p := range ring {
				if k > 0 {
					b.WriteByte(',')
				}
				for d, sep := range []string{" ", ""} {
					v := int64(math.Round(p[d]*unit)) - int64(math.Round(origin[d]*unit))
					b.WriteString(strconv.FormatInt(v, 10) + sep)
				}
			}
			b.WriteByte(')')
		}
		b.WriteByte(')')
	}
	b.WriteByte(')')
	g, err := godal.NewGeometryFromWKT(b.String(), nil)
	require.NoError(t, err)
	return g
}

// checkAgainstGEOS asserts that the classes are valid, do not overlap, and
// together are the parcel: to tol of its area, and to the half unit by which a
// vertex on the boundary is rounded.
func checkAgainstGEOS(t *testing.T, classes []orb.MultiPolygon, p orb.MultiPolygon, unit, tol float64) {
	t.Helper()
	origin := p[0][0][0]
	parcel := geos(t, p, unit, origin)
	defer parcel.Close()
	require.True(t, parcel.Valid(), "the test's own parcel")
	whole := parcel.Area()
	var all *godal.Geometry
	var sum float64
	for i, mp := range classes {
		if len(mp) == 0 {
			continue
		}
		for _, poly := range mp {
			require.Equal(t, orb.CCW, poly[0].Orientation())
			for _, hole := range poly[1:] {
				require.Equal(t, orb.CW, hole.Orientation())
			}
		}
		g := geos(t, mp, unit, origin)
		require.True(t, g.Valid(), "class %d is valid by OGC rules", i)
		sum += g.Area()
		if all == nil {
			all = g
			continue
		}
		both, err := all.Intersection(g)
		require.NoError(t, err)
		require.LessOrEqual(t, both.Area(), tol*whole, "class %d overlaps others", i)
		both.Close()
		next, err := all.Union(g)
		require.NoError(t, err)
		all.Close()
		g.Close()
		all = next
	}
	defer all.Close()
	require.InDelta(t, whole, sum, tol*whole, "areas sum to the parcel's")
	for _, pair := range [][2]*godal.Geometry{{all, parcel}, {parcel, all}} {
		rest, err := pair[0].Difference(pair[1])
		require.NoError(t, err)
		require.LessOrEqual(t, rest.Area(), 0.71*perimeterM(p)/111319*unit, "union is the parcel")
		rest.Close()
	}
}

func TestCutRandomAgainstGEOS(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 14))
	for i := range 300 {
		// At 13 decimals the cut is right to 1e-9 of the area; at the 9 that are
		// written, vertices on the boundary are off by 0.05 mm, on metre cells.
		unit, tol := 1e13, 1e-9
		if i%3 == 0 {
			unit, tol = 1e9, 1e-4
		}
		cells, p := randomCase(t, rng, unit)
		cov, err := cutAt(cells, p, unit)
		require.NoError(t, err, "round %d", i)
		checkAgainstGEOS(t, checkCoverage(t, cov, cells, p), p, unit, tol)
	}
}

// requireTangled requires that a parcel that was refused has no ground, or is none that
// GEOS takes for valid.
func requireTangled(t *testing.T, err error, p orb.MultiPolygon) {
	t.Helper()
	if !errors.Is(err, ErrCrossesItself) {
		require.ErrorIs(t, err, ErrNoGround)
		return
	}
	g := geos(t, p, 1e9, p[0][0][0])
	defer g.Close()
	require.False(t, g.Valid(), "%v", err)
}

// FuzzCut cuts any masks with any ring, tangled ones too: what comes out is
// valid, does not overlap, and where the ring is valid it is the parcel.
func FuzzCut(f *testing.F) {
	f.Add([]byte{3, 0x12, 0x34, 0x56, 0x78, 1, 1, 40, 1, 40, 40, 1, 40})
	f.Add([]byte{7, 0xff, 0x0f, 0xf0, 0xaa, 8, 8, 24, 8, 8, 24, 24, 24})
	f.Add([]byte{0, 1, 2, 3, 4, 0, 0, 47, 47, 47, 0, 0, 47, 20, 20, 21, 20})
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) < 11 || len(data) > 80 {
			return
		}
		frame := tilted(t, -105, 40, testCell, float64(data[0]))
		masks := make([]Mask, 16)
		for i := range masks {
			masks[i] = Mask(data[1+i/4] >> (2 * (i % 4)) & 3)
		}
		cells := &Window{Masks: masks, Cols: 4, Rows: 4, Frame: frame}
		var ring [][2]float64
		for i := 5; i+1 < len(data); i += 2 {
			// Eighths of a cell, and now and then a unit beside them.
			at := func(b byte) float64 { return float64(b>>2)/8 - 1 + float64(b&3)*1e-4 }
			ring = append(ring, [2]float64{at(data[i]), at(data[i+1])})
		}
		p := orb.MultiPolygon{toGround(frame, 1e9, ring)}
		cov, err := Cut(cells, p)
		if err != nil {
			requireTangled(t, err, p)
			return
		}
		var sum float64
		classes := cov.Polygons(8, byMask)
		for i, mp := range classes {
			if len(mp) > 0 {
				g := geos(t, mp, 1e9, p[0][0][0])
				require.True(t, g.Valid(), "class %d", i)
				g.Close()
				sum += AreaM2(mp)
			}
		}
		require.InDelta(t, cov.M2(), sum, 1e-7+1e-9*sum)
		if parcel := geos(t, p, 1e9, p[0][0][0]); parcel.Valid() {
			require.InDelta(t, AreaM2(p), sum, 0.8e-9*111319*perimeterM(p)+1e-7)
			parcel.Close()
		}
	})
}
