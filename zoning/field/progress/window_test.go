package progress

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
)

// offset is a window of 12 × 9 cells of a hundredth of a degree at 60 degrees north, which
// begins at column 40 and row 30 of its raster: its cells shrink by a fiftieth a row.
func offset(t *testing.T) (*Map, window) {
	t.Helper()
	const cols, rows, col0, row0 = 12, 9, 40, 30
	frame, err := terrain.NewFrame(1, col0, row0, col0+cols, row0+rows, func(cells [][2]float64) (out [][2]float64, err error) {
		for _, c := range cells {
			out = append(out, [2]float64{20 + 0.01*c[0] + 0.002*c[1], 60 - 0.01*c[1] + 0.003*c[0]})
		}
		return out, nil
	})
	require.NoError(t, err)
	cells := &zoning.Cells{Window: coverage.Window{Masks: make([]zoning.Mask, cols*rows), Cols: cols, Rows: rows, Col0: col0, Row0: row0, Frame: frame}}
	for i := range cells.Masks {
		cells.Masks[i] = 1
	}
	return &Map{Cells: cells, Fleet: machines}, window{cells}
}

// lotOn is the lot between two corners in cells of the window.
func lotOn(t *testing.T, m *Map, c0, r0, c1, r1 float64) zoning.LotMap {
	t.Helper()
	at := func(c, r float64) orb.Point {
		lon, lat := m.Cells.Frame.LonLat(c+float64(m.Cells.Col0), r+float64(m.Cells.Row0))
		return orb.Point{lon, lat}
	}
	g := &terrain.Grid{Z: make([]float32, len(m.Cells.Masks)), Cols: m.Cells.Cols, Rows: m.Cells.Rows, Stride: m.Cells.Cols, Col0: m.Cells.Col0, Row0: m.Cells.Row0, Frame: m.Cells.Frame}
	lot, err := zoning.MapLot(m.Cells, must(slope.Of(g)), m.Fleet, nil, zoning.Parcel{Lot: "a", Ground: orb.MultiPolygon{{{at(c0, r0), at(c1, r0), at(c1, r1), at(c0, r1), at(c0, r0)}}}})
	require.NoError(t, err)
	return lot
}

// Places and lengths are those of the raster, wherever its window begins.
func TestWindowThatBeginsElsewhere(t *testing.T) {
	_, w := offset(t)
	lon, lat := w.Frame.LonLat(42.3, 34.6)
	p := w.at(orb.Point{lon, lat})
	assert.InDelta(t, 2.3, p[0], 1e-6)
	assert.InDelta(t, 4.6, p[1], 1e-6)
	m := w.Frame.MetricAt(42.3, 34.6)
	along, down := m.CellM()
	l := w.lengths(orb.Point{2.3, 4.6})
	assert.InEpsilon(t, along*along, l.e, 1e-12)
	assert.InEpsilon(t, down*down, l.g, 1e-12)

	// A disc about a cell's middle that just holds the next one: by lengths there.
	in := w.lengths(orb.Point{5.5, 4.5})
	for far, want := range map[float64]int{0.999: 1, 1.001: 3} {
		n := 0
		w.nearLine(orb.Point{5.5, 4.5}, orb.Point{5.5, 4.5}, far*math.Sqrt(in.e), func(int) { n++ })
		assert.Equal(t, want, n, "%g of a cell", far)
	}
	var at []int
	w.nearLine(orb.Point{11.5, 8.5}, orb.Point{11.5, 8.5}, 1, func(i int) { at = append(at, i) })
	assert.Equal(t, []int{107}, at, "the last cell, and none beyond it")
}

// Ground outside every lot is told by the area of its cells, wherever they lie.
func TestOutsideAcresByCell(t *testing.T) {
	m, _ := offset(t)
	owner := make([]int32, len(m.Cells.Masks))
	for _, i := range []int{3, 17, 58, 100} {
		clear(owner)
		owner[i] = 1
		r := &Report{Shifts: []Shift{{Machine: "loader"}}}
		r.count(m, owner)
		want := m.Cells.Frame.MetricAt(40.5+float64(i%12), 30.5+float64(i/12)).CellAreaM2() / acre
		assert.InEpsilon(t, want, r.OutsideAcres, 1e-12, "cell %d", i)
	}
}

