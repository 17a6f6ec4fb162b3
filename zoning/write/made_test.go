package write

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/trafficability"
)

// lotOf is a parcel given by rings of cell coordinates of a grid.
func lotOf(g *terrain.Grid, rings ...[][2]float64) zoning.Parcel {
	return zoning.Parcel{Lot: "L", Ground: orb.MultiPolygon{toGround(g.Frame, 1e9, rings...)}}
}

func rectangle(c0, r0, c1, r1 float64) [][2]float64 {
	return [][2]float64{{c0, r1}, {c1, r1}, {c1, r0}, {c0, r0}}
}

// mapLot classifies a grid and maps one parcel of it.
func mapLot(t testing.TB, g *terrain.Grid, fleet []zoning.Machine, p zoning.Parcel) zoning.LotMap {
	t.Helper()
	field := must(slope.Of(g))
	cells := &zoning.Cells{Window: coverage.Window{Masks: make([]zoning.Mask, g.Cols*g.Rows), Cols: g.Cols, Rows: g.Rows, Col0: g.Col0, Row0: g.Row0, Frame: g.Frame}}
	require.NoError(t, trafficability.Stand(field, fleet, cells.Masks))
	lot, err := zoning.MapLot(cells, field, fleet, nil, p)
	require.NoError(t, err)
	var sum float64
	for _, z := range lot.Zones {
		sum += z.Acres
		require.InEpsilon(t, coverage.Acres(z.Ground), z.Acres, 1e-9, "the acres beside an outline are what it measures")
	}
	require.InEpsilon(t, lot.Acres, sum, 1e-9, "the zones are the parcel")
	return lot
}

func lotZone(t testing.TB, lot zoning.LotMap, fleet []zoning.Machine, key string) zoning.Zone {
	t.Helper()
	for _, z := range lot.Zones {
		if zoning.Fleet(fleet).Bands()[z.Band].Key == key {
			return z
		}
	}
	require.Fail(t, "no such zone", key)
	return zoning.Zone{}
}

// stepped rises by 20%, 40% and 70% in thirds of its columns.
func stepped(t testing.TB) *terrain.Grid {
	const cols, rows = 30, 12
	z := make([]float32, cols*rows)
	for r := range rows {
		h := 0.0
		for c := range cols {
			z[r*cols+c] = float32(h)
			h += []float64{2, 4, 7}[c/10]
		}
	}
	g, err := terrain.NewGrid(z, cols, rows, 10, 10)
	require.NoError(t, err)
	return g
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
