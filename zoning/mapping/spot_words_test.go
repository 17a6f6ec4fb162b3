package mapping

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/trafficability"
)

// What keeps a machine off a spot is told with the figures of the rule that does. By
// hand: 3.048 m are 10 ft, 0.3048 m 12 in, 1 psi 6.894757 kPa.
func TestWhyNotTellsTheFiguresOfTheRule(t *testing.T) {
	l := tellerOn(t, 3, 3)
	l.Ground.work.BearsKPa = []float32{0: 6.894757 * 4, 8: 0}
	l.Ground.work.GrowthM = []float32{0: 6.096, 8: float32(math.NaN())}
	l.Ground.work.StemsM = []float32{0: 0.1524, 8: 0.0254}
	m := zoning.Machine{
		Name: "Boom", LimitPct: 40, CrossPct: 18, Swing: zoning.Limits{AlongPct: 25}, WidthM: 2.1336, StepM: 0.3048, RoughM: 0.0762,
		PressureKPa: 6.894757 * 6, TallestM: 9.144, StemM: 0.2032, ReachM: 7.62, RunM: 45.72, PatchAcres: 0.125,
	}
	for why, want := range map[zoning.Why]string{
		zoning.TooGreatAStep:  "no: a step above 12 in or roughness above 3 in under it",
		zoning.NearDropOff:    "no: nearer to the edge of a drop than it is long, or than the drop is high",
		zoning.TooSoft:        "no: the ground bears 4.0 psi (28 kPa), and it presses 6.0 psi (41 kPa)",
		zoning.TooMuchGrowth:  "no: growth 20 ft tall with stems of 6 in; it handles 30 ft and 8 in",
		zoning.LeaveTrees:     "no: selective clearing, and it is for production",
		zoning.TooNarrow:      "no: it is 7 ft wide and does not fit, with a foot to spare on either side",
		zoning.NoTurn:         "no: no way of 150 ft or less straight up or down the fall line to ground of 18% or less, where it can turn",
		zoning.OnlyAcross:     "no: only to be reached across the slope, and it is held to 18% across",
		zoning.NoWayIn:        "no: no access route from where it is unloaded",
		zoning.OutOfReach:     "no: out of reach (25 ft) of where it may stand and swing (25% or less)",
		zoning.TooSmallAPatch: "no: the patch is smaller than the 0.125 acres worth moving it to",
		zoning.NotMeasured:    "no: no elevation",
		zoning.TooSteep:       "no: slope 50.0%, and it is held to 40% on dry ground",
		zoning.Works:          "may work it, from where it stands or on its tether: 50.0% is above the 40% it drives on",
	} {
		l.m.Ground = zoning.Dry
		assert.Equal(t, want, l.whyNot(l.m, m, why, 0, 50))
	}
	assert.Equal(t, "may work it", l.whyNot(l.m, m, zoning.Works, 0, 40))
	m.PressureKPa, m.TallestM, m.RunM = 0, 0, 0
	assert.Equal(t, "no: the ground bears 4.0 psi (28 kPa), and it presses nobody has said how much", l.whyNot(l.m, m, zoning.TooSoft, 0, 1))
	assert.Equal(t, "no: growth not known tall with stems of 1 in; it handles not known and 8 in", l.whyNot(l.m, m, zoning.TooMuchGrowth, 8, 1))
	assert.Contains(t, l.whyNot(l.m, m, zoning.NoTurn, 0, 1), "no way of 200 ft", "the default")
	l.Ground.work.GrowthM, l.Ground.work.StemsM = nil, nil
	assert.Contains(t, l.whyNot(l.m, m, zoning.TooMuchGrowth, 0, 1), "growth not known tall with stems of not known")
	m.StepM = 0
	assert.Contains(t, l.whyNot(l.m, m, zoning.TooGreatAStep, 0, 1), "a step above any")
}

