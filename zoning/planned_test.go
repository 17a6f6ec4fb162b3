package zoning

import (
	"context"
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

// motley is a map by limits of two lots that share a slanted side, on rolling ground whose
// masks are drawn by lot, machines' and marks alike.
func motley(t *testing.T, seed uint64) *ZoneMap {
	t.Helper()
	const cols, rows = 40, 30
	rng := rand.New(rand.NewPCG(seed, 14))
	heights := make([]float32, cols*rows)
	for i := range heights {
		heights[i] = float32(100 + 20*math.Sin(float64(i%cols)/5) + 14*math.Cos(float64(i/cols)/4))
	}
	g, err := terrain.NewGrid(heights, cols, rows, 10, 10)
	require.NoError(t, err)
	field, err := slope.Of(g)
	require.NoError(t, err)
	fleet := Fleet{{Key: "a", LimitPct: 30}, {Key: "b", LimitPct: 45}, {Key: "c", LimitPct: 60}}
	cells := &Cells{Window: coverage.Window{Masks: make([]Mask, cols*rows), Cols: cols, Rows: rows, Frame: g.Frame}, FootPct: 20}
	kinds := []Mask{0b111, 0b111, 0b110, 0b100, 0b101, 0, NoGo, Unknown}
	for i := range cells.Masks {
		cells.Masks[i] = kinds[rng.IntN(len(kinds))]
	}
	m := &ZoneMap{Fleet: fleet, Cells: cells, Field: field}
	at := func(col, row float64) orb.Point {
		lon, lat := g.Frame.LonLat(col, row)
		return orb.Point{math.Round(lon*1e9) / 1e9, math.Round(lat*1e9) / 1e9}
	}
	for i, corners := range [][][2]float64{{{2.3, 27.1}, {15.2, 27.1}, {22.7, 3.4}, {2.3, 3.4}}, {{15.2, 27.1}, {42.5, 27.1}, {38.2, 3.4}, {22.7, 3.4}}} {
		var ring orb.Ring
		for _, c := range append(corners, corners[0]) {
			ring = append(ring, at(c[0], c[1]))
		}
		lot, err := MapLot(cells, field, fleet, []float64{25, 40, 55}, Parcel{Lot: string(rune('A' + i)), Ground: orb.MultiPolygon{{ring}}})
		require.NoError(t, err)
		lot.Place, lot.EdgeAcres, lot.Notes = i+1, 0.25, []string{"note"}
		m.Lots = append(m.Lots, lot)
	}
	return m
}

// Whoever works it, the acres of both views add up to the parcel's, band by band what the
// cells of the band hold, and what is closed or unknown stays.
func TestAcresAsPlannedAddUpToTheParcels(t *testing.T) {
	for seed := range uint64(20) {
		m := motley(t, seed)
		rng := rand.New(rand.NewPCG(seed, 3))
		masks := make([][]Mask, len(m.Lots))
		for k := range masks {
			masks[k] = make([]Mask, len(m.Cells.Masks))
			for i, mask := range m.Cells.Masks {
				masks[k][i] = []Mask{mask & -mask, NeedsMachine, WaitsDry, 0}[rng.IntN(4)]
			}
		}
		p, err := m.AsPlanned(context.Background(), func(lot, cell int) Mask { return masks[lot][cell] })
		require.NoError(t, err)
		assert.Equal(t, []View{ByLimits, AsPlanned}, []View{m.View, p.View})
		assert.Same(t, m, p.ByLimits())
		assert.Same(t, m, m.ByLimits())
		bands := len(m.Fleet.Bands())
		for k, lot := range p.Lots {
			was := m.Lots[k]
			var sum float64
			acres, before := lot.BandAcres(bands), was.BandAcres(bands)
			for _, a := range acres {
				sum += a
			}
			assert.InDelta(t, was.Acres, sum, 1e-6, "lot %d of map %d", k, seed)
			assert.InDelta(t, was.Acres, lot.Acres, 1e-6)
			for _, same := range []int{m.Fleet.UnknownBand(), m.Fleet.NoGoBand()} {
				assert.InDelta(t, before[same], acres[same], 1e-6)
			}
			assert.Zero(t, before[m.Fleet.NeedsMachineBand()]+before[m.Fleet.WaitsDryBand()], "by limits nothing waits")
			cells := make([]float64, bands)
			was.Coverage.EachCell(func(col, row int, share float64) {
				mask := Unknown
				if col < m.Cells.Cols {
					if mask = m.Cells.Masks[row*m.Cells.Cols+col]; mask&(NoGo|Unknown) == 0 {
						mask = masks[k][row*m.Cells.Cols+col]
					}
				}
				cells[m.Fleet.Band(mask)] += share
			})
			for b, n := range cells {
				assert.InDelta(t, was.Acres*n/was.Coverage.Cells(), acres[b], 2e-4, "band %d", b)
			}
			assert.Equal(t, []any{was.Lot, was.Place, was.EdgeAcres, was.Notes}, []any{lot.Lot, lot.Place, lot.EdgeAcres, lot.Notes})
		}
	}
}

// With every machine brought and none cheaper than another, each cell is the first's that
// may work it: the map by limits.
func TestAsPlannedByTheFirstMachineIsByLimits(t *testing.T) {
	for seed := range uint64(5) {
		m := motley(t, seed)
		p, err := m.AsPlanned(context.Background(), func(_, cell int) Mask { return m.Cells.Masks[cell] & -m.Cells.Masks[cell] })
		require.NoError(t, err)
		for k := range m.Lots {
			want, got := m.Lots[k].Zones, p.Lots[k].Zones
			require.Len(t, got, len(want))
			for i := range want {
				assert.Equal(t, want[i].Band, got[i].Band)
				for _, of := range []func(Zone) float64{
					func(z Zone) float64 { return z.Acres }, func(z Zone) float64 { return z.SurfaceAcres }, func(z Zone) float64 { return z.SlopeMaxPct },
					func(z Zone) float64 { return z.SureAcres }, func(z Zone) float64 { return z.SightAcres },
				} {
					w, g := of(want[i]), of(got[i])
					assert.True(t, math.Abs(w-g) < 1e-6 || w != w && g != g, "band %d: %g is %g", want[i].Band, w, g)
				}
			}
		}
	}
}

// A machine is given no cell that it may not work, and a cell to one machine.
func TestAsPlannedRefuses(t *testing.T) {
	m := motley(t, 1)
	ctx := context.Background()
	plan := func(mask Mask) error {
		_, err := m.AsPlanned(ctx, func(int, int) Mask { return mask })
		return err
	}
	assert.ErrorContains(t, plan(0b001), "lot A: cell", "to one that may not")
	assert.ErrorContains(t, plan(0b110), "lot A: cell", "to two")
	assert.NoError(t, plan(0))
	p, err := m.AsPlanned(ctx, func(int, int) Mask { return WaitsDry })
	require.NoError(t, err)
	_, err = p.AsPlanned(ctx, func(int, int) Mask { return 0 })
	assert.ErrorContains(t, err, "as planned already")
	bare := *m
	bare.Field = nil
	_, err = bare.AsPlanned(ctx, nil)
	assert.ErrorContains(t, err, "without the cells")
	ended, end := context.WithCancel(ctx)
	end()
	_, err = m.AsPlanned(ended, func(int, int) Mask { return 0 })
	assert.ErrorIs(t, err, context.Canceled)
}

// Nobody walks where the slope is not surely below what people walk: what is near its
// machine's limit there is sighted.
func TestSteepGroundNearALimitIsSighted(t *testing.T) {
	m := motley(t, 2)
	sighted := 0
	for _, lot := range m.Lots {
		for _, z := range lot.Zones {
			switch {
			case !m.Fleet.IsMachine(z.Band):
				assert.True(t, math.IsNaN(z.SightAcres))
			default:
				assert.LessOrEqual(t, z.SightAcres, z.Acres-z.SureAcres+1e-9)
				assert.GreaterOrEqual(t, z.SightAcres, 0.0)
				if z.SightAcres > 0 {
					sighted++
				}
			}
		}
	}
	assert.Positive(t, sighted)
	m.Cells.FootPct = 0
	lot, err := MapLot(m.Cells, m.Field, m.Fleet, []float64{25, 40, 55}, Parcel{Lot: "A", Ground: m.Lots[0].Coverage.Outline()})
	require.NoError(t, err)
	for _, z := range lot.Zones {
		assert.False(t, z.SightAcres > 0, "where no slope for people is known")
	}
}

func TestWordsOfViews(t *testing.T) {
	assert.Equal(t, []string{"limits", "plan"}, []string{ByLimits.String(), AsPlanned.String()})
	assert.Equal(t, []string{"by limits", "as planned"}, []string{ByLimits.Words(), AsPlanned.Words()})
	fleet := make(Fleet, 2)
	for b := range fleet.Bands() {
		assert.True(t, AsPlanned.Has(fleet, b))
		assert.Equal(t, b != 2 && b != 3, ByLimits.Has(fleet, b))
	}
}
