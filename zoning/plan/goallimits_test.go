package plan

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/site"
)

// The largest crew is worked out first, for its prices; where the budget does not pay for its
// moves it is not, and never the answer.
func TestCrewThatCannotComeIsNotTheAnswer(t *testing.T) {
	c := &choice{owned: []int{1}, moveH: []float64{1}, fixed: []float64{1000}, spend: []float64{1000}, within: math.Inf(1), budget: 900,
		pieces: [][]option{{{by: byNobody, cost: 9000}, {by: 0, cost: 10, spend: 10, hours: 1}}}, area: []int{0}, room: []float64{1}}
	s, err := c.solve()
	require.NoError(t, err)
	assert.Equal(t, crew{0}, s.crew)
	assert.Equal(t, 9000.0, s.cost)
	assert.Equal(t, 1, s.proof.Solved)
}

// twice is a planner of one piece that loader and crawler may work, the loader in 13 hours
// with its moves and at a high cost, the crawler in 14.6 at a low one.
func twice(t *testing.T, edits ...string) *planner {
	s := &Site{Pieces: []Piece{{Zone: "z", May: 1 | 8, GrossAcres: 6, NetAcres: 6, Cover: Light}}}
	p := planning(t, s, append([]string{"job", "haul_miles", "0mi", "job", "productive", "100%", "job", "obstacles", "100%", "job", "finish", "100%",
		"job", "support_truck", "$0/h", "job", "weather", "0%", "job", "week", "7days",
		"track-loader", "rate_light", "0.5ac/h", "track-loader", "slope_factor", "100% at 10%", "track-loader", "handling", "0.5h", "track-loader", "machine", "$500/h",
		"remote-crawler", "rate_light", "0.4411764705882353ac/h", "remote-crawler", "slope_factor", "100% at 10%", "remote-crawler", "handling", "0.5h",
		"dedicated-carrier", "owned", "0", "boom-head", "owned", "0"}, edits...)...)
	for i, k := range p.kinds {
		assert.InDelta(t, 1, k.moveH, 1e-9, k.machine.Key)
		w, ok := p.v.load(i, k, s.Pieces[0], 0)
		require.True(t, ok)
		assert.InDelta(t, map[string]float64{"track-loader": 12, "remote-crawler": 13.6}[k.machine.Key], w.scheduled, 1e-9)
	}
	return p
}

// The fewest half days are of the working day, and then the cheapest crew that keeps to
// them; but never beyond the window, where that ends within them.
func TestSoonestKeepsToTheWindow(t *testing.T) {
	p := twice(t, "track-loader", "owned", "1")
	key := func(p *planner) string {
		s, ok, err := p.soonest()
		require.NoError(t, err)
		require.True(t, ok)
		var names []string
		for i, n := range s.crew {
			for range n {
				names = append(names, p.kinds[i].machine.Key)
			}
		}
		return strings.Join(names, ", ")
	}
	// Together, on one area that takes one at a time, they are no faster than the loader.
	assert.Equal(t, "remote-crawler", key(p), "13 h are 1.5 days of 10 h, which the crawler keeps to at 14.6 h")
	p.job.DayH = 13.5
	p.job.WindowDays = 1
	assert.Equal(t, "track-loader, remote-crawler", key(p), "the crawler alone takes 14.6 h, one and a half days of 13.5, and the window is one")
	p.job.DayH, p.job.WindowDays = 13, 0
	assert.Equal(t, "track-loader", key(p), "13 h are one day of 13 h")
}

// A crew of one that may work all but not in time is not the fewest machines.
func TestFewestMachinesInTime(t *testing.T) {
	s := &Site{GapM: func(int, int) float64 { return 1e6 }}
	for range 2 {
		s.Pieces = append(s.Pieces, Piece{Zone: "z", May: 1, GrossAcres: 6, NetAcres: 6, Cover: Light})
	}
	p := planning(t, s, "track-loader", "owned", "3", "job", "haul_miles", "0mi", "job", "weather", "0%", "job", "week", "7days",
		"job", "window", "3days", "track-loader", "rate_light", "0.5ac/h")
	got, ok, err := p.fewest()
	require.NoError(t, err)
	require.True(t, ok)
	assert.Equal(t, 2, got.crew.size(), "each has some 20 h of 30, one alone 40")
	p.job.WindowDays = 6
	got, _, err = p.fewest()
	require.NoError(t, err)
	assert.Equal(t, 1, got.crew.size())
}