// Above what it drives on a machine needs its tether, and is told why it has none: the
// manual, or nothing to hold it. On wet ground, and above its limit, none would help.
func TestTooSteepTellsOfTheTether(t *testing.T) {
	m := zoning.Machine{LimitPct: 100, TetherAbovePct: 60, TetherM: 60.96}
	assert.Equal(t, "no: slope 80.0%, and it is held to 60% on dry ground; above that on a tether only, and the fleet does not say that its manual allows one (tether_basis)", tooSteep(measure.US, m, 80, zoning.Dry))
	m.TetherBasis = "manual"
	assert.Equal(t, "no: slope 80.0%, and it is held to 60% on dry ground; above that on a tether only, and what holds it stands nowhere within 200 ft straight up the fall line", tooSteep(measure.US, m, 80, zoning.Dry))
	assert.Equal(t, "no: slope 100.0%, and it is held to 60% on dry ground", tooSteep(measure.US, m, 100, zoning.Dry))
	assert.Equal(t, "no: slope 80.0%, and it is held to 60% on wet ground", tooSteep(measure.US, m, 80, zoning.Wet))
	m.TetherAbovePct = 0
	assert.Equal(t, "no: slope 120.0%, and it is held to 100% on dry ground", tooSteep(measure.US, m, 120, zoning.Dry))
}

// The feature that closes a spot, or keeps a machine from it, is named: the first that
// does, by its setback or by a line's clearance and the machine's boom.
func TestWhatASpotIsClosedByAndKeptFrom(t *testing.T) {
	l := tellerOn(t, 60, 3)
	line := site.Feature{Kind: site.OverheadLine, Name: "North line", KV: 7.2, Geometry: l.place(0, 1.5)}
	l.Features = []site.Feature{
		{Kind: site.NoGo, Geometry: l.place(58.5, 1.5), Setback: site.Setback{WidthM: 6.096}},
		{Kind: site.Building, Name: "Barn", Geometry: l.place(20.5, 1.5)},
		{Kind: site.LeaveTree, Geometry: l.place(30.5, 1.5)},
		line,
	}
	row := 60
	assert.Equal(t, "a feature drawn as no-go", l.closedBy(row+58))
	assert.Equal(t, "Barn (building)", l.closedBy(row+20))
	assert.Contains(t, l.closedBy(row+40), "dead-flat water")

	boom := zoning.Machine{ReachM: 6.096}
	assert.Equal(t, "within the setback of a feature drawn as no-go, 20 ft", l.keptFrom(measure.US, row+54, boom))
	assert.Equal(t, "within the setback of a feature drawn as leave-tree, 10 ft where none is given", l.keptFrom(measure.US, row+32, boom))
	// 10 ft of clearance and 20 ft of boom: to 9.14 m, cell 8.
	assert.Equal(t, "too near to North line (overhead-line): its clearance is 10 ft, and the boom reaches 20 ft", l.keptFrom(measure.US, row+8, boom))
	assert.Equal(t, "setback", l.keptFrom(measure.US, row+9, boom))
	assert.Equal(t, "setback", l.keptFrom(measure.US, row+8, zoning.Machine{ReachM: 5}))
	l.Features[3].Setback.WidthM = 15.24
	assert.Equal(t, "within the setback of North line (overhead-line), 50 ft", l.keptFrom(measure.US, row+9, boom))
	assert.Equal(t, "too near to North line (overhead-line): its clearance is 50 ft, and the boom reaches 20 ft", l.keptFrom(measure.US, row+18, boom))
	l.Features[3].Setback = site.Setback{Rule: &site.Rules()[0]}
	assert.Equal(t, "within the setback of North line (overhead-line), which grows with slope (kentucky-for-69)", l.keptFrom(measure.US, row+5, boom))
}

// A spot is told with its slope and its band, whether it lies off the lots, and of each
// machine what keeps it off; the limits told are those that zones were drawn by.
func TestWhyOfASpot(t *testing.T) {
	l := tellerOn(t, 4, 4, zoning.Machine{Key: "a", Name: "Loader", LimitPct: 30}, zoning.Machine{Key: "b", Name: "Crawler", LimitPct: 60})
	l.m.Field.Squared[5] = 0.16
	l.m.Cells.Masks[5] = 2
	at := l.place(1.5, 1.5)
	words, err := l.Why(l.m, at)
	require.NoError(t, err)
	require.Len(t, words, 3)
	assert.Contains(t, words[0], "slope 40.0%; Crawler")
	assert.Equal(t, []string{"Loader: up to 30%; nothing but slope was asked", "Crawler: up to 60%; nothing but slope was asked"}, words[1:])

	l.m.Cells.Lost = [][]zoning.Why{make([]zoning.Why, 16), make([]zoning.Why, 16)}
	l.m.Cells.Lost[0][5] = zoning.TooSteep
	l.m.Ground = zoning.Dry
	l.m.Drawn = []zoning.Machine{{Name: "Loader", LimitPct: 27}, {Name: "Crawler", LimitPct: 57}}
	l.work.Lots[5] = false
	words, err = l.Why(l.m, at)
	require.NoError(t, err)
	assert.Contains(t, words[0], "(off the lots)")
	assert.Equal(t, []string{"limits are those that zones were drawn by, inside the machines' own",
		"Loader: no: slope 40.0%, and it is held to 27% on dry ground", "Crawler: may work it"}, words[1:])
	l.m.Field.Squared[5] = float32(math.NaN())
	words, err = l.Why(l.m, at)
	require.NoError(t, err)
	assert.Contains(t, words[0], "slope not known; Crawler")
	for _, off := range [][2]float64{{-0.01, 1}, {4.01, 1}, {1, -0.01}, {1, 4.01}} {
		_, err = l.Why(l.m, l.place(off[0], off[1]))
		assert.ErrorContains(t, err, "lies off the ground that was read", "%v", off)
	}
	for _, on := range [][2]float64{{0.01, 1}, {3.99, 1}, {1, 0.01}, {1, 3.99}} {
		_, err = l.Why(l.m, l.place(on[0], on[1]))
		assert.NoError(t, err, "%v", on)
	}
}

