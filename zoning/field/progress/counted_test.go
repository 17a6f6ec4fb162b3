package progress

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
)

// A way of 500 ft (152.4 m; planning value, no source) between two fixes counts as driven
// straight, a longer one does not; gaps add up.
func TestGapsFromFiveHundredFeet(t *testing.T) {
	w := windowOf(t, 1)
	count := func(metres ...float64) (cells, gaps int, gapM float64) {
		track, x := orb.LineString{at(w, 0, 60)}, 0.0
		for _, m := range metres {
			x += m
			track = append(track, at(w, x, 60))
		}
		gaps, gapM = w.alongTrack(track, 2, func(int) { cells++ })
		return cells, gaps, gapM
	}
	// Distances are taken on a sphere, here true to 0.7%.
	cells, gaps, _ := count(151)
	assert.Positive(t, cells)
	assert.Zero(t, gaps)
	cells, gaps, gapM := count(154, 154)
	assert.Zero(t, cells)
	assert.Equal(t, 2, gaps)
	assert.InEpsilon(t, 308, gapM, 0.007)
	assert.InDelta(t, 152.4, MaxGapM, 1e-9)
	one := 0
	w.alongTrack(orb.LineString{at(w, 60.5, 60.5)}, 2, func(int) { one++ })
	assert.Equal(t, 5, one, "a lone fix is a disc of 1 m about its cell's middle")
	w.alongTrack(orb.LineString{}, 2, func(int) { one++ })
	assert.Equal(t, 5, one)
}

// Cutting widths from 1 to 50 ft.
func TestCuttingWidthsFromOneToFiftyFeet(t *testing.T) {
	m, w := jobOf(t)
	for ft, ok := range map[float64]bool{0.99: false, 1: true, 50: true, 50.1: false} {
		_, err := Tally(m, []Worked{{Line: 1, Day: "2026-05-04", Machine: "loader", CutWidthM: ft * 0.3048, Tracks: orb.MultiLineString{places(w, [2]float64{20, 20}, [2]float64{40, 20})}}}, nil, nil)
		assert.Equal(t, ok, err == nil, "%g ft", ft)
	}
	// Cells of more than half the cut make acres rough.
	for cutM, rough := range map[float64]bool{2.01: false, 1.99: true} {
		r, err := Tally(m, []Worked{{Line: 1, Day: "2026-05-04", Machine: "loader", Hours: 1, CutWidthM: cutM, Tracks: orb.MultiLineString{places(w, [2]float64{20, 20}, [2]float64{40, 20})}}}, nil, nil)
		require.NoError(t, err)
		assert.Equal(t, rough, len(r.Warnings) == 1, "%g m: %v", cutM, r.Warnings)
	}
}

// A shift is of a class of cover from nine tenths of its acres on (planning value, no
// source).
func TestAShiftIsOfOneCoverFromNineTenths(t *testing.T) {
	m, w := jobOf(t)
	m.Covers, m.Cover = []string{"not given", "light"}, make([]uint8, 150*120)
	for i := range m.Cover {
		if i%150 >= 21 {
			m.Cover[i] = 1
		}
	}
	for width, want := range map[float64]string{11: "light", 9: "", 10: "light"} {
		r, err := Tally(m, []Worked{{Line: 1, Day: "2026-05-04", Machine: "loader", Hours: 1, Ground: box(w, 20, 20, 20+width, 50)}}, nil, nil)
		require.NoError(t, err)
		require.Len(t, r.Shifts, 1)
		assert.Equal(t, want, r.Shifts[0].Cover, "one column in %g is not", width)
	}
}

