package mapping

import (
	"math"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/trafficability"
)

// Pieces of a proposed strip are drawn from a hundredth of an acre on, 40.47 m², and of
// other ground all are, each with its acres. Ground that is not marked is not drawn.
func TestPiecesOfAStripFromAHundredthOfAnAcre(t *testing.T) {
	for _, c := range []struct {
		mark  zoning.Mask
		cells int
		want  int
	}{{proposedStrip, 41, 1}, {proposedStrip, 40, 0}, {proposedStrip, 37, 0}, {hollow, 8, 1}, {noElevation, 8, 1}, {hollow, 0, 0}} {
		l := tellerOn(t, 30, 30)
		marks := &zoning.Cells{Window: coverage.Window{Masks: make([]zoning.Mask, 900), Cols: 30, Rows: 30, Frame: l.Elevation.Grid.Frame}}
		l.block(5, 5, 8, c.cells, func(i int) { marks.Masks[i] = c.mark })
		l.outline(marks)
		require.Len(t, l.m.Hazards, c.want, "%d cells", c.cells)
		for _, m2 := range l.told() {
			assert.InDelta(t, c.cells, m2, 0.1)
		}
		assert.Empty(t, l.m.Warnings)
	}
}

// By hand: cells are coarser from more than 1.2 times the area of the finest on; where
// nothing covers the ground it is not unsure, and beside a step between surveys it is.
func TestUnsureGround(t *testing.T) {
	e := &terrain.Elevation{
		Grid:    &terrain.Grid{Cols: 3, Rows: 2},
		Sources: []terrain.Source{{CellM: [2]float64{1, 2}}, {CellM: [2]float64{1.2, 2}}, {CellM: [2]float64{1.21, 2}}},
	}
	assert.Nil(t, unsure(e))
	e.From = []uint16{0, 1, 2, terrain.NoSource, 0, 2}
	assert.Equal(t, []bool{false, false, true, false, false, true}, unsure(e))
	e.Stepped = []bool{false, true, false, true, false, false}
	assert.Equal(t, []bool{false, true, true, true, false, true}, unsure(e))
	e.From = nil
	assert.Equal(t, e.Stepped, unsure(e))
}

// A date is a year, a month or a day; what follows a day is left out of it.
func TestDaysOfDates(t *testing.T) {
	for date, want := range map[string]time.Time{
		"2019": time.Date(2019, 1, 1, 0, 0, 0, 0, time.UTC), "2019-06": time.Date(2019, 6, 1, 0, 0, 0, 0, time.UTC),
		"2019-06-30": time.Date(2019, 6, 30, 0, 0, 0, 0, time.UTC), "2019-06-30T10:00": {},
	} {
		assert.Equal(t, want, dayOf(date), date)
	}
}

// A machine has no load where none of the stagings takes it; where nothing is posted, and
// of a machine that is not of the fleet, nothing is said.
func TestMachinesWhoseLoadGetsNowhere(t *testing.T) {
	m := &zoning.ZoneMap{Fleet: zoning.Fleet{{Key: "a"}, {Key: "b"}, {Key: "c"}}}
	assert.False(t, noLoad(m, "a"), "nothing is posted")
	m.Access.Lands = []zoning.Mask{1, 0, 1 | 4}
	for key, want := range map[string]bool{"a": false, "b": true, "c": false, "d": false} {
		assert.Equal(t, want, noLoad(m, key), key)
	}
	l := tellerOn(t, 3, 3)
	l.m.Fleet, l.m.Access.Lands = m.Fleet, m.Access.Lands
	assert.Equal(t, "no: its load gets to no staging, by what is posted on the road there", l.whyNot(l.m, m.Fleet[1], zoning.NoWayIn, 0, 9))
	assert.Equal(t, "no: no access route from where it is unloaded", l.whyNot(l.m, m.Fleet[2], zoning.NoWayIn, 0, 9))
}

