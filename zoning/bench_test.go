package zoning

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning/coverage"
)

// roughLot is a 45-acre lot on rough made ground, on metre cells.
func roughLot(b testing.TB) (*Cells, *slope.Field, []Machine, Parcel) {
	const n = 500
	z := make([]float32, n*n)
	for i := range z {
		x, y := float64(i%n), float64(i/n)
		h := 25*math.Sin(x/70)*math.Cos(y/55) + 4*math.Sin(x/9+y/13) + 0.8*math.Sin(x/2.3)*math.Cos(y/2.9)
		z[i] = float32(h + 0.05*math.Sin(float64(i)*12.9898))
	}
	f, err := terrain.NewFrame(64, 0, 0, n, n, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			out[i] = [2]float64{-105 + c[0]*1.17e-5, 40 - c[1]*0.9e-5}
		}
		return out, nil
	})
	require.NoError(b, err)
	g := &terrain.Grid{Z: z, Cols: n, Rows: n, Stride: n, Frame: f}
	field := must(slope.Of(g))
	fleet := []Machine{{Key: "a", LimitPct: 30}, {Key: "b", LimitPct: 40, ProcedureAbovePct: 35}, {Key: "c", LimitPct: 100}}
	cells := &Cells{Window: coverage.Window{Masks: make([]Mask, n*n), Cols: n, Rows: n, Frame: f}}
	stand(field, fleet, cells.Masks)
	var ring orb.Ring
	for i := range 13 {
		s, c := math.Sincos(2 * math.Pi * float64(i%12) / 12)
		r := 225 + 25*math.Cos(float64(i%12)*2.5)
		lon, lat := f.LonLat(250+r*c, 250+r*s)
		ring = append(ring, orb.Point{lon, lat})
	}
	return cells, field, fleet, Parcel{Lot: "rough", Ground: orb.MultiPolygon{{ring}}}
}

func BenchmarkMapLot(b *testing.B) {
	cells, field, fleet, p := roughLot(b)
	for b.Loop() {
		_, err := MapLot(cells, field, fleet, nil, p)
		require.NoError(b, err)
	}
	b.ReportMetric(float64(len(cells.Masks))*float64(b.N)/b.Elapsed().Seconds()/1e6, "Mcells/s")
}

func BenchmarkSimplify(b *testing.B) {
	cells, _, fleet, p := roughLot(b)
	cov, err := coverage.Cut(&cells.Window, p.Ground)
	require.NoError(b, err)
	for b.Loop() {
		cov.Simplify(&cells.Window, len(fleet), 5*MetresPerFoot)
	}
}
