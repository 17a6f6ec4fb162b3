package mapping

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
)

// A source is coarser from a fifth more area a cell on than the first, the finest (planning
// value, no source); its ground, and ground beside a step between two, is not sure.
func TestUnsureIsWhatACoarserSourceGave(t *testing.T) {
	grid, err := terrain.NewGrid(make([]float32, 5), 5, 1, 1, 1)
	require.NoError(t, err)
	e := &terrain.Elevation{Grid: grid, Sources: []terrain.Source{
		{CellM: [2]float64{1, 2}}, {CellM: [2]float64{1, 2.38}}, {CellM: [2]float64{1, 2.42}}, {CellM: [2]float64{2.42, 1}}}}
	assert.Nil(t, unsure(e))
	e.From = []uint16{0, 1, 2, 3, terrain.NoSource}
	assert.Equal(t, []bool{false, false, true, true, false}, unsure(e))
	e.Stepped = []bool{true, false, false, false, false}
	assert.Equal(t, []bool{true, false, true, true, false}, unsure(e))
	e.From = nil
	assert.Equal(t, []bool{true, false, false, false, false}, unsure(e))
}

// mapped cuts one lot, the cells of a box, out of a teller's ground.
func (t *teller) mapped(tt *testing.T, c0, r0, c1, r1 float64) zoning.LotMap {
	tt.Helper()
	ring := orb.Ring{t.place(c0, r1), t.place(c1, r1), t.place(c1, r0), t.place(c0, r0)}
	lot, err := zoning.MapLot(t.m.Cells, t.m.Field, t.m.Fleet, nil, zoning.Parcel{Lot: "a", Ground: orb.MultiPolygon{{append(ring, ring[0])}}})
	require.NoError(tt, err)
	return lot
}

const squareM = 1 / 4046.8564224 // acres

// Acres of lots are summed by where heights came from, and of those beside a step; lots that
// could not be cut are left out.
func TestAcresBySource(t *testing.T) {
	l := tellerOn(t, 10, 10)
	e := l.Elevation
	lots, errs := []zoning.LotMap{l.mapped(t, 2, 2, 8, 6), {}}, []error{nil, assert.AnError}
	assert.Nil(t, sourceAcres(e, lots, errs, nil))
	assert.Zero(t, steppedAcres(e, lots, errs, nil))
	e.Sources = append(e.Sources, terrain.Source{})
	e.From, e.Stepped = make([]uint16, 100), make([]bool, 100)
	for i := range e.From {
		switch c := i % 10; {
		case c == 2:
			e.From[i] = terrain.NoSource
		case c >= 5:
			e.From[i] = 1
		}
		e.Stepped[i] = i/10 == 3
	}
	got := sourceAcres(e, lots, errs, nil)
	require.Len(t, got, 2)
	assert.InDelta(t, 8*squareM, got[0], 1e-6)
	assert.InDelta(t, 12*squareM, got[1], 1e-6)
	assert.InDelta(t, 6*squareM, steppedAcres(e, lots, errs, nil), 1e-6)
}

// Of growth that is drawn and growth that is measured the greater counts, and what is known
// where one is not.
func TestTheGreaterGrowthCounts(t *testing.T) {
	nan := float32(math.NaN())
	g := &Ground{}
	drawn, measured := []float32{1, 5, nan, 2, nan}, []float32{3, 4, 2, nan, nan}
	assert.Equal(t, drawn[:2], g.growthOver(drawn)[:2])
	g.surface = &surface{growthM: measured}
	assert.Equal(t, measured[:3], g.growthOver(nil)[:3])
	got := g.growthOver(drawn)
	assert.Equal(t, []float32{3, 5, 2, 2}, got[:4])
	assert.True(t, math.IsNaN(float64(got[4])))
	assert.Equal(t, float32(1), drawn[0], "what was drawn is not changed")
}

// Acres by height: under 3, 10 and 25 ft and over (planning values, no source); water by
// itself; what is not known, or lies off the cells, as such, and told from a twohundredth of
// an acre on.
func TestAcresByHeightOfGrowth(t *testing.T) {
	l := tellerOn(t, 40, 10)
	heights := []float32{0.9, 0.92, 3.04, 3.05, 7.6, 7.63, float32(math.NaN()), 1} // m; 3 ft are 0.9144
	l.Ground.work.GrowthM = make([]float32, 400)
	water := make([]bool, 400)
	for i := range l.Ground.work.GrowthM {
		l.Ground.work.GrowthM[i] = heights[min(i%40/4, 7)]
		water[i] = i%40 >= 28
	}
	l.surface = &surface{sources: []terrain.Source{{Surveyed: "2019", Assumed: []string{"meters"}}}, how: "cell by cell", warnings: []string{"w"}}
	lot := l.mapped(t, 0, 0, 32, 10)
	got := l.growthAcres(lot, water, nil)
	for class, m2 := range []float64{40, 80, 80, 40} {
		assert.InDelta(t, m2*squareM, got.ByClass[class], 1e-5, "%d", class)
	}
	assert.InDelta(t, 40*squareM, got.Unknown, 1e-5)
	assert.InDelta(t, 40*squareM, got.Water, 1e-5)
	off := l.mapped(t, 36, 0, 44, 10) // half of it off the cells
	assert.InDelta(t, 40*squareM, l.growthAcres(off, nil, nil).Unknown, 1e-5)

	l.m.Surveyed = "2021"
	l.tellGrowth(l.m, []zoning.LotMap{lot, {}}, []error{nil, assert.AnError}, water, nil)
	require.Len(t, l.m.Growth.Lots, 1)
	assert.Equal(t, []string{"w", "0.01 acres have no height of growth: it holds no machine back there, whatever it is"}, l.m.Warnings)
	assert.Equal(t, []string{"first surface: meters"}, l.m.Assumed)
	assert.Equal(t, zoning.GrowthCautions(), l.m.Cautions)
	small := tellerOn(t, 40, 10)
	small.surface, small.Ground.work.GrowthM = l.surface, l.Ground.work.GrowthM
	small.tellGrowth(small.m, []zoning.LotMap{small.mapped(t, 24, 0, 28, 5)}, []error{nil}, nil, nil)
	assert.NotContains(t, small.m.Warnings[len(small.m.Warnings)-1], "acres have no height", "20 m², 0.0049 acres")
}

