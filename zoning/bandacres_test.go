package zoning

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning/coverage"
)

// From where a machine needs a procedure, or a tether: a tie short of the figure. What a
// boom reaches beyond the ground it drives on asks for no procedure of driving.
func TestLimitsOfAcres(t *testing.T) {
	inf := math.Inf(1)
	assert.Equal(t, limits{inf, inf, inf}, limitsOf(Machine{LimitPct: 30}))
	l := limitsOf(Machine{LimitPct: 100, ProcedureAbovePct: 20, TetherAbovePct: 60})
	assert.InDelta(t, 0.1998, l.procedure, 1e-12)
	assert.InDelta(t, 0.5998, l.tether, 1e-12)
	assert.Equal(t, inf, l.driven)
	l = limitsOf(Machine{LimitPct: 35, ReachM: 6})
	assert.Equal(t, limits{inf, inf, 0.35}, l)
	l = limitsOf(Machine{LimitPct: 100, TetherAbovePct: 60, ReachM: 6})
	assert.InDelta(t, 0.60, l.driven, 1e-12, "off the tether, without a basis for one")
}

// By hand, cells of known slope: mean, surface and steepest, and the acres from which a
// procedure and a tether are asked for, and those that are sure. The band's acres are
// shared out by cells.
func TestBandSum(t *testing.T) {
	s := bandSum{m2: 10 * terrain.SquareMetresPerAcre, sureRise: 0.5, limits: limits{procedure: 0.3, tether: 0.75, driven: 1.0}, lost: [][]float64{make([]float64, Reasons)}}
	for _, c := range []struct {
		rise, share float64
		sure        bool
	}{
		{0, 1, true}, {0.25, 1, true}, {0.25, 1, false}, {0.3, 1, true}, {0.5, 1, false}, {0.75, 2, false}, {1.0, 2, false}, {1.25, 1, false},
	} {
		s.add(c.rise*c.rise, c.rise, c.share, c.sure, true)
	}
	s.lost[0][Works], s.lost[0][TooSteep] = 6, 4
	z := s.zone()
	assert.InDelta(t, 10, z.Acres, 1e-12)
	assert.InDelta(t, 100*(0.25+0.25+0.3+0.5+2*0.75+2*1.0+1.25)/10, z.SlopeMeanPct, 1e-9)
	assert.InDelta(t, 125, z.SlopeMaxPct, 1e-9)
	assert.InDelta(t, 1+2*math.Sqrt(1.0625)+math.Sqrt(1.09)+math.Sqrt(1.25)+2*1.25+2*math.Sqrt2+math.Sqrt(1+1.5625), z.SurfaceAcres, 1e-9)
	assert.InDelta(t, 1+1+2, z.ProcedureAcres, 1e-9, "0.3, 0.5 and 0.75; from 1.0 on the boom only reaches")
	assert.InDelta(t, 2+2+1, z.TetherAcres, 1e-9, "from the very figure on")
	assert.InDelta(t, 1+1+1, z.SureAcres, 1e-9, "those told to be")
	assert.InDelta(t, 4, z.LostAcres[0][TooSteep], 1e-9)
	assert.Zero(t, z.LostAcres[0][Works], "what it works is not lost")
	assert.Equal(t, -1, z.Crossings, "not known")

	s.sureRise = math.NaN()
	assert.True(t, math.IsNaN(s.zone().SureAcres), "the error is not known")
	s.procedure, s.tether = 10.0001, -0.0001
	z = s.zone()
	assert.Equal(t, [2]float64{10, 0}, [2]float64{z.ProcedureAcres, z.TetherAcres}, "never more than the band, nor less than none")
}

// The fewest water lines on any cell count; a cell that the machine's middle does not get
// to tells nothing.
func TestFewestCrossings(t *testing.T) {
	var s bandSum
	s.wade(math.MaxUint8)
	assert.Equal(t, 0, s.crossings)
	for _, n := range []uint8{3, 5, math.MaxUint8, 2, 4} {
		s.wade(n)
	}
	assert.Equal(t, 3, s.crossings, "1 more than 2")
	s.wade(0)
	assert.Equal(t, 1, s.crossings)
	s.wade(1)
	assert.Equal(t, 1, s.crossings)
}

