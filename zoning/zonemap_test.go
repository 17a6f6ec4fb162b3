package zoning

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning/coverage"
)

// lotOf is a parcel given by rings of cell coordinates of a grid.
func lotOf(g *terrain.Grid, rings ...[][2]float64) Parcel {
	return Parcel{Lot: "L", Ground: orb.MultiPolygon{toGround(g.Frame, 1e9, rings...)}}
}

func rectangle(c0, r0, c1, r1 float64) [][2]float64 {
	return [][2]float64{{c0, r1}, {c1, r1}, {c1, r0}, {c0, r0}}
}

// mapLot classifies a grid and maps one parcel of it.
func mapLot(t testing.TB, g *terrain.Grid, fleet []Machine, p Parcel) LotMap {
	t.Helper()
	field := must(slope.Of(g))
	cells := &Cells{Window: coverage.Window{Masks: make([]Mask, g.Cols*g.Rows), Cols: g.Cols, Rows: g.Rows, Col0: g.Col0, Row0: g.Row0, Frame: g.Frame}}
	stand(field, fleet, cells.Masks)
	lot, err := MapLot(cells, field, fleet, nil, p)
	require.NoError(t, err)
	var sum float64
	for _, z := range lot.Zones {
		sum += z.Acres
		require.InEpsilon(t, coverage.Acres(z.Ground), z.Acres, 1e-9, "the acres beside an outline are what it measures")
	}
	require.InEpsilon(t, lot.Acres, sum, 1e-9, "the zones are the parcel")
	return lot
}

func zoneOf(t testing.TB, lot LotMap, fleet []Machine, key string) Zone {
	t.Helper()
	for _, z := range lot.Zones {
		if Fleet(fleet).Bands()[z.Band].Key == key {
			return z
		}
	}
	require.Fail(t, "no such zone", key)
	return Zone{}
}

