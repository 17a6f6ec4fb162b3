package zoning

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/zoning/coverage"
)

// What no lot can be cut from is refused with the lot's name, whichever part it is.
func TestMapLotRefusesWhatCannotBeUsed(t *testing.T) {
	const n = 20
	g := plane(t, n, n, 10, 0.1, 0, 100)
	lot := lotOf(g, rectangle(2, 2, n-2, n-2))
	lot.Lot = "7"
	for words, change := range map[string]func(cells *Cells, field *slope.Field, fleet *Fleet, sure *[]float64){
		"":                                func(*Cells, *slope.Field, *Fleet, *[]float64) {},
		"lot 7: the fleet has no machine": func(_ *Cells, _ *slope.Field, f *Fleet, _ *[]float64) { *f = nil },
		"lot 7: slopes of 20 × 19 cells for masks of 20 × 20": func(_ *Cells, f *slope.Field, _ *Fleet, _ *[]float64) { f.Rows, f.Squared = n-1, f.Squared[:n*(n-1)] },
		"lot 7: slopes of 19 × 20 cells for masks of 20 × 20": func(_ *Cells, f *slope.Field, _ *Fleet, _ *[]float64) { f.Cols, f.Squared = n-1, f.Squared[:n*(n-1)] },
		"lot 7: 2 sure slopes for 1 machines":                 func(_ *Cells, _ *slope.Field, _ *Fleet, s *[]float64) { *s = []float64{20, 30} },
		"lot 7: 0 sure slopes for 1 machines":                 func(_ *Cells, _ *slope.Field, _ *Fleet, s *[]float64) { *s = []float64{} },
		"lot 7: ":                                             func(c *Cells, _ *slope.Field, _ *Fleet, _ *[]float64) { c.Masks = c.Masks[:5] },
		"lot 7: of Squared there are 5 values":                func(_ *Cells, f *slope.Field, _ *Fleet, _ *[]float64) { f.Squared = f.Squared[:5] },
	} {
		cells := &Cells{Window: coverage.Window{Frame: g.Frame, Cols: n, Rows: n, Masks: make([]Mask, n*n)}}
		field := *must(slope.Of(g))
		fleet, sure := Fleet{{Key: "a", LimitPct: 30}}, []float64{20}
		change(cells, &field, &fleet, &sure)
		m, err := MapLot(cells, &field, fleet, sure, lot)
		if words == "" {
			require.NoError(t, err)
			assert.Equal(t, "7", m.Lot)
			continue
		}
		assert.ErrorContains(t, err, words)
		assert.Zero(t, m)
	}
}

// A lot is cut until nobody waits for it.
func TestALotEndsOnceNobodyWaits(t *testing.T) {
	const n = 300
	g := plane(t, n, n, 10, 0.1, 0, 100)
	cells := &Cells{Window: coverage.Window{Frame: g.Frame, Cols: n, Rows: n, Masks: make([]Mask, n*n)}}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	m, err := MapLotContext(ctx, cells, must(slope.Of(g)), Fleet{{Key: "a", LimitPct: 30}}, nil, lotOf(g, rectangle(2, 2, n-2, n-2)))
	assert.ErrorIs(t, err, context.Canceled)
	assert.Zero(t, m)
	assert.Nil(t, cells.Watch, "the cells are left as they were")
}

// Acres by band are those of a lot's zones, and of all lots.
func TestAcresByBand(t *testing.T) {
	one := LotMap{Zones: []Zone{{Band: 0, Acres: 1, SurfaceAcres: 9}, {Band: 2, Acres: 2, SurfaceAcres: 9}}}
	other := LotMap{Zones: []Zone{{Band: 2, Acres: 4, SurfaceAcres: 9}, {Band: 3, Acres: 8, SurfaceAcres: 9}}}
	assert.Equal(t, []float64{1, 0, 2, 0}, one.BandAcres(4))
	m := &ZoneMap{Lots: []LotMap{one, other}}
	assert.Equal(t, []float64{1, 0, 6, 8}, m.BandAcres(4))
}

// A zone is reached over the least of its cells' crossings; 255 says nothing.
func TestTheLeastCrossingsOfAZone(t *testing.T) {
	for want, cells := range map[int][]uint8{-1: {255, 255}, 0: {3, 0, 255}, 2: {4, 2, 3, 2, 255}, 3: {255, 3}, 254: {254, 255}} {
		var s bandSum
		for _, c := range cells {
			s.wade(c)
		}
		assert.Equal(t, want, s.zone().Crossings, cells)
	}
}

// Limits are lowered to those that bound them, along by along and across by across; a bound
// that is none lowers nothing.
func TestLimitsUpToOthers(t *testing.T) {
	for _, c := range []struct{ of, most, want Limits }{
		{Limits{30, 20}, Limits{25, 15}, Limits{25, 15}},
		{Limits{30, 20}, Limits{35, 22}, Limits{30, 20}},
		{Limits{30, 20}, Limits{25, 0}, Limits{25, 20}},
		{Limits{30, 20}, Limits{0, 15}, Limits{30, 15}},
		{Limits{0, 0}, Limits{25, 15}, Limits{}},
		{Limits{10, 20}, Limits{15, 25}, Limits{10, 20}},
	} {
		assert.Equal(t, c.want, c.of.upTo(c.most), c)
	}
	wet := everyLimit.On(Wet)
	assert.Equal(t, []Limits{{35, 20}, {20, 10}}, []Limits{wet.Wet, wet.WetSwing})
	assert.Equal(t, []Limits{{35, 20}, {20, 10}}, []Limits{wet.Driving(), wet.Standing()})
	assert.Equal(t, wet, wet.On(Wet), "once and for all")
}

// A procedure and a tether are asked for below the limit along, whatever that across is; what
// is not asked for stays.
func TestAProcedureBelowTheLimitAlong(t *testing.T) {
	for pct, ok := range map[float64]bool{20: true, 45: true, 79.9: true, 80: false, 81: false} {
		for _, l := range []Limit{ProcedureAbove, TetherAbove} {
			m, err := everyLimit.With(l, pct)
			assert.Equal(t, ok, err == nil, "%s %g", l, pct)
			if ok {
				got, _ := m.Limit(l)
				assert.Equal(t, pct, got)
			}
		}
	}
	m, err := everyLimit.With(AlongLimit, 45)
	require.NoError(t, err)
	assert.Equal(t, 45.0, m.ProcedureAbovePct)
}

// A machine whose limit is no number is held inside nothing, and that ends.
func TestInsideOfNoNumber(t *testing.T) {
	half := func(pct float64) float64 { return pct / 2 }
	assert.True(t, math.IsNaN(Machine{LimitPct: math.NaN()}.Inside(half, half).LimitPct))
	assert.Equal(t, 15.0, Machine{LimitPct: 30}.Inside(half, half).LimitPct)
}

// As many reasons are added as fit.
func TestAsManyReasonsAsFit(t *testing.T) {
	var many []Reason
	for i := range MostAdded {
		many = append(many, Reason{fmt.Sprint("r", i), "words"})
	}
	assert.NoError(t, CheckReasons(many))
	assert.Error(t, CheckReasons(append(many, Reason{"one-more", "words"})))
}
