package mapping

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/flow"
	"github.com/acreband/acreband/terrain/runs"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/trafficability"
)

// tellerOn tells of level ground in cells of a metre, all of it one lot that goes to the
// first machine.
func tellerOn(t *testing.T, cols, rows int, fleet ...zoning.Machine) *teller {
	t.Helper()
	grid, err := terrain.NewGrid(make([]float32, cols*rows), cols, rows, 1, 1)
	require.NoError(t, err)
	if fleet == nil {
		fleet = []zoning.Machine{{Key: "loader", Name: "Loader", LimitPct: 45}}
	}
	all := make([]bool, cols*rows)
	for i := range all {
		all[i] = true
	}
	g := &Ground{
		Elevation: &terrain.Elevation{Grid: grid, Sources: []terrain.Source{{CellM: [2]float64{1, 1}}}},
		seen:      &seen{}, Site: &site.Ground{}, work: trafficability.Ground{Lots: all, Drive: all},
	}
	m := &zoning.ZoneMap{
		Fleet: fleet, Field: slope.NewField(grid),
		Cells: &zoning.Cells{Window: coverage.Window{Masks: make([]zoning.Mask, cols*rows), Cols: cols, Rows: rows, Frame: grid.Frame}},
	}
	return &teller{Ground: g, m: m, w: &trafficability.Work{Masks: slices.Repeat([]zoning.Mask{1}, cols*rows)}}
}

// block visits the cells from a corner, n of them in rows of a width.
func (t *teller) block(c0, r0, wide, n int, visit func(i int)) {
	for k := range n {
		visit((r0+k/wide)*t.Elevation.Grid.Cols + c0 + k%wide)
	}
}

// dry is drainage without any.
func (t *teller) dry() *flow.Drainage {
	return &flow.Drainage{Cols: t.Elevation.Grid.Cols, Rows: t.Elevation.Grid.Rows}
}

// told lists the hazards by kind, with their ground in square metres.
func (t *teller) told() map[zoning.HazardKind]float64 {
	out := map[zoning.HazardKind]float64{}
	for _, h := range t.m.Hazards {
		m2 := 0.0
		if poly, ok := h.Geometry.(orb.Polygon); ok {
			m2 = coverage.Acres(orb.MultiPolygon{poly}) * terrain.SquareMetresPerAcre
		}
		out[h.Kind] += m2
	}
	return out
}

// Ground of 50% or more, a twentieth of an acre of it (43560/20 square feet, 202.34 m²)
// or more, beside a zone: as much is told of, and no less. California 14 CCR 914.2(f)
// has 50%; the area is a planning value, no source.
func TestSteepGroundIsToldFromFiftyPercentAndATwentiethOfAnAcre(t *testing.T) {
	for _, c := range []struct {
		pct   float64
		cells int
		told  bool
	}{{50, 203, true}, {49.99, 203, false}, {50, 202, false}, {80, 203, true}} {
		l := tellerOn(t, 40, 40)
		l.block(10, 10, 15, c.cells, func(i int) {
			l.m.Field.Squared[i] = float32(c.pct / 100 * c.pct / 100)
			l.Elevation.Grid.Z[i] = 5
			l.w.Masks[i] = 0 // no machine's
		})
		l.steep(l.dry())
		if !c.told {
			assert.Empty(t, l.m.Hazards, "%g%%, %d m²", c.pct, c.cells)
			continue
		}
		require.Len(t, l.m.Hazards, 1, "%g%%, %d m²", c.pct, c.cells)
		assert.InDelta(t, c.cells, l.told()[zoning.SteepAbove], 0.01)
		assert.Equal(t, "ground of 50% or more right above a zone, 0.05 acres: material rolls down onto it", l.m.Hazards[0].Words)
	}
}