// More than two years between ground and surface are told, to the day (planning value, no
// source).
func TestDatesMoreThanTwoYearsApart(t *testing.T) {
	assert.Empty(t, datesApart("2019-06-30", "2021-06-30"))
	assert.Contains(t, datesApart("2019-06-30", "2021-07-01"), "more than 2 years apart")
	assert.Contains(t, datesApart("2021-07-01", "2019-06-30"), "more than 2 years apart")
	assert.Empty(t, datesApart("2019", "2021"))
	assert.Contains(t, datesApart("2019", "2021-01-02"), "more than 2 years apart")
	assert.Contains(t, datesApart("", "2021"), "nobody says when")
	assert.Contains(t, datesApart("2021", ""), "is not known")
	assert.Contains(t, datesApart("2021-07", "2015"), "in 2021-07, the first surface in 2015")
}

// What slopes are worth: by the noise given, in percent.
func TestWorthByTheNoise(t *testing.T) {
	l := tellerOn(t, 10, 10)
	fleet := []zoning.Machine{{Key: "a", Name: "A", LimitPct: 30}, {Key: "b", Name: "B", LimitPct: 2}}
	w, err := WorthOf(l.Elevation, fleet, Options{Scale: CellScale, Noise: &slope.Noise{SigmaM: 0.05, From: "test"}})
	require.NoError(t, err)
	sigma := 0.4330127 * 0.05
	assert.InDelta(t, 100*sigma, w.SlopeErrorPct, 1e-5)
	assert.InDelta(t, sureBelow(30, sigma), w.SurePct[0], 1e-4)
	assert.Zero(t, w.SurePct[1])
	assert.Equal(t, "0.05 m, test", w.Error)
	words := w.SureWords(fleet)
	assert.Equal(t, "B 2%: no measured slope is surely within it", words[1])
	assert.Equal(t, "at 90% certainty", words[2])
}

// Features of the site make what is known of the ground: staging in reach of a trailer,
// travel beside the lots.
func TestLayingPutsFeaturesToTheGround(t *testing.T) {
	l := tellerOn(t, 60, 60)
	lots := make([]bool, 3600)
	lots[0] = true
	l.Ground.work.Lots = lots
	west := orb.Polygon{{l.place(10, 10), l.place(10, 20), l.place(20, 20), l.place(20, 10), l.place(10, 10)}}
	l.Features = []site.Feature{
		{Kind: site.Travel, Geometry: west}, {Kind: site.Staging, Geometry: l.place(40.5, 40.5)}, {Kind: site.Staging, Geometry: orb.Point{9, 9}},
		{Kind: site.LeaveTree, Geometry: l.place(30.5, 30.5)}, {Kind: site.SoftGround, BearsKPa: 20, Geometry: west},
		{Kind: site.Cover, StemM: 0.1, TallM: 3, Geometry: west}, {Kind: site.Selective, Geometry: west},
		{Kind: site.OverheadLine, KV: 7.2, Geometry: l.place(5, 50)},
	}
	l.lay()
	w := l.Ground.work
	n := 0
	for i, drive := range w.Drive {
		in := i%60 >= 10 && i%60 < 20 && i/60 >= 10 && i/60 < 20
		assert.Equal(t, in || i == 0, drive)
		if in {
			n++
		}
	}
	assert.Equal(t, 100, n)
	assert.Equal(t, lots, w.Lots)
	require.Len(t, w.Staging, 2)
	assert.NotEmpty(t, w.Staging[0])
	assert.NotNil(t, w.Staging[1], "it is asked for, though it lies off")
	assert.Empty(t, w.Staging[1])
	at := 15*60 + 15
	assert.Equal(t, []float32{20, 0.1, 3}, []float32{w.BearsKPa[at], w.StemsM[at], w.GrowthM[at]})
	assert.True(t, w.Keep[at])
	assert.True(t, w.Setback[30*60+32])
	assert.Less(t, w.LineM[50*60+5], float32(0))
}
