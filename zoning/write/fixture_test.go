package write_test

import (
	"bytes"
	"io"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/trafficability"
	"github.com/acreband/acreband/zoning/write"
)

// Names as strangers write them.
const (
	quotedLot  = `Tarn "A" <&> Hollow, 'north'`
	foreignLot = "=Сосновый бор\n松林"
)

var fleet = []zoning.Machine{
	{Key: "loader", Name: `Loader & "grapple"`, LimitPct: 30, Caution: "Mind the <anchor>."},
	{Key: "boom", Name: "Boom, head", LimitPct: 50, ProcedureAbovePct: 35},
	{Key: "crawler", Name: "Краулер", LimitPct: 65, ProcedureAbovePct: 55, TetherAbovePct: 60},
}

// made is a map of two lots that share a side, the first with a hole, on ground
// of 10 m cells that steepens eastward from 20 to 70%; with voids and a patch of
// no-go.
type made struct {
	zm    *zoning.ZoneMap
	cells *zoning.Cells
	field *slope.Field
}

func newMap(t testing.TB) made {
	t.Helper()
	const cols, rows = 30, 20
	heights := make([]float32, cols*rows)
	for i := range heights {
		c := float64(i % cols)
		heights[i] = float32(100 + 2*c + 0.09*c*c)
	}
	heights[3*cols+4] = float32(math.NaN())
	g, err := terrain.NewGrid(heights, cols, rows, 10, 10)
	require.NoError(t, err)
	m := made{field: must(slope.Of(g))}
	m.cells = &zoning.Cells{Window: coverage.Window{Masks: make([]zoning.Mask, cols*rows), Cols: cols, Rows: rows, Frame: g.Frame}}
	trafficability.Stand(m.field, fleet, m.cells.Masks)
	for _, i := range []int{12*cols + 6, 12*cols + 7, 13*cols + 6} {
		m.cells.Masks[i] = zoning.NoGo
	}
	m.zm = &zoning.ZoneMap{
		Fleet: fleet, Cautions: zoning.Cautions(measure.US), Boundary: "sketched (30 ft)",
		Assumed: []string{"heights are in meters"}, Warnings: []string{"the elevation: whole < meters"},
	}
	for _, p := range []zoning.Parcel{
		{Lot: quotedLot, Ground: orb.MultiPolygon{{box(g, 1.3, 1.2, 15.5, 18.2), hole(g, 3.3, 15.2, 5.8, 17.1)}}},
		{Lot: foreignLot, Ground: orb.MultiPolygon{{box(g, 15.5, 1.2, 28.7, 18.2)}}},
	} {
		lot, err := zoning.MapLot(m.cells, m.field, fleet, []float64{28, 47, 60}, p)
		require.NoError(t, err)
		lot.Place = len(m.zm.Lots) + 1
		lot.EdgeAcres = 0.5
		m.zm.Lots = append(m.zm.Lots, lot)
	}
	m.zm.Lots[1].Notes = []string{"crossed itself", "closed, by \"hand\""}
	return m
}

// box is a ring between two spots of a grid, in cells from the north-west.
func box(g *terrain.Grid, c0, r0, c1, r1 float64) orb.Ring {
	west, north := g.Frame.LonLat(c0, r0)
	east, south := g.Frame.LonLat(c1, r1)
	round := func(v float64) float64 { return math.Round(v*1e9) / 1e9 }
	w, n, e, s := round(west), round(north), round(east), round(south)
	return orb.Ring{{w, s}, {e, s}, {e, n}, {w, n}, {w, s}}
}

func hole(g *terrain.Grid, c0, r0, c1, r1 float64) orb.Ring {
	r := box(g, c0, r0, c1, r1)
	r.Reverse()
	return r
}

var spots = []write.Spot{
	{Kind: write.FieldCheck, Name: "Check 1", Words: "Measure <slope> & note it", At: orb.Point{-0.0005123456789, 0.0002}},
	{Kind: write.Emergency, Name: "Help comes here", At: orb.Point{0.0001, -0.0003}},
	{Kind: "gate", Name: "Gate", Words: "locked", At: orb.Point{0.00001, 0.00002}},
	{Kind: write.FieldCheck, Name: "检查 2", At: orb.Point{0.0002, 0.0001}},
}

// zoneCount is how many zones the map has: what its tests must find again.
func (m made) zoneCount() (n int) {
	for _, lot := range m.zm.Lots {
		n += len(lot.Zones)
	}
	return n
}

// bytesOf runs a writer twice and returns what it wrote, the same each time.
func bytesOf(t testing.TB, write func(io.Writer) error) []byte {
	t.Helper()
	var first, again bytes.Buffer
	require.NoError(t, write(&first))
	require.NoError(t, write(&again))
	require.True(t, bytes.Equal(first.Bytes(), again.Bytes()), "the same bytes each time")
	return first.Bytes()
}