// What lies above a zone rolls onto it, what lies below does not stop what goes over; a
// bank between two zones does both; one that no zone is beside is nobody's.
func TestSteepGroundIsAboveOrBelowAZone(t *testing.T) {
	for name, c := range map[string]struct {
		above, below float32 // heights of the ground north and south, the bank being at 0
		mask         zoning.Mask
		want         []zoning.HazardKind
	}{
		"a slope down into a gully": {5, 5, 1, []zoning.HazardKind{zoning.SteepBelow}},
		"a mound":                   {-5, -5, 1, []zoning.HazardKind{zoning.SteepAbove}},
		"a bank":                    {5, -5, 1, []zoning.HazardKind{zoning.SteepAbove, zoning.SteepBelow}},
		"as high":                   {0, 0, 1, []zoning.HazardKind{zoning.SteepBelow}},
		"ground that none works":    {5, -5, 0, nil},
	} {
		l := tellerOn(t, 40, 30)
		for i := range l.w.Masks {
			l.w.Masks[i] = c.mask
			switch r := i / 40; {
			case r < 10:
				l.Elevation.Grid.Z[i] = c.above
			case r >= 20:
				l.Elevation.Grid.Z[i] = c.below
			default:
				l.m.Field.Squared[i], l.w.Masks[i] = 1, 0
			}
		}
		l.steep(l.dry())
		var kinds []zoning.HazardKind
		for _, h := range l.m.Hazards {
			kinds = append(kinds, h.Kind)
		}
		assert.Equal(t, c.want, kinds, name)
	}
	l := tellerOn(t, 40, 30)
	l.block(10, 10, 15, 225, func(i int) { l.m.Field.Squared[i] = 1 })
	l.work.Lots = make([]bool, len(l.w.Masks))
	l.steep(l.dry())
	assert.Empty(t, l.m.Hazards, "ground off the lots is no zone")
}

// Ground without elevation beside a zone is drawn, other such ground is not; nor is a
// hollow that no zone is in.
func TestUnknownGroundAndHollowsOfZones(t *testing.T) {
	l := tellerOn(t, 40, 20)
	l.block(5, 5, 4, 12, func(i int) { l.w.Masks[i] = zoning.Unknown })
	l.steep(l.dry())
	assert.Equal(t, map[zoning.HazardKind]float64{}, roundAll(tellerOn(t, 5, 5)))
	assert.Equal(t, map[zoning.HazardKind]float64{zoning.NoElevation: 12}, roundAll(l))
	assert.Equal(t, "no elevation data beside a zone, 0.00 acres: nobody knows what is there", l.m.Hazards[0].Words)

	l = tellerOn(t, 40, 20)
	clear(l.w.Masks)
	l.block(5, 5, 4, 12, func(i int) { l.w.Masks[i] = zoning.Unknown })
	l.steep(l.dry())
	assert.Empty(t, l.m.Hazards)

	d := l.dry()
	for row := range 3 {
		from := (5+row)*40 + 20
		d.InHollow = append(d.InHollow, runs.Run{From: from, To: from + 4})
	}
	l.steep(d)
	assert.Empty(t, l.m.Hazards, "no zone lies in it")
	l.w.Masks[5*40+20] = 1
	l.steep(d)
	assert.Equal(t, map[zoning.HazardKind]float64{zoning.Depression: 12}, roundAll(l))
}

func roundAll(l *teller) map[zoning.HazardKind]float64 {
	out := l.told()
	for k, v := range out {
		out[k] = math.Round(v*100) / 100
	}
	return out
}

// A drop is told of where its edge is three cells long, or where it is 6 ft and more,
// and within a machine's length, 10 ft for want of one, 3 m, of a lot (planning values,
// no source).
func TestDropOffsThatAreTold(t *testing.T) {
	edge := func(dropM float64, cells ...int) []trafficability.Edge {
		var out []trafficability.Edge
		for _, i := range cells {
			out = append(out, trafficability.Edge{Cell: i, DropM: dropM})
		}
		return out
	}
	const cols = 60
	at := 20*cols + 20
	for name, c := range map[string]struct {
		drops []trafficability.Edge
		want  string
	}{
		"two cells, just under 6 ft": {edge(1.828, at, at+1), ""},
		"two cells, 6 ft":            {edge(1.8289, at, at+1), "drop-off, up to 6 ft"},
		"three cells, 1 m":           {edge(1, at, at+1, at+2), "drop-off, up to 3 ft"},
		"the highest is told":        {append(edge(1, at, at+2), edge(4, at+1)...), "drop-off, up to 13 ft"},
		"3 m from the lot":           {edge(9, 20*cols+32, 21*cols+32, 22*cols+32), ""},
		"2 m from the lot":           {edge(9, 20*cols+31, 21*cols+31, 22*cols+31), "drop-off, up to 30 ft"},
	} {
		l := tellerOn(t, cols, 40)
		for i := range l.work.Lots {
			l.work.Lots[i] = i%cols < 30 // to x = 29.5
		}
		l.rims.drops = c.drops
		l.dropOffs()
		if c.want == "" {
			assert.Empty(t, l.m.Hazards, name)
			continue
		}
		require.Len(t, l.m.Hazards, 1, name)
		assert.Equal(t, c.want, l.m.Hazards[0].Words, name)
		assert.Equal(t, zoning.DropOff, l.m.Hazards[0].Kind)
	}
}