// Planned rates are those of the machine and of the class; hours that a track recorded are
// told; hours of a table go before them.
func TestRatesAndHours(t *testing.T) {
	planned := []Rate{{"crawler", "", 9}, {"loader", "heavy", 1}, {"loader", "", 2}, {"loader", "light", 3}}
	assert.Equal(t, []float64{2, 3, 1, 9, 0, 0}, []float64{rateOf(planned, "loader", ""), rateOf(planned, "loader", "light"), rateOf(planned, "loader", "heavy"),
		rateOf(planned, "crawler", ""), rateOf(planned, "crawler", "light"), rateOf(planned, "mower", "")})

	m, w := jobOf(t)
	work := func(recorded ...bool) []Worked {
		var out []Worked
		for i, r := range recorded {
			x := 20 + 5*float64(i)
			out = append(out, Worked{Line: i, Day: "2026-05-04", Machine: "loader", Hours: 2, Recorded: r, Ground: box(w, x, 20, x+5, 40)})
		}
		return out
	}
	r, err := Tally(m, work(true, false), nil, nil)
	require.NoError(t, err)
	assert.True(t, r.Shifts[0].Recorded)
	assert.Equal(t, 4.0, r.Shifts[0].Hours)
	assert.Contains(t, r.Warnings[0], "its hours are the time its track recorded")
	r, err = Tally(m, work(false, false), nil, nil)
	require.NoError(t, err)
	assert.False(t, r.Shifts[0].Recorded)
	r, err = Tally(m, work(true), []Hours{{1, "2026-05-04", "loader", 3}}, nil)
	require.NoError(t, err)
	assert.Equal(t, 3.0, r.Shifts[0].Hours)
	assert.False(t, r.Shifts[0].Recorded, "the table's hours are nobody's track")
	// Days are those with known hours.
	r, err = Tally(m, []Worked{{Line: 1, Day: "2026-05-04", Machine: "loader", Hours: 2, Ground: box(w, 20, 20, 30, 40)}, {Line: 2, Day: "2026-05-05", Machine: "loader", Ground: box(w, 30, 20, 40, 40)}}, nil, nil)
	require.NoError(t, err)
	assert.Equal(t, 1, r.days("loader"))
	assert.InDelta(t, r.Left[0].Hours/2, r.Left[0].Days, 1e-9)
	assert.InDelta(t, 200/acre, r.Paces[0].Acres, 1e-5, "acres without hours are in no rate")
	assert.InDelta(t, 200/acre/2, r.Paces[0].PerHour(), 1e-5)
	assert.False(t, r.Left[0].Planned)
	assert.True(t, math.IsNaN(r.Left[1].Hours), "the crawler's rate is not known")
	assert.True(t, r.Left[1].Planned)
}

// Ground over a machine's limits is told from a twohundredth of an acre on, ground outside
// every lot from a twentieth.
func TestWhatIsTold(t *testing.T) {
	m, w := jobOf(t)
	warned := func(x0, y0, x1, y1 float64) []string {
		r, err := Tally(m, []Worked{{Line: 1, Day: "2026-05-04", Machine: "loader", Hours: 1, Ground: box(w, x0, y0, x1, y1)}}, nil, nil)
		require.NoError(t, err)
		return r.Warnings
	}
	// 0.005 acres are 20.23 m², 0.05 acres 202.3 m².
	assert.Empty(t, warned(60, 20, 64, 25))
	require.Len(t, warned(60, 20, 67, 23), 1)
	assert.Contains(t, warned(60, 20, 67, 23)[0], "loader worked 0.01 acres that the map does not give it")
	assert.Empty(t, warned(0, 20, 5, 60))
	require.Len(t, warned(0, 20, 5, 61), 1)
	assert.Contains(t, warned(0, 20, 5, 61)[0], "about 0.05 acres were worked outside every lot")
	// Closed ground, and ground nobody measured, is over whatever bits it has.
	for _, mask := range []zoning.Mask{zoning.NoGo | 1, zoning.Unknown | 1} {
		m, w := jobOf(t)
		for i := range m.Cells.Masks {
			m.Cells.Masks[i] = mask
		}
		for k := range m.Lots {
			m.Lots[k].Zones[0].Band = make(zoning.Fleet, 2).Band(mask)
		}
		r, err := Tally(m, []Worked{{Line: 1, Day: "2026-05-04", Machine: "loader", Hours: 1, Ground: box(w, 20, 20, 40, 40)}}, nil, nil)
		require.NoError(t, err)
		assert.InDelta(t, r.Shifts[0].Acres, r.Shifts[0].OverAcres, 1e-12)
		assert.Positive(t, r.Shifts[0].OverAcres)
	}
}

// A line marks what lies within half its width, on cells that are not square.
func TestTracksInMetres(t *testing.T) {
	w := windowOf(t, 1)
	m := w.lengths(orb.Point{10, 10})
	assert.InDelta(t, 1, m.e, 1e-9)
	assert.InDelta(t, 0, m.f, 1e-12)
	got := map[int]bool{}
	w.nearLine(orb.Point{20, 20}, orb.Point{50, 60}, 6, func(i int) { got[i] = true })
	for i := range w.Masks {
		x, y := float64(i%150)+0.5, float64(i/150)+0.5
		s := min(max(((x-20)*30+(y-20)*40)/2500, 0), 1)
		d := math.Hypot(20+30*s-x, 20+40*s-y)
		if math.Abs(d-6) > 1e-6 {
			require.Equal(t, d < 6, got[i], "%g, %g", x, y)
		}
	}
	for from, c := range map[float64][3]float64{-5: {10, 0, 10}, 0.5: {3.5, 0, 3}, 0.51: {3.51, 1, 4}, 99: {120, 99, 100}} {
		first, last := w.middles(from, c[0], 100)
		assert.Equal(t, [2]int{int(c[1]), int(c[2])}, [2]int{first, last}, "%g", from)
	}
	first, last := w.middles(math.NaN(), 5, 100)
	assert.Equal(t, [2]int{0, 0}, [2]int{first, last})
}