// A staging is level up to 5% on some of its cells (planning value, no source); where a
// machine drives off it is told.
func TestStagingThatIsWrong(t *testing.T) {
	warned := func(change func(l *teller)) []string {
		l := tellerOn(t, 40, 40)
		l.work.Staging = [][]int{{820, 821}}
		l.w.Idle = [][]int{nil}
		l.m.Access.Staging = append(l.m.Access.Staging, l.at(820))
		change(l)
		l.access()
		assert.Equal(t, l.work.Staging != nil, l.m.Access.Checked)
		return l.m.Warnings
	}
	slope := func(pct float64) func(l *teller) {
		return func(l *teller) {
			l.m.Field.Squared[820], l.m.Field.Squared[821] = 1, float32(pct*pct/1e4)
		}
	}
	assert.Empty(t, warned(slope(5-1e-3)))
	steep := warned(slope(5.1))
	require.Len(t, steep, 1)
	assert.Contains(t, steep[0], "staging 1 (")
	assert.Contains(t, steep[0], "is not level: 5% at best, where a trailer wants 5% or less")
	nan := float32(math.NaN())
	assert.Contains(t, warned(func(l *teller) { l.m.Field.Squared[820], l.m.Field.Squared[821] = nan, nan })[0], "is not level: slope not known")
	assert.Empty(t, warned(func(l *teller) { l.m.Field.Squared[820] = nan }))

	idle := warned(func(l *teller) { l.w.Idle = [][]int{{0}} })
	require.Len(t, idle, 1)
	assert.Contains(t, idle[0], "no way off it for Loader")

	off := warned(func(l *teller) {
		drive := make([]bool, 1600)
		drive[820+12] = true // 12 m east of its first cell, 11 of its middle one
		l.work.Drive, l.w.Idle = drive, [][]int{{0}}
	})
	require.Len(t, off, 1)
	assert.Contains(t, off[0], "lies 36 ft off the lots", "11 m")
	assert.Regexp(t, `^staging 1 \(.*lies off the ground that was read`, warned(func(l *teller) { l.work.Staging[0] = nil })[0])
	touching := warned(func(l *teller) {
		l.work.Staging[0] = []int{820, 821, 822}
		l.work.Drive = make([]bool, 1600)
		l.work.Drive[822] = true
		l.w.Idle = [][]int{{0}}
	})
	require.Len(t, touching, 1)
	assert.Regexp(t, `^staging 1 \(.*no way off it for Loader`, touching[0], "one of its cells is ground to drive on")
	assert.Empty(t, warned(func(l *teller) { l.work.Staging = nil }))
}

// Of the pieces of ground that a machine cannot drive between all but the largest are
// pockets.
func TestPocketsAreAllButTheLargest(t *testing.T) {
	l := tellerOn(t, 10, 10)
	l.w.Pockets = [][]trafficability.Pocket{{{Cell: 5, Acres: 9}, {Cell: 25, Acres: 2}, {Cell: 45, Acres: 1}}}
	l.access()
	require.Len(t, l.m.Access.Pockets, 2)
	assert.Equal(t, zoning.Pocket{Machine: 0, Acres: 2, At: l.at(25)}, l.m.Access.Pockets[0])
}