// An edge goes on over a gap of two cells and ends at three; each cell is of one line.
func TestEdgesAreStrungTogether(t *testing.T) {
	const cols = 50
	assert.Equal(t, [][]int{{100, 101, 104}, {108}}, sorted(chains([]int{100, 101, 104, 108}, cols, nil)))
	assert.Equal(t, [][]int{{49}, {50}}, sorted(chains([]int{49, 50}, cols, nil)), "the row's end and the next row's start are apart")
	assert.Equal(t, [][]int{{0, 3 * cols, 6 * cols}}, sorted(chains([]int{3 * cols, 0, 6 * cols}, cols, nil)), "from the middle to both ends")
	assert.Equal(t, [][]int{{0}, {4 * cols}}, sorted(chains([]int{0, 4 * cols}, cols, nil)))
	assert.Equal(t, [][]int{{0, 3*cols + 3}}, sorted(chains([]int{0, 3*cols + 3}, cols, nil)))
}

// sorted turns each line so that it begins at its lower end.
func sorted(lines [][]int) [][]int {
	for _, l := range lines {
		if l[0] > l[len(l)-1] {
			for i, j := 0, len(l)-1; i < j; i, j = i+1, j-1 {
				l[i], l[j] = l[j], l[i]
			}
		}
	}
	return lines
}

// A tight spot is as wide as twice what is clear on either side, in feet.
func TestPinchesAreToldWithTheirWidth(t *testing.T) {
	l := tellerOn(t, 10, 10)
	l.w.Pinches = [][]trafficability.Pinch{{{Cell: 33, ClearM: 1.8288, Acres: 2.34}}} // 6 ft on either side
	l.pinches()
	require.Len(t, l.m.Hazards, 1)
	assert.Equal(t, "pinch point on the access route of the loader: about 12 ft wide, 2.3 acres beyond", l.m.Hazards[0].Words)
	assert.Equal(t, "loader", l.m.Hazards[0].Machine)
	c, r := l.Elevation.Grid.Frame.Cell(l.m.Hazards[0].Geometry.(orb.Point)[0], l.m.Hazards[0].Geometry.(orb.Point)[1])
	assert.InDelta(t, 3.5, c, 1e-3)
	assert.InDelta(t, 3.5, r, 1e-3)
}

// Drainage lines are told where machines drive, from a machine's length on (3 m).
func TestWaterLinesThatAreTold(t *testing.T) {
	for name, c := range map[string]struct {
		path  [][2]float64
		drive bool
		told  bool
	}{
		"through a lot": {[][2]float64{{2.5, 2.5}, {5.6, 2.5}}, true, true},
		"too short":     {[][2]float64{{2.5, 2.5}, {5.4, 2.5}}, true, false},
		"elsewhere":     {[][2]float64{{2.5, 2.5}, {8.5, 2.5}}, false, false},
	} {
		l := tellerOn(t, 12, 12)
		l.Ground.work.Drive = make([]bool, 144)
		if c.drive {
			l.Ground.work.Drive[2*12+2] = true
		}
		d := l.dry()
		d.Lines = []flow.Line{{Path: c.path, MouthM2: 2.26 * terrain.SquareMetresPerAcre}}
		l.waterLines(d)
		if !c.told {
			assert.Empty(t, l.m.Hazards, name)
			continue
		}
		require.Len(t, l.m.Hazards, 1, name)
		assert.Equal(t, "drainage line: at least 2.3 acres drain through its lower end", l.m.Hazards[0].Words)
	}
}

// spot is a feature drawn as a point at cells of a teller's ground.
func (t *teller) spot(kind site.Kind, col, row float64) site.Feature {
	return site.Feature{Kind: kind, Name: "Mill", Geometry: t.place(col, row)}
}