// A posting that is exceeded is told with its feature and figures, where the machine is over
// it, and in a patch the unit of the map is used: an acre is 0.4047 ha.
func TestWhatIsPostedWhereAMachineIsTooHeavy(t *testing.T) {
	l := tellerOn(t, 3, 3)
	bridge := site.Feature{Kind: site.Bridge, Name: "Creek", WeightKg: 9000}
	l.posts = []post{{Post: trafficability.Post{Cells: []int{4, 5}, WeightKg: 9000}, feature: bridge}}
	heavy, light := zoning.Machine{Name: "Crawler", WeightKg: 20000}, zoning.Machine{Name: "Loader", WeightKg: 5000}
	assert.Contains(t, l.whyNot(l.m, heavy, zoning.OverPosting, 4, 9), "at Creek (bridge)")
	none := "no: " + zoning.OverPosting.Among(nil).Words
	assert.Equal(t, none, l.whyNot(l.m, heavy, zoning.OverPosting, 3, 9))
	assert.Equal(t, none, l.whyNot(l.m, light, zoning.OverPosting, 4, 9))
	l.m.Units = measure.Metric
	assert.Equal(t, "no: the patch is smaller than the 0.4047 hectares worth moving it to", l.whyNot(l.m, zoning.Machine{PatchAcres: 1}, zoning.TooSmallAPatch, 0, 9))
}

// What a fleet may rely on is told by machine, and that cells hide some of it only where
// they do.
func TestWordsOfWhatIsSure(t *testing.T) {
	fleet := zoning.Fleet{{Name: "Loader", LimitPct: 30}, {Name: "Crawler", LimitPct: 60}}
	w := Worth{SurePct: []float64{0, 52.34}}
	want := []string{"Loader 30%: no measured slope is surely within it", "Crawler 60%: surely within it where 52.3% or less is measured", "at 90% certainty"}
	assert.Equal(t, want, w.SureWords(fleet))
	w.hides = true
	want[2] += ", where cells hide as much as on the median of the ground: on smoother ground more is sure"
	assert.Equal(t, want, w.SureWords(fleet))
	assert.Equal(t, []string{want[0], want[2]}, w.SureWords(fleet[:1]))
}

// Of a staging to which only some loads get those machines are idle there that could have
// come; where none gets, that is told and nothing else. With a staging the largest piece of
// ground is a pocket too, if there is no way to it.
func TestStagingToWhichSomeLoadsGet(t *testing.T) {
	on := func(lands []zoning.Mask) *teller {
		l := tellerOn(t, 40, 40, zoning.Machine{Key: "a", Name: "Loader", LimitPct: 30}, zoning.Machine{Key: "b", Name: "Crawler", LimitPct: 60})
		l.work.Staging, l.w.Idle = [][]int{{820, 821}}, [][]int{{0}, {0}}
		l.m.Access.Staging, l.m.Access.Lands = []orb.Point{l.at(820)}, lands
		l.w.Pockets, l.w.Unloads = [][]trafficability.Pocket{nil, {{Cell: 5, Acres: 9}}}, [][]int{{0}, nil}
		l.access()
		assert.Equal(t, []zoning.Pocket{{Machine: 1, Acres: 9, At: l.at(5)}}, l.m.Access.Pockets)
		assert.Equal(t, [][]int{{0}, nil}, l.m.Access.Unloads)
		return l
	}
	for _, c := range []struct {
		lands []zoning.Mask
		want  string
	}{
		{nil, `no way off it for Loader and Crawler;`}, {[]zoning.Mask{3}, `no way off it for Loader and Crawler;`},
		{[]zoning.Mask{1}, `no way off it for Loader;`}, {[]zoning.Mask{2}, `no way off it for Crawler;`}, {[]zoning.Mask{0}, `no load of the fleet gets there`},
	} {
		warned := on(c.lands).m.Warnings
		require.Len(t, warned, 1)
		assert.Regexp(t, `^staging 1 \(.*`+c.want, warned[0])
	}
}

// A feature that cannot be laid is an error, whatever is told of it, and not a feature that
// takes nothing.
func TestFeaturesThatCannotBeLaidAreErrors(t *testing.T) {
	nowhere := orb.LineString{{math.NaN(), 0}, {1, math.NaN()}}
	for _, kind := range []site.Kind{site.Pipeline, site.Edge, site.Gate, site.OverheadLine, site.Cover} {
		l := tellerOn(t, 10, 10)
		l.Features = []site.Feature{{Kind: kind, Geometry: nowhere, StemM: 0.3, TypicalM: 0.1}}
		if kind == site.Cover {
			l.Features[0].Geometry = orb.Polygon{orb.Ring(append(nowhere, nowhere[0]))}
		}
		assert.Error(t, l.features(), kind)
	}
}