// A lot on a plane of 25%: sure where the machine's figure is above that, NaN for those
// without one; procedure and tether by the machine whose band it is; what each machine
// loses, and the crossings of the one that works it.
func TestMapLotCountsByMachine(t *testing.T) {
	g := plane(t, 20, 20, 10, 0.25, 0, 100)
	f := must(slope.Of(g))
	fleet := []Machine{{Key: "a", LimitPct: 20}, {Key: "b", LimitPct: 40, ProcedureAbovePct: 22}}
	cells := &Cells{Window: coverage.Window{Frame: g.Frame, Cols: 20, Rows: 20, Masks: make([]Mask, 400)}}
	stand(f, fleet, cells.Masks)
	cells.Lost = [][]Why{make([]Why, 400), make([]Why, 400)}
	wades := make([]uint8, 400)
	for i := range wades {
		cells.Lost[0][i], wades[i] = TooSteep, 2
	}
	cells.Crossings = [][]uint8{nil, wades}
	parcel := lotOf(g, rectangle(5, 5, 15, 15))
	lot, err := MapLot(cells, f, fleet, []float64{19, 26}, parcel)
	require.NoError(t, err)
	require.Len(t, lot.Zones, 1)
	z := lot.Zones[0]
	assert.Equal(t, 1, z.Band)
	assert.InDelta(t, 10000/terrain.SquareMetresPerAcre, z.Acres, 0.01)
	assert.InDelta(t, z.Acres, lot.Acres, 1e-9)
	assert.InDelta(t, z.Acres, z.SureAcres, 1e-9)
	assert.InDelta(t, z.Acres, z.ProcedureAcres, 1e-9)
	assert.Zero(t, z.TetherAcres)
	assert.InDelta(t, z.Acres, z.LostAcres[0][TooSteep], 1e-9)
	assert.Zero(t, z.LostAcres[1][TooSteep])
	assert.Equal(t, 2, z.Crossings)
	m := ZoneMap{Lots: []LotMap{lot, {Zones: []Zone{{}}}, lot}}
	assert.InDelta(t, 2*z.Acres, m.LostAcres()[0][TooSteep], 1e-9)

	cells.Unsure = make([]bool, 400)
	for i := range cells.Unsure {
		cells.Unsure[i] = i%20 < 10
	}
	lot, err = MapLot(cells, f, fleet, []float64{26, 24.9}, parcel)
	require.NoError(t, err)
	assert.Zero(t, lot.Zones[0].SureAcres, "its own figure counts, not that of another machine")
	lot, err = MapLot(cells, f, fleet, []float64{19, 26}, parcel)
	require.NoError(t, err)
	assert.InDelta(t, z.Acres/2, lot.Zones[0].SureAcres, 1e-4, "half of it was filled from a coarser source")
	lot, err = MapLot(cells, f, fleet, nil, parcel)
	require.NoError(t, err)
	assert.True(t, math.IsNaN(lot.Zones[0].SureAcres))
}