// People within the thrown-object distance of a head: its manual's, or 300 ft for want
// of it, horizontal, on ground that goes to that machine (planning value, no source).
func TestPeopleNearZones(t *testing.T) {
	fleet := []zoning.Machine{{Key: "a", Name: "Loader", LimitPct: 30}, {Key: "b", Name: "Crawler", LimitPct: 60, ThrownM: 120}}
	for _, kind := range []site.Kind{site.Building, site.Road, site.Path} {
		l := tellerOn(t, 300, 3, fleet...)
		for i := range l.w.Masks {
			l.w.Masks[i] = [3]zoning.Mask{1, 2, 0}[i/300] // the third row is no machine's
		}
		l.Features = []site.Feature{l.spot(kind, 0.5, 1.5)}
		require.NoError(t, l.features())
		require.Len(t, l.m.Hazards, 1, kind)
		// By hand: cells of the first row whose column c has c² + 1 ≤ 91.44², 0 to 91; of
		// the second c ≤ 120.
		assert.Equal(t, "Mill ("+string(kind)+"): 0.02 acres of the loader's and 0.03 acres of the crawler's lie within the thrown-object distance of it", l.m.Hazards[0].Words)
		assert.Equal(t, zoning.PeopleNear, l.m.Hazards[0].Kind)
	}
	far := tellerOn(t, 300, 30, fleet...)
	far.Features = []site.Feature{far.spot(site.Building, -91, 15)}
	require.NoError(t, far.features())
	assert.Empty(t, far.m.Hazards, "a sliver under a hundredth of an acre is no word worth")
	l := tellerOn(t, 300, 3, fleet...)
	l.Features = []site.Feature{l.spot(site.NoGo, 5, 1), l.spot(site.LeaveTree, 5, 1)}
	require.NoError(t, l.features())
	assert.Empty(t, l.m.Hazards)
}

// Acres near people are those of the cells within the distance, to the cell.
func TestAcresNearAFeature(t *testing.T) {
	l := tellerOn(t, 300, 300)
	thrown := func(m float64) string {
		words, err := l.nearby(l.spot(site.Building, 150.5, 150.5), func(zoning.Machine) float64 { return m })
		require.NoError(t, err)
		return words
	}
	count := func(m float64) (n float64) {
		for r := -150.0; r < 150; r++ {
			for c := -150.0; c < 150; c++ {
				if c*c+r*r <= m*m {
					n++
				}
			}
		}
		return n
	}
	for _, m := range []float64{5, 40, 91.44} {
		assert.Contains(t, thrown(m), acresWords(count(m)/4046.8564224), "%g m", m)
	}
	assert.Equal(t, "", thrown(2.2), "13 cells: less than a twohundredth of an acre")
	assert.Equal(t, "0.01 acres of the loader's", thrown(2.3), "21 cells: 0.0052 acres")
}

func acresWords(a float64) string { return fmt.Sprintf("%.2f acres of the loader's", a) }

// A line overhead is kept clear of by Table A of 29 CFR 1926.1408 (115 kV: 15 ft; not
// known: 50 ft, 1926.1409), by its own setback where that is wider, and farther by the
// reach of a boom.
func TestLinesNearZones(t *testing.T) {
	loader, boom := zoning.Machine{Key: "a", Name: "Loader", LimitPct: 30}, zoning.Machine{Key: "b", Name: "Boom", LimitPct: 40, ReachM: 10}
	line := func(l *teller, kV, setbackM float64) site.Feature {
		return site.Feature{Kind: site.OverheadLine, KV: kV, Setback: site.Setback{WidthM: setbackM},
			Geometry: orb.LineString{l.place(50, -500), l.place(50, 500)}}
	}
	for _, c := range []struct {
		kV, setbackM, reachM float64
		band                 int
		keep                 string
	}{
		{115, 0, 15 * 0.3048, 0, "15 ft"}, {115, 0, 15*0.3048 + 10, 1, "15 ft"},
		{0, 0, 50 * 0.3048, 0, "50 ft"}, {115, 20, 20, 0, "66 ft"}, {0, 3, 50 * 0.3048, 0, "50 ft"},
	} {
		l := tellerOn(t, 100, 100, loader, boom)
		for i := range l.w.Masks {
			l.w.Masks[i] = 1 << c.band
		}
		l.Features = []site.Feature{line(l, c.kV, c.setbackM)}
		require.NoError(t, l.features())
		cells := 0.0
		for col := range 100 {
			if math.Abs(float64(col)+0.5-50) <= c.reachM {
				cells += 100
			}
		}
		require.Len(t, l.m.Hazards, 1)
		who := []string{"loader", "boom"}[c.band]
		name := map[bool]string{true: "overhead-line, voltage not known", false: "overhead-line"}[c.kV == 0]
		assert.Equal(t, fmt.Sprintf("%s: keep %s clear; %.2f acres of the %s's lie within that distance of it, a boom's reach added", name, c.keep, cells/4046.8564224, who), l.m.Hazards[0].Words)
	}
	l := tellerOn(t, 100, 100, loader)
	clear(l.w.Masks)
	l.Features = []site.Feature{line(l, 7.2, 0)}
	require.NoError(t, l.features())
	require.Len(t, l.m.Hazards, 1, "told though nobody works near it")
	assert.Equal(t, "overhead-line: keep 10 ft clear", l.m.Hazards[0].Words)
}
