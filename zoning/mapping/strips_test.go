package mapping_test

import (
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
)

// draw is a lot of 200 × 200 m in a valley that falls southward by 4%, with sides of 12%, on
// cells of 2 m: its bed lies in the middle.
func draw(t *testing.T) *mapping.Ground {
	t.Helper()
	const n, degree = 150, 111319.49
	frame, err := terrain.NewFrame(64, 0, 0, n, n, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			out[i] = [2]float64{2 * c[0] / degree, -2 * c[1] / degree}
		}
		return out, nil
	})
	require.NoError(t, err)
	z := make([]float32, n*n)
	for i := range z {
		x, y := 2*float64(i%n-n/2), 2*float64(i/n)
		z[i] = float32(0.12*max(x, -x) - 0.04*y)
	}
	e := &terrain.Elevation{
		Grid:    &terrain.Grid{Z: z, Cols: n, Rows: n, Stride: n, Frame: frame},
		Sources: []terrain.Source{{Path: "a draw", CellM: [2]float64{2, 2}}},
	}
	at := func(x, y float64) orb.Point { return orb.Point{x / degree, -y / degree} }
	lot := orb.Polygon{{at(50, 250), at(250, 250), at(250, 50), at(50, 50), at(50, 250)}}
	g, err := mapping.NewGround(e, []zoning.Lot{{Parcel: zoning.Parcel{Lot: "1", Ground: orb.MultiPolygon{lot}}}}, nil)
	require.NoError(t, err)
	return g
}

// With no rule chosen the published strip is proposed with the acres it would take, and takes
// none; chosen, it takes them. By hand: sides of 12% ask for 50 + 2 · 2 = 54 ft along the
// slope (Filter Strip Width Guide), 16.3 m on the map, on either side of what of the bed has 3
// acres of flow: 12 141 m² of a valley 300 m wide are gathered 40 m below its head, before
// the lot begins, so that the strip is 200 m long: 2 · 16.3 · 200 m² = 1.6 acres.
func TestStripsAlongDrainage(t *testing.T) {
	g := draw(t)
	proposed, err := mapping.Map(t.Context(), g, fleet.Default(), mapping.Options{})
	require.NoError(t, err)
	assert.Zero(t, proposed.LostAcres()[0][zoning.InSetback])
	assert.Empty(t, proposed.DrainageSetback)
	acres := 0.0
	for _, h := range proposed.Hazards {
		if h.Kind == zoning.ProposedStrip {
			assert.Contains(t, h.Words, "proposed by filter-strip and not applied: 1.6")
			assert.Contains(t, h.Kind.Caution(), "not applied")
			assert.False(t, h.Kind.IsDanger())
			acres++
		}
	}
	assert.Equal(t, 1.0, acres, "one strip")
	assert.Contains(t, strings.Join(proposed.Assumed, "\n"), "no setback from drainage is chosen: strips along drainage lines with 3 acres of flow or more, filter-strip, would take 1.6")

	applied, err := mapping.Map(t.Context(), g, fleet.Default(), mapping.Options{DrainageSetback: "filter-strip"})
	require.NoError(t, err)
	assert.InDelta(t, 1.61, applied.LostAcres()[0][zoning.InSetback], 0.1)
	assert.Equal(t, "filter-strip", applied.DrainageSetback)
	assert.Contains(t, strings.Join(applied.Assumed, "\n"), "filter-strip, are kept out of: the setback of the job")
	for _, h := range applied.Hazards {
		assert.NotEqual(t, zoning.ProposedStrip, h.Kind)
	}
	words, err := g.Why(applied, orb.Point{155 / 111319.49, -150 / 111319.49})
	require.NoError(t, err)
	assert.Contains(t, words[1], "no: within the strip that the job keeps along drainage lines (filter-strip)")

	wide, err := mapping.Map(t.Context(), g, fleet.Default(), mapping.Options{DrainageSetback: "100ft"})
	require.NoError(t, err)
	assert.InDelta(t, 2*30.48*200/terrain.SquareMetresPerAcre, wide.LostAcres()[0][zoning.InSetback], 0.15)
}

// What cannot be read is refused, and what is not looked for is not passed over.
func TestStripsThatCannotBeLaid(t *testing.T) {
	g := draw(t)
	_, err := mapping.Map(t.Context(), g, fleet.Default(), mapping.Options{DrainageSetback: "50"})
	assert.ErrorContains(t, err, "DrainageSetback: ")
	m, err := mapping.Map(t.Context(), g, fleet.Default(), mapping.Options{DrainageSetback: "filter-strip", SlopeOnly: true})
	require.NoError(t, err)
	assert.Contains(t, strings.Join(m.Warnings, "\n"), "filter-strip, are not applied: drainage is looked for neither by slope alone")
	m, err = mapping.Map(t.Context(), g, fleet.Default(), mapping.Options{SlopeOnly: true})
	require.NoError(t, err)
	assert.NotContains(t, strings.Join(append(m.Assumed, m.Warnings...), "\n"), "strips")
}