// A lot beyond the window keeps its acres as not known; a class of cover that has no name is
// refused.
func TestLotsBeyondTheWindow(t *testing.T) {
	m, w := jobOf(t)
	ring := orb.Ring(places(w, [2]float64{140, 130}, [2]float64{160, 130}, [2]float64{160, 110}, [2]float64{140, 110}, [2]float64{140, 130}))
	lot, err := zoning.MapLot(m.Cells, must(slope.Of(gridAs(t, w))), machines, nil, zoning.Parcel{Lot: "corner", Ground: orb.MultiPolygon{{ring}}})
	require.NoError(t, err)
	m.Lots = []zoning.LotMap{lot}
	r, err := Tally(m, []Worked{{Line: 1, Day: "2026-05-04", Machine: "loader", Hours: 1, Ground: box(w, 130, 105, 170, 140)}}, nil, nil)
	require.NoError(t, err)
	inside, off := 0.0, 0.0
	for _, z := range r.Zones {
		if z.Band == zoning.UnknownKey {
			off += z.LeftAcres()
			assert.Zero(t, z.DoneAcres)
		} else {
			inside += z.DoneAcres
		}
	}
	assert.InDelta(t, 100/acre, inside, 1e-5)
	assert.InDelta(t, 300/acre, off, 1e-5)
	m.Cover, m.Covers = make([]uint8, 150*120), []string{"light"}
	_, err = Tally(m, nil, nil, nil)
	require.NoError(t, err)
	m.Cover[7] = 1
	_, err = Tally(m, nil, nil, nil)
	assert.ErrorContains(t, err, "a cell has cover 1 of 1")
}

// gridAs is level ground on a window's cells.
func gridAs(t *testing.T, w window) *terrain.Grid {
	t.Helper()
	g, err := terrain.NewGrid(make([]float32, w.Cols*w.Rows), w.Cols, w.Rows, 1, 1)
	require.NoError(t, err)
	return g
}

// Lengths on skewed axes: a step along the row is 3 m east, one down the column 1 m east and
// 2 m south; worked ground is taken by day, and the list given is left as it was.
func TestLengthsOnSkewedAxes(t *testing.T) {
	const n = 60
	g, err := terrain.NewGrid(make([]float32, n*n), n, n, 1, 1)
	require.NoError(t, err)
	g.Frame, err = terrain.NewFrame(64, 0, 0, n, n, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			out[i] = [2]float64{(3*c[0] + c[1]) / 111319.4908, -2 * c[1] / 110574.2727} // metres in a degree at the equator, WGS84
		}
		return out, nil
	})
	require.NoError(t, err)
	w := window{&zoning.Cells{Window: coverage.Window{Masks: make([]zoning.Mask, n*n), Cols: n, Rows: n, Frame: g.Frame}}}
	for _, d := range []orb.Point{{1, 0}, {0, 1}, {2, -3}} {
		assert.InEpsilon(t, math.Hypot(3*d[0]+d[1], 2*d[1]), math.Sqrt(w.lengths(orb.Point{30, 30}).dot(d, d)), 1e-5)
	}
	got := map[int]bool{}
	a, b := orb.Point{10, 10}, orb.Point{30, 50}
	w.nearLine(a, b, 8, func(i int) { got[i] = true })
	dx, dy := 3.0*20+40, 2.0*40
	for i := range n * n {
		c, r := float64(i%n)+0.5-10, float64(i/n)+0.5-10
		x, y := 3*c+r, 2*r
		s := min(max((x*dx+y*dy)/(dx*dx+dy*dy), 0), 1)
		if d := math.Hypot(x-s*dx, y-s*dy); math.Abs(d-8) > 0.01 {
			require.Equal(t, d < 8, got[i], "%d", i)
		}
	}
	m, win := jobOf(t)
	worked := []Worked{{Line: 1, Day: "2026-05-05", Machine: "loader", Ground: box(win, 20, 20, 30, 40)}, {Line: 2, Day: "2026-05-04", Machine: "loader", Ground: box(win, 20, 20, 30, 40)}}
	r, err := Tally(m, worked, nil, nil)
	require.NoError(t, err)
	assert.Equal(t, []int{1, 2}, []int{worked[0].Line, worked[1].Line})
	assert.Equal(t, "2026-05-04", r.Shifts[0].Day)
	assert.Positive(t, r.Shifts[0].Acres, "the earlier day did it")
	assert.Zero(t, r.Shifts[1].Acres)
	for _, z := range r.Zones {
		assert.Positive(t, z.Acres, "bands without ground are no zones")
	}
}