// A lot's cells off the window have no index and are ground without elevation; those at
// its first row and column are on it.
func TestCellsOffTheWindow(t *testing.T) {
	m, _ := offset(t)
	unknown := zoning.Fleet(machines).Band(zoning.Unknown)
	for _, c := range []struct {
		c0, r0, c1, r1 float64
		on             int     // cells on the window
		off            float64 // shares off it
	}{
		{-2, 2.5, 3.5, 5.5, 4 * 4, 2 * 3}, {2.5, -2, 5.5, 3.5, 4 * 4, 2 * 3},
		{9.5, 2.5, 14, 5.5, 3 * 4, 2 * 3}, {2.5, 6.5, 5.5, 11, 4 * 3, 2 * 3}, {0.5, 0.5, 2.5, 2.5, 9, 0},
	} {
		on, off := map[int]bool{}, 0.0
		m.eachCell(lotOn(t, m, c.c0, c.r0, c.c1, c.r1), func(i, band int, share float64) {
			if share < 1e-6 {
				return
			}
			if i == -1 {
				off += share
				assert.Equal(t, unknown, band)
				return
			}
			on[i] = true
			assert.Zero(t, band)
		})
		assert.Len(t, on, c.on, "%+v", c)
		assert.InDelta(t, c.off, off, 1e-6, "%+v", c)
	}
}

// Gaps of all tracks of one piece of work are told together, in feet.
func TestGapsAreTold(t *testing.T) {
	m, w := jobOf(t)
	track := orb.LineString(places(w, [2]float64{20, 20}, [2]float64{40, 20}, [2]float64{40, 220}))
	other := orb.LineString(places(w, [2]float64{60, 20}, [2]float64{80, 20}, [2]float64{80, -180}))
	r, err := Tally(m, []Worked{{Line: 1, Day: "2026-05-04", Machine: "loader", Hours: 1, CutWidthM: 3, Tracks: orb.MultiLineString{track, other}}}, nil, nil)
	require.NoError(t, err)
	// 400 m are 1312 ft; on a sphere, good to 0.7%.
	require.NotEmpty(t, r.Warnings)
	assert.Regexp(t, `^2026-05-04, loader: gaps of the track longer than 500 ft were not counted as worked: 2, 13[0-2]\d ft in all$`, r.Warnings[0])
}

// Cells are coarse for a cut by the longer of their sides.
func TestCoarseByTheLongerSide(t *testing.T) {
	for _, c := range []struct {
		wM, hM, cutM float64
		told         string
	}{
		{2, 1, 3.9, "cells of 2.0 m are coarse for a cut of 3.9 m"}, {1, 2, 3.9, "cells of 2.0 m are coarse for a cut of 3.9 m"},
		{2, 1, 4.1, ""}, {1, 2, 4.1, ""}, {0.5, 0.5, 0.9, "cells of 0.5 m are coarse for a cut of 0.9 m"},
	} {
		g, err := terrain.NewGrid(make([]float32, 40*40), 40, 40, c.wM, c.hM)
		require.NoError(t, err)
		m := Map{Cells: &zoning.Cells{Window: coverage.Window{Masks: make([]zoning.Mask, 1600), Cols: 40, Rows: 40, Frame: g.Frame}}, Fleet: machines}
		a, b := g.Frame.LonLat(5, 5)
		p, q := g.Frame.LonLat(9, 5)
		r, err := Tally(m, []Worked{{Line: 1, Day: "2026-05-04", Machine: "loader", Hours: 1, CutWidthM: c.cutM, Tracks: orb.MultiLineString{{{a, b}, {p, q}}}}}, nil, nil)
		require.NoError(t, err)
		told := strings.Join(r.Warnings, "\n")
		if c.told == "" {
			assert.NotContains(t, told, "coarse", "%+v", c)
		} else {
			assert.Contains(t, told, "2026-05-04, loader: "+c.told, "%+v", c)
		}
	}
}

