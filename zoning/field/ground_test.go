package field_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/field"
	"github.com/acreband/acreband/zoning/trafficability"
)

// An invented fleet, the one to send first standing first.
var machines = []zoning.Machine{
	{Key: "loader", Name: "Loader", LimitPct: 30, Wet: zoning.Limits{AlongPct: 20}},
	{Key: "boom", Name: "Boom", LimitPct: 40, Wet: zoning.Limits{AlongPct: 25}},
	{Key: "crawler", Name: "Crawler", LimitPct: 70},
}

// groundOf is a map of invented heights on square cells, the lot being a box that
// lies in by so many cells on every side.
func groundOf(t testing.TB, cols, rows int, cellM float64, inset float64, height func(x, y float64) float64) field.Ground {
	t.Helper()
	z := make([]float32, cols*rows)
	for i := range z {
		z[i] = float32(height((float64(i%cols)+0.5)*cellM, (float64(i/cols)+0.5)*cellM))
	}
	grid, err := terrain.NewGrid(z, cols, rows, cellM, cellM)
	require.NoError(t, err)
	slopes := must(slope.Of(grid))
	cells := &zoning.Cells{Window: coverage.Window{Masks: make([]zoning.Mask, len(z)), Cols: cols, Rows: rows, Frame: grid.Frame}}
	trafficability.Stand(slopes, machines, cells.Masks)
	g := field.Ground{Cells: cells, Grid: grid, Field: slopes, Fleet: machines, On: zoning.Dry}
	g.Lots = []zoning.LotMap{lotOf(t, g, "Tarn Hollow", inset, inset, float64(cols)-inset, float64(rows)-inset)}
	return g
}

// lotOf maps the box between two corners in cells.
func lotOf(t testing.TB, g field.Ground, name string, c0, r0, c1, r1 float64) zoning.LotMap {
	t.Helper()
	west, north := g.Cells.Frame.LonLat(c0, r0)
	east, south := g.Cells.Frame.LonLat(c1, r1)
	lot, err := zoning.MapLot(g.Cells, g.Field, machines, nil, zoning.Parcel{Lot: name, Ground: orb.MultiPolygon{{{
		{west, south}, {east, south}, {east, north}, {west, north}, {west, south},
	}}}})
	require.NoError(t, err)
	return lot
}

// hills roll up to some 90%.
func hills(x, y float64) float64 {
	return 200 + 12*math.Sin(x/19)*math.Cos(y/31) + 6*math.Sin(x/47+y/23)
}

// cellOf is the cell a place lies in.
func cellOf(g field.Ground, p orb.Point) (col, row int) {
	c, r := g.Cells.Frame.Cell(p[0], p[1])
	return int(math.Floor(c)), int(math.Floor(r))
}

func bandKey(g field.Ground, p orb.Point) string {
	col, row := cellOf(g, p)
	return zoning.Fleet(machines).Bands()[zoning.Fleet(machines).Band(g.Cells.Masks[row*g.Cells.Cols+col])].Key
}