// Machines without ground to be cleared have no acres at which they pay, and closed ground
// and ground of which nothing is to be cleared are nobody's task.
func TestNothingToClearIsNoTask(t *testing.T) {
	s := &Site{Pieces: []Piece{
		{Zone: "a", May: 1, GrossAcres: 6, NetAcres: 6, Cover: Light}, {Zone: "b", May: 8, GrossAcres: 2, Cover: Light},
		{Zone: "no-go", May: 1 | zoning.NoGo, GrossAcres: 2, NetAcres: 2, Cover: Light}}}
	p := planning(t, s)
	var plan Plan
	require.NoError(t, p.planOptions(&plan))
	require.Len(t, plan.BreakEven, 1)
	assert.Equal(t, "track-loader", plan.BreakEven[0].Key)
	for _, o := range plan.Options {
		raw := p.job.calendarDays(o.WorkingDays, p.job.Weather.Likely)
		require.NotEqual(t, math.Ceil(raw), raw)
		assert.Equal(t, math.Ceil(raw), o.CalendarDays, "calendar days are whole")
		require.Len(t, o.Tasks, 1, o.Goal)
		assert.Equal(t, Task{Zone: "a", By: "track-loader", Share: 1, NetAcres: 6}, Task{Zone: o.Tasks[0].Zone, By: o.Tasks[0].By, Share: o.Tasks[0].Share, NetAcres: o.Tasks[0].NetAcres})
	}
}

// full takes no more than so many writes.
type full struct{ writes int }

var errFull = errors.New("no space left")

func (f *full) Write(b []byte) (int, error) {
	if f.writes--; f.writes == -1 {
		return 0, errFull
	}
	return len(b), nil
}

// An error of any of the parts that a plan is written in is returned, though the next can
// be written.
func TestWriteTextReturnsErrors(t *testing.T) {
	for part := range 3 {
		assert.ErrorIs(t, WriteText(&full{part}, &Plan{}), errFull, "part %d", part)
	}
	assert.NoError(t, WriteText(&full{3}, &Plan{}))
}

// A gate without a width and a bridge without a weight limit nothing; of several the least
// counts, below what the job has of its own.
func TestGatesAndBridgesThatLimit(t *testing.T) {
	g := &mapping.Ground{Features: []site.Feature{{Kind: site.Gate}, {Kind: site.Bridge}, {Kind: site.Gate, WeightKg: 1}, {Kind: site.Bridge, WidthM: 1}}}
	var j Job
	assert.Empty(t, limitTo(g, &j))
	assert.Equal(t, Job{}, j)
	feet, lb := 0.3048, 0.45359237
	g.Features = append(g.Features, site.Feature{Kind: site.Gate, WidthM: 12 * feet}, site.Feature{Kind: site.Gate, WidthM: 10 * feet}, site.Feature{Kind: site.Gate, WidthM: 11 * feet},
		site.Feature{Kind: site.Bridge, WeightKg: 40000 * lb}, site.Feature{Kind: site.Bridge, WeightKg: 30000 * lb})
	notes := limitTo(g, &j)
	require.Len(t, notes, 2)
	assert.Equal(t, []float64{10, 30000}, []float64{j.GateFt, j.BridgeLb})
	assert.Contains(t, notes[0], "10 ft")
	assert.Contains(t, notes[1], "30000 lb")
	j = Job{GateFt: 9, BridgeLb: 20000}
	assert.Empty(t, limitTo(g, &j), "the job's own are less")
	assert.Equal(t, []float64{9, 20000}, []float64{j.GateFt, j.BridgeLb})
}

// planning is a planner of the default figures, changed by edits: machine or "job", key, value.
func planning(t testing.TB, s *Site, edits ...string) *planner {
	t.Helper()
	book, machines := Default(), fleet.Default()
	for i := 0; i < len(edits); i += 3 {
		set := book.Job.Set
		if edits[i] != "job" {
			set = book.Machine(edits[i]).Set
		}
		require.NoError(t, set(edits[i+1], edits[i+2]))
	}
	kinds, _ := whichMayCome(machines, book)
	return &planner{site: s, job: &book.Job, kinds: kinds, v: valuesOf(ByRate{}, kinds, &book.Job, likeliest),
		walk: s.walkM(), areas: areasOf(s, apartM(machines, book.Job.TreeFt))}
}