// Acres along the slope, √(1+s²) times plan acres: 35% 1.0595, 50% 1.1180.
func TestMapLotSurfaceAcres(t *testing.T) {
	for pct, want := range map[float64]float64{0: 1, 35: 1.0595, 50: 1.1180, 100: math.Sqrt2} {
		for azimuth := 0.0; azimuth < 360; azimuth += 45 {
			g := plane(t, 30, 30, 5, pct/100, azimuth, 100)
			lot := mapLot(t, g, fleetOf(150), lotOf(g, [][2]float64{{2.3, 4.1}, {20.2, 27.7}, {26.4, 9.9}}))
			require.Len(t, lot.Zones, 1)
			z := lot.Zones[0]
			assert.InDelta(t, want, z.SurfaceAcres/z.Acres, 5e-5, "%g%%", pct)
			assert.InDelta(t, pct, z.SlopeMeanPct, 1e-3)
			assert.InDelta(t, pct, z.SlopeMaxPct, 3e-3)
		}
	}
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

func TestMapLotPartsAboveProcedureAndTether(t *testing.T) {
	fleet := []Machine{
		{Key: "a", LimitPct: 50, ProcedureAbovePct: 35, TetherAbovePct: 39, TetherBasis: "manual"},
		{Key: "b", LimitPct: 100, ProcedureAbovePct: 100},
	}
	g := stepped(t)
	// Whole columns: 5 to 15 is 20% in 5 to 9, 30% at the step, 40% beyond.
	lot := mapLot(t, g, fleet, lotOf(g, rectangle(5, 2, 16, 9)))
	a := zoneOf(t, lot, fleet, "a")
	assert.InEpsilon(t, lot.Acres, a.Acres, 1e-12)
	assert.InEpsilon(t, 5.0/11, a.ProcedureAcres/a.Acres, 1e-6)
	assert.InEpsilon(t, 5.0/11, a.TetherAcres/a.Acres, 1e-6)
	assert.InDelta(t, (5*20+30+5*40)/11.0, a.SlopeMeanPct, 1e-4)
	assert.InDelta(t, 40, a.SlopeMaxPct, 1e-4)

	lot = mapLot(t, g, fleet, lotOf(g, rectangle(22, 1, 29, 11)))
	b := zoneOf(t, lot, fleet, "b")
	assert.Zero(t, b.ProcedureAcres, "70% is not above 100%")
	assert.Zero(t, b.TetherAcres, "never on a tether")

	// Ground at the slope itself counts as above it, as it does for a limit.
	fleet[0].ProcedureAbovePct = 40
	lot = mapLot(t, g, fleet, lotOf(g, rectangle(12, 2, 19, 9)))
	a = zoneOf(t, lot, fleet, "a")
	assert.InEpsilon(t, a.Acres, a.ProcedureAcres, 1e-9)
}

// Cells that the boundary cuts weigh by what is inside.
func TestMapLotWeighsCutCellsByTheirShare(t *testing.T) {
	g := stepped(t)
	fleet := fleetOf(100)
	lot := mapLot(t, g, fleet, lotOf(g, rectangle(8.5, 2.25, 12.75, 9.5)))
	want := (0.5*20 + 20 + 30 + 40*1 + 0.75*40) / 4.25
	assert.InDelta(t, want, lot.Zones[0].SlopeMeanPct, 1e-3)
	assert.InDelta(t, 40, lot.Zones[0].SlopeMaxPct, 1e-3)
}

func TestMapLotVoidIsUnknownWithItsAcres(t *testing.T) {
	g := plane(t, 20, 20, 10, 0.1, 30, 100)
	nan := float32(math.NaN())
	for r := 5; r < 9; r++ {
		for c := 7; c < 12; c++ {
			g.Z[r*20+c] = nan
		}
	}
	fleet := fleetOf(30)
	lot := mapLot(t, g, fleet, lotOf(g, rectangle(2, 2, 18, 18)))
	require.Len(t, lot.Zones, 2)
	u := zoneOf(t, lot, fleet, UnknownKey)
	assert.InEpsilon(t, lot.Acres*20/256, u.Acres, 1e-5, "20 of 256 cells: the void, and no cell beside it")
	for what, v := range map[string]float64{"surface": u.SurfaceAcres, "mean": u.SlopeMeanPct, "greatest": u.SlopeMaxPct} {
		assert.True(t, math.IsNaN(v), "%s of unknown ground: %g", what, v)
	}
	assert.InDelta(t, 10, zoneOf(t, lot, fleet, "a").SlopeMaxPct, 1e-3, "a plane stays exact beside a void")
}

// Ground beyond the heights is as unknown as a void: it has no slope of zero.
func TestMapLotBeyondTheHeightsIsUnknown(t *testing.T) {
	g := plane(t, 20, 20, 10, 0.1, 30, 100)
	fleet := fleetOf(30)
	lot := mapLot(t, g, fleet, lotOf(g, rectangle(-5, 2, 15, 18)))
	u := zoneOf(t, lot, fleet, UnknownKey)
	assert.InEpsilon(t, lot.Acres/4, u.Acres, 1e-5)
	for what, v := range map[string]float64{"surface": u.SurfaceAcres, "mean": u.SlopeMeanPct, "greatest": u.SlopeMaxPct} {
		assert.True(t, math.IsNaN(v), "%s of unknown ground: %g", what, v)
	}
	assert.InDelta(t, 10, zoneOf(t, lot, fleet, "a").SlopeMeanPct, 1e-3)
}

func TestMapLotHoleAndParts(t *testing.T) {
	g := plane(t, 40, 20, 10, 0.1, 30, 100)
	p := lotOf(g, rectangle(2, 2, 18, 18), rectangle(5, 5, 9, 9))
	p.Ground = append(p.Ground, lotOf(g, rectangle(22.5, 3.5, 30.25, 4.75)).Ground...)
	lot := mapLot(t, g, fleetOf(30), p)
	require.Len(t, lot.Zones, 1)
	assert.InEpsilon(t, coverage.Acres(p.Ground), lot.Acres, 1e-9)
	assert.Len(t, lot.Zones[0].Ground, 2)
	assert.InEpsilon(t, (256-16+7.75*1.25)/256, lot.Acres/coverage.Acres(lotOf(g, rectangle(2, 2, 18, 18)).Ground), 1e-5)
}

func TestMapLotWithinOneCell(t *testing.T) {
	g := plane(t, 5, 5, 30, 0.35, 200, 100)
	lot := mapLot(t, g, fleetOf(30, 40), lotOf(g, [][2]float64{{2.2, 2.4}, {2.8, 2.6}, {2.5, 2.1}}))
	require.Len(t, lot.Zones, 1)
	z := lot.Zones[0]
	assert.Equal(t, 1, z.Band)
	assert.InDelta(t, 35, z.SlopeMeanPct, 1e-3)
	assert.Len(t, z.Ground[0][0], 4, "the owner's three corners, closed")
}

func TestMapLotWithoutGroundNamesTheLot(t *testing.T) {
	g := plane(t, 5, 5, 30, 0.35, 200, 100)
	cells := &Cells{Window: coverage.Window{Masks: make([]Mask, 25), Cols: 5, Rows: 5, Frame: g.Frame}}
	_, err := MapLot(cells, must(slope.Of(g)), fleetOf(30), nil, Parcel{Lot: "Tarn Hollow", Ground: orb.MultiPolygon{{{{0, 0}, {0, 0}, {0, 0}}}}})
	assert.ErrorIs(t, err, coverage.ErrNoGround)
	assert.ErrorContains(t, err, "Tarn Hollow")
}

// Ground that is given away takes nothing from a zone that it did not have: the
// steepest ground of a zone stays within its limit, and no acres are below none.
func TestMapLotOfSimplifiedZonesKeepsToLimits(t *testing.T) {
	rng := rand.New(rand.NewPCG(51, 52))
	for range 20 {
		const n = 40
		wave := waves(rng)
		z := make([]float32, n*n)
		for i := range z {
			z[i] = float32(4 * wave(float64(i%n), float64(i/n)))
		}
		g, err := terrain.NewGrid(z, n, n, 5, 5)
		require.NoError(t, err)
		fleet := fleetOf(30, 60)
		fleet[1].ProcedureAbovePct, fleet[1].TetherAbovePct, fleet[1].TetherBasis = 59, 60, "manual"
		field := must(slope.Of(g))
		cells := &Cells{Window: coverage.Window{Masks: make([]Mask, n*n), Cols: n, Rows: n, Frame: g.Frame}, SimplifyM: 15}
		stand(field, fleet, cells.Masks)
		lot, err := MapLot(cells, field, fleet, []float64{30, 60}, lotOf(g, rectangle(2, 2, 38, 38)))
		require.NoError(t, err)
		for _, zone := range lot.Zones {
			if zone.Band < len(fleet) {
				assert.Less(t, zone.SlopeMaxPct, fleet[zone.Band].LimitPct)
				assert.GreaterOrEqual(t, zone.ProcedureAcres, 0.0)
				assert.GreaterOrEqual(t, zone.TetherAcres, 0.0)
				assert.LessOrEqual(t, zone.SureAcres, zone.Acres)
			}
		}
	}
}

func TestMapLotNamesTheLotThatCannotBeCut(t *testing.T) {
	g := stepped(t)
	cells := &Cells{Window: coverage.Window{Masks: make([]Mask, g.Cols*g.Rows), Cols: g.Cols, Rows: g.Rows, Frame: g.Frame}}
	_, err := MapLot(cells, must(slope.Of(g)), fleetOf(35), nil, Parcel{Lot: "7"})
	assert.ErrorIs(t, err, coverage.ErrNoGround)
	assert.ErrorContains(t, err, "lot 7")
}