// A lot that reaches beyond the elevation on all four sides: the ring outside is ground of
// unknown slope, which every machine loses as not measured; nothing of it is counted
// elsewhere. Of the ground inside a third was filled from a coarser source.
func TestMapLotBeyondTheElevation(t *testing.T) {
	const n = 12
	g := plane(t, n, n, 10, 0.25, 0, 100)
	f := slope.NewField(g)
	f.AddAspect()
	slope.Rows(g, 0, n, f)
	fleet := []Machine{{Key: "a", LimitPct: 20}, {Key: "b", LimitPct: 40}}
	cells := &Cells{Window: coverage.Window{Frame: g.Frame, Cols: n, Rows: n, Masks: make([]Mask, n*n)}, Unsure: make([]bool, n*n)}
	stand(f, fleet, cells.Masks)
	cells.Lost = [][]Why{make([]Why, n*n), make([]Why, n*n)}
	cells.Crossings = [][]uint8{nil, nil}
	for i := range cells.Unsure {
		cells.Unsure[i], cells.Lost[0][i] = i%n < n/3, TooSteep
	}
	lot, err := MapLot(cells, f, fleet, []float64{19, 30}, lotOf(g, rectangle(-2, -3, n+1, n+2)))
	require.NoError(t, err)
	const inside, outside = n * n * 100 / terrain.SquareMetresPerAcre, ((n+3)*(n+5) - n*n) * 100 / terrain.SquareMetresPerAcre
	require.Len(t, lot.Zones, 2)
	b, unknown := lot.Zones[0], lot.Zones[1]
	assert.Equal(t, []int{1, 5}, []int{b.Band, unknown.Band})
	assert.InDelta(t, inside, b.Acres, 1e-3)
	assert.InDelta(t, outside, unknown.Acres, 1e-3)
	assert.InDelta(t, inside*2/3, b.SureAcres, 1e-3)
	assert.Equal(t, -1, b.Crossings, "not asked of this machine")
	for k := range fleet {
		assert.InDelta(t, outside, unknown.LostAcres[k][NotMeasured], 1e-3)
		assert.Zero(t, b.LostAcres[k][NotMeasured])
		assert.Zero(t, unknown.LostAcres[k][TooSteep])
	}
	assert.InDelta(t, inside, b.LostAcres[0][TooSteep], 1e-3)
	assert.True(t, math.IsNaN(unknown.SureAcres) && math.IsNaN(unknown.SlopeMeanPct))
	assert.InDelta(t, 25, b.SlopeMeanPct, 1e-3)
	assert.Len(t, b.Patches, 1, "a machine's ground has a working direction")
	assert.Empty(t, unknown.Patches)

	unasked := ZoneMap{Lots: []LotMap{{Zones: []Zone{{}, {}}}}}
	assert.Nil(t, unasked.LostAcres())
	some := ZoneMap{Lots: []LotMap{{Zones: []Zone{{}, b}}}}
	assert.InDelta(t, inside, some.LostAcres()[0][TooSteep], 1e-3)
}

// Ground that drawing lines straighter moves to another zone takes its figures along: what
// a machine loses, and the slope, are those of all cells still. Hand-made: a toothed line
// between 10% and 30%.
func TestMovedGroundTakesItsFiguresAlong(t *testing.T) {
	const n = 24
	g := plane(t, n, n, 1, 0, 0, 100)
	f := must(slope.Of(g))
	fleet := []Machine{{Key: "a", LimitPct: 20}, {Key: "b", LimitPct: 40}}
	cells := &Cells{Window: coverage.Window{Frame: g.Frame, Cols: n, Rows: n, Masks: make([]Mask, n*n)}, Lost: [][]Why{make([]Why, n*n), make([]Why, n*n)}}
	steep, all := 0.0, 0.0
	for i := range f.Squared {
		rise := 0.1
		if i%n > n/2+(i/n)%2 {
			rise, steep = 0.3, steep+1
			cells.Lost[0][i] = TooSteep
		}
		all += rise
		f.Squared[i] = float32(rise * rise)
	}
	stand(f, fleet, cells.Masks)
	figures := func(simplifyM float64) (a Zone) {
		cells.SimplifyM = simplifyM
		lot, err := MapLot(cells, f, fleet, nil, lotOf(g, rectangle(0, 0, n, n)))
		require.NoError(t, err)
		require.Len(t, lot.Zones, 2)
		var lost, sum float64
		for _, z := range lot.Zones {
			lost += z.LostAcres[0][TooSteep] * terrain.SquareMetresPerAcre
			sum += z.Acres * z.SlopeMeanPct / 100 * terrain.SquareMetresPerAcre
		}
		assert.InDelta(t, steep, lost, 1e-3, "within %g m", simplifyM)
		assert.InDelta(t, all, sum, 1e-3, "within %g m", simplifyM)
		assert.Zero(t, lot.Zones[0].LostAcres[0][TooSteep], "no steep ground comes to the gentle machine")
		assert.InDelta(t, 10, lot.Zones[0].SlopeMaxPct, 1e-4)
		return lot.Zones[0]
	}
	assert.Less(t, figures(1.5).Acres, figures(0).Acres, "the teeth go to the machine for steep ground")
}