// What is left is reckoned at the rate in all cover; a machine without zones is not told
// of, and more done than there was leaves nothing.
func TestLeftAtTheRateInAllCover(t *testing.T) {
	m, _ := offset(t)
	r := &Report{
		Zones:  []Zone{{Acres: 6, DoneAcres: 2, machine: 0}, {Acres: 1, DoneAcres: 1.5, machine: 0}, {Acres: 9, machine: -1}},
		Shifts: []Shift{{Machine: "loader", Hours: 5}},
		Paces:  []Pace{{Machine: "loader", Acres: 2, Hours: 4}, {Machine: "loader", Cover: "heavy", Acres: 1, Hours: 10}, {Machine: "crawler", Acres: 9, Hours: 1}},
	}
	r.left(m, []Rate{{Machine: "loader", AcresPerHour: 7}, {Machine: "crawler", AcresPerHour: 7}})
	require.Len(t, r.Left, 1)
	assert.Equal(t, Left{Machine: "loader", Acres: 4, Hours: 8, Days: 2}, r.Left[0])
}

// Acres and hours of the shifts of one class add up.
func TestPacesAddUp(t *testing.T) {
	m, _ := offset(t)
	m.Covers = []string{"light", "heavy"}
	r := &Report{Shifts: []Shift{
		{Machine: "loader", Hours: 2, Acres: 1, OverAcres: 0.3, Cover: "light"}, {Machine: "loader", Hours: 3, Acres: 2, OverAcres: 0.4, Cover: "light"}, {Machine: "loader", Acres: 5},
	}}
	r.paces(m, nil)
	assert.Equal(t, []Pace{{Machine: "loader", Acres: 3, Hours: 5}, {Machine: "loader", Cover: "light", Acres: 3, Hours: 5}}, r.Paces)
}

// A shift without acres in any lot is of no cover; hours of a machine that is not in the
// fleet are refused, as are masks of another size.
func TestShiftsThatDidNothing(t *testing.T) {
	m, _ := offset(t)
	m.Covers, m.Cover = []string{"light", "heavy"}, make([]uint8, len(m.Cells.Masks))
	r, err := Tally(*m, nil, []Hours{{Line: 2, Day: "2026-05-04", Machine: "loader", Hours: 3}}, nil)
	require.NoError(t, err)
	require.Len(t, r.Shifts, 1)
	assert.Empty(t, r.Shifts[0].Cover)
	_, err = Tally(*m, nil, []Hours{{Line: 2, Day: "2026-05-04", Machine: "mower", Hours: 3}}, nil)
	assert.EqualError(t, err, `line 2: machine "mower" is not in the fleet; use one of loader, crawler`)
	m.Cover = m.Cover[1:]
	assert.EqualError(t, m.check(), "the cover is of another size than 12 × 9 cells")
	m.Cells.Masks = m.Cells.Masks[1:]
	assert.ErrorContains(t, m.check(), "107 masks for 108 cells")
}

// The window's first cell counts like every other: of a lot on it, its share of the zone.
func TestTheFirstCellCounts(t *testing.T) {
	m, _ := offset(t)
	m.Lots = []zoning.LotMap{lotOn(t, m, 0.25, 0.25, 3.5, 2.5)}
	all, first := 0.0, 0.0
	m.eachCell(m.Lots[0], func(i, _ int, share float64) {
		if all += share; i == 0 {
			first += share
		}
	})
	require.InDelta(t, 0.75*0.75, first, 1e-3)
	owner := make([]int32, len(m.Cells.Masks))
	owner[0] = 1
	r := &Report{Shifts: []Shift{{Machine: "loader"}}}
	r.count(m, owner)
	require.Len(t, r.Zones, 1)
	assert.InEpsilon(t, r.Zones[0].Acres*first/all, r.Zones[0].DoneAcres, 1e-9)
	assert.InEpsilon(t, r.Zones[0].DoneAcres, r.Shifts[0].Acres, 1e-9)
}

// A planned rate of 0 is none; below it, or without end, it is no rate.
func TestPlannedRatesOfNothing(t *testing.T) {
	m, _ := offset(t)
	for rate, ok := range map[float64]bool{0: true, 0.5: true, -0.5: false, math.Inf(1): false, math.NaN(): false} {
		_, err := Tally(*m, nil, nil, []Rate{{Machine: "loader", AcresPerHour: rate}})
		assert.Equal(t, ok, err == nil, "%g", rate)
	}
}
