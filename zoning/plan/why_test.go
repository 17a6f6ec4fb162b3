package plan

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
)

// atCost takes everything off a job that is put on its cost, and all that ranges and
// weather do to it: prices can be added up by hand.
var atCost = []string{"job", "overhead", "0%", "job", "contingency", "0%", "job", "margin", "0%", "job", "minimum_charge", "$0"}

// Why a rung is recommended names what was asked: an acre's worth, the days, the budget.
func TestWhyARung(t *testing.T) {
	b := &bidder{planner: &planner{site: &Site{}, job: &Job{DayH: 10, WeekDays: 7}}, lumps: []lump{lumpOf(8, by(0, 0, 1)), lumpOf(12, by(1, 0, 1)), lumpOf(5)}}
	why := func(at int, ladder []step, change func(j *Job)) string {
		j := Job{DayH: 10, WeekDays: 7}
		change(&j)
		b.job = &j
		p := &Plan{Recommended: at, Ladder: []Rung{{}, {Acres: 20, ExtraPerAcreUSD: 700, Option: Option{PriceUSD: 12400, Crew: []Brought{{Name: "A"}, {Name: "B"}}}}}}
		return b.whyThis(p, ladder)
	}
	on := func(acres, extraUSD float64) step { return step{clearing{&assignment{}, acres, 0}, extraUSD} }
	two := []step{on(8, 500), on(20, 700)}
	for _, c := range []struct {
		at     int
		ladder []step
		change func(j *Job)
		want   string
	}{
		{0, []step{on(10, 500)}, func(*Job) {}, "The least price per acre."},
		{0, []step{on(9.9, 500)}, func(*Job) {}, "The least price per acre. It clears less than half of the 20.0 acres that machines of the fleet could work."},
		{0, two, func(*Job) {}, "The least price per acre. It clears less than half of the 20.0 acres that machines of the fleet could work: A, B clears 20.0 acres for $12,400, $700 for each acre more."},
		{0, []step{on(10, 500), on(20, 700)}, func(*Job) {}, "The least price per acre."},
		{0, two, func(j *Job) { j.WorthPerAcre = 499 }, "The least price per acre, $500, is more than the $499 that an acre is worth."},
		{0, two, func(j *Job) { j.WorthPerAcre = 500 }, "The largest crew whose extra acres cost no more than the $500 that an acre is worth."},
		{1, two, func(j *Job) { j.WorthPerAcre = 450 }, "The largest crew whose extra acres cost no more than the $450 that an acre is worth."},
		{0, two, func(j *Job) { j.WorthPerAcre = 0.5 }, "The least price per acre, $500, is more than the $0 that an acre is worth."},
		{0, []step{on(10, 500)}, func(j *Job) { j.Days = 3.5 }, "The least price per acre within 3.5 working days, moves in them."},
		{0, []step{on(10, 500)}, func(j *Job) { j.BudgetUSD = 0.5 }, "The least price per acre within a price of $0."},
		{0, []step{on(10, 500)}, func(j *Job) { j.Days, j.BudgetUSD = 4, 9000 }, "The least price per acre within 4 working days, moves in them and a price of $9,000."},
		{0, two, func(j *Job) { j.WorthPerAcre, j.Days = 499, 4 }, "The least price per acre within 4 working days, moves in them, $500, is more than the $499 that an acre is worth."},
		{1, two, func(j *Job) { j.WorthPerAcre, j.Days = 900, 4 }, "The largest crew within 4 working days, moves in them whose extra acres cost no more than the $900 that an acre is worth."},
		{0, two, func(j *Job) { j.Bring, j.WorthPerAcre = []string{"a"}, 499 }, "The crew is the one that you bring."},
	} {
		assert.Equal(t, c.want, why(c.at, c.ladder, c.change))
	}
	nothing := func(change func(j *Job)) string {
		b.job = &Job{DayH: 10, WeekDays: 7}
		change(b.job)
		return b.whyNothing()
	}
	assert.Equal(t, "No crew clears anything within 2 working days, moves in them.", nothing(func(j *Job) { j.Days = 2 }))
	assert.Equal(t, "The crew that is brought clears nothing within a price of $10.", nothing(func(j *Job) { j.Bring, j.BudgetUSD = []string{"a"}, 10 }))
	assert.InDelta(t, 20, b.workable(), 1e-12)
	b.lumps = b.lumps[2:]
	assert.Equal(t, "No machine that can get here may work any of this ground.", nothing(func(j *Job) { j.Days = 2 }))
	b.lumps = []lump{lumpOf(leastExcludedAcres, by(0, 0, 1))}
	assert.Equal(t, "No machine that can get here may work any of this ground.", nothing(func(*Job) {}))
}

// A crew that is brought and gets nowhere within the limits has no rung, and says so.
func TestACrewThatClearsNothing(t *testing.T) {
	s := &Site{Pieces: []Piece{stand(loaderMay, 8, 6, Light)}}
	p, err := makeOf(t, s, "job", "bring", "track-loader", "job", "budget", "$5", "job", "minimum_charge", "$0")
	require.NoError(t, err)
	assert.Empty(t, p.Ladder)
	assert.Equal(t, -1, p.Recommended)
	assert.Equal(t, "The crew that is brought clears nothing within a price of $5.", p.Why)
	require.Len(t, p.Options, 1)
	assert.Empty(t, p.Options[0].Crew)
	assert.InDelta(t, 8, p.Options[0].LeftAcres, 1e-9)
	p, err = makeOf(t, s, "job", "budget", "$5", "job", "minimum_charge", "$0")
	require.NoError(t, err)
	assert.Equal(t, "No crew clears anything within a price of $5.", p.Why)
	assert.Nil(t, p.Summary().Rung)
	// The crawler has no ground: a crew with it clears what the loader does.
	p, err = makeOf(t, s, append([]string{"job", "bring", "track-loader, remote-crawler"}, atCost...)...)
	require.NoError(t, err)
	require.Len(t, p.Ladder, 1)
	assert.Equal(t, []string{"track-loader", "remote-crawler"}, crewOf(p.Options[0]))
	assert.Positive(t, p.Options[0].Crew[0].ExtraPerAcreUSD)
	assert.Equal(t, []float64{0, 0, 0}, []float64{p.Options[0].Crew[1].NetAcres, p.Options[0].Crew[1].CostUSD, p.Options[0].Crew[1].ExtraPerAcreUSD}, "who works nothing has no price of an acre")
}

// One crew that serves several goals is one row that names them all, and a row of its own is
// another crew.
func TestGoalsOfOneCrewAreOneRow(t *testing.T) {
	p, err := makeOf(t, &Site{Pieces: []Piece{stand(loaderMay, 8, 6, Light)}})
	require.NoError(t, err)
	require.Len(t, p.Options, 1)
	assert.Equal(t, Cheapest, p.Options[0].Goal)
	assert.Equal(t, []Goal{Soonest, Fewest}, p.Options[0].Also)
	assert.Equal(t, "cheapest, soonest, fewest machines", p.Options[0].Goals())
	// The carrier is quicker and dearer than the loader on little ground.
	p, err = makeOf(t, &Site{Pieces: []Piece{stand(0b0011, 10, 6, Light)}})
	require.NoError(t, err)
	require.Len(t, p.Options, 2)
	assert.Equal(t, []Goal{Fewest}, p.Options[0].Also)
	assert.Equal(t, Soonest, p.Options[1].Goal)
	assert.Equal(t, []string{"dedicated-carrier"}, crewOf(p.Options[1]))
	a, b := &assignment{}, &assignment{}
	rows := []clearing{{assignment: a}, {assignment: b}}
	assert.Equal(t, []int{0, 1, -1}, []int{indexOfCrew(rows, clearing{assignment: a, acres: 3}), indexOfCrew(rows, rows[1]), indexOfCrew(rows, clearing{assignment: &assignment{}})})
}

// The soonest clearing is that in the fewest half days, then at the least price; the one of
// fewest machines likewise. By hand: A clears 10 acres in 20 h for $1000, B in 12 for $1800,
// C in 14 for $1700, moves of an hour and $10 each: 21, 13 and 15 h of days of ten hours.
func TestTheSoonestAndTheFewest(t *testing.T) {
	l := lumpOf(10, by(0, 1000, 20), by(1, 1800, 12), by(2, 1700, 14))
	kinds := []ours{{1, 1, 10}, {1, 1, 10}, {1, 1, 10}}
	clear := func(b *bidder, k crew) clearing { return b.clearing(b.assign(k, b.v.truck)) }
	b := bidsOf(0, kinds, []float64{1}, l)
	got := b.soonest(clear(b, crew{1, 0, 0}))
	assert.Equal(t, crew{0, 0, 1}, got.crew, "B and C take a day and a half, C for less")
	assert.InDelta(t, 1710, got.priceUSD, 1e-9)
	b.job.DayH = 13
	assert.Equal(t, crew{0, 1, 0}, b.soonest(clear(b, crew{1, 0, 0})).crew, "B alone takes one day of 13 h")
	b.job.DayH = 6.5
	assert.Equal(t, crew{0, 1, 0}, b.soonest(clear(b, crew{1, 0, 0})).crew, "two of 6.5")
	b.job.DayH = 30
	assert.Equal(t, crew{0, 0, 1}, b.soonest(clear(b, crew{0, 1, 0})).crew, "half a day of 30 h, for less")

	// Two lumps that A and B work side by side in half the time, for the moves of both.
	two := bidsOf(0, kinds[:2], []float64{1, 1}, lumpOf(5, by(0, 500, 10), by(1, 500, 10)), lumpOf(5, by(0, 500, 0, 10), by(1, 500, 0, 10)))
	alone, both := clear(two, crew{0, 1}), two.clearing(two.assign(crew{1, 1}, hurryUSD))
	assert.Equal(t, []float64{21, 11}, []float64{alone.spanH, both.spanH})
	assert.Equal(t, crew{1, 1}, two.soonest(alone).crew)
	got = two.fewest(both)
	assert.Equal(t, crew{0, 1}, got.crew)
	assert.InDelta(t, 1010, got.priceUSD, 1e-9)
	assert.Same(t, alone.assignment, two.fewest(alone).assignment, "one of equals is kept")
	assert.Same(t, both.assignment, two.soonest(both).assignment)
	two.job.LeastWorkDays = 1.5
	assert.Equal(t, crew{0, 1}, two.soonest(alone).crew, "10 h are not the 15 for which a machine joins")

	// Of crews of one size the cheaper, though the dearer was chosen for its acres.
	b = bidsOf(0, kinds, []float64{1}, l)
	assert.Equal(t, crew{1, 0, 0}, b.fewest(clear(b, crew{0, 1, 0})).crew)
	assert.Equal(t, crew{1, 0, 0}, b.fewest(clear(b, crew{1, 1, 0})).crew)

	// No goal is served by fewer acres: A alone leaves what B alone may work.
	b = bidsOf(0, kinds[:2], []float64{1, 1}, lumpOf(5, by(0, 500, 10), by(1, 900, 30)), lumpOf(0.5, by(1, 500, 0, 10)))
	best := clear(b, crew{1, 1})
	assert.Equal(t, crew{0, 1}, b.fewest(best).crew)
	assert.Equal(t, 5.5, b.fewest(best).acres)
	assert.Same(t, best.assignment, b.soonest(best).assignment, "A alone would be no sooner, nor is B")
	b = bidsOf(0, kinds[:2], []float64{1, 1}, lumpOf(5, by(0, 500, 2), by(1, 900, 30)), lumpOf(0.5, by(1, 500, 0, 10)))
	assert.Equal(t, 5.5, b.soonest(clear(b, crew{0, 1})).acres)
	assert.Equal(t, crew{1, 1}, b.soonest(clear(b, crew{0, 1})).crew)
}

// Within days the crew of fewest machines clears no fewer acres either: A alone has hours
// for half of what A and B do.
func TestTheFewestWithinDays(t *testing.T) {
	b := bidsOf(0, []ours{{1, 1, 10}, {1, 1, 10}}, []float64{1, 1}, lumpOf(5, by(0, 500, 10), by(1, 500, 10)), lumpOf(5, by(0, 500, 0, 10), by(1, 500, 0, 10))).limitedTo(11, unlimited)
	both, alone := b.clearing(b.assign(crew{1, 1}, 0)), b.clearing(b.assign(crew{1, 0}, 0))
	assert.Equal(t, []float64{10, 5}, []float64{both.acres, alone.acres})
	assert.Same(t, both.assignment, b.fewest(both).assignment)
	assert.Same(t, both.assignment, b.soonest(both).assignment)
	assert.Equal(t, crew{0, 1}, b.fewest(clearing{alone.assignment, alone.acres, alone.priceUSD + 1}).crew)
}

// Another crew serves where it clears as much, but for ground too small to speak of, and
// each of its machines has work.
func TestWhoServesAGoal(t *testing.T) {
	b := bidsOf(0, nil, nil)
	as := clearing{acres: 5}
	for acres, want := range map[float64]bool{5: true, 6: true, 5 - leastExcludedAcres: true, 5 - 1.01*leastExcludedAcres: false, 0: false} {
		assert.Equal(t, want, asMuch(acres, as), "%g", acres)
		assert.Equal(t, want, b.serves(&assignment{acres: acres, crew: crew{1}, kindH: []float64{1}}, as), "%g", acres)
		assert.False(t, b.serves(&assignment{acres: acres, crew: crew{1, 1}, kindH: []float64{1, 0}}, as), "%g, but one is idle", acres)
	}
}

// What a rung leaves is told by why, and adds up with what it clears: closed ground, ground
// without elevation, what is not to be cleared, and what each lump leaves.
func TestWhatARungLeaves(t *testing.T) {
	wet := stand(crawlerMay, 3, 25, Medium)
	wet.MayDry = loaderMay
	kept := stand(loaderMay, 9, 10, Medium)
	kept.GrossAcres = 10.5
	closed := Piece{Zone: zoning.NoGoKey, May: zoning.NoGo, GrossAcres: 2, NetAcres: 1}
	s := &Site{Pieces: []Piece{kept, wet, stand(crawlerMay, 4, 40, Medium), stand(0, 0.75, 90, Medium), closed,
		{Zone: zoning.UnknownKey, May: zoning.Unknown, GrossAcres: 0.25, NetAcres: 0.125}}}
	p, err := makeOf(t, s, "job", "bring", "track-loader")
	require.NoError(t, err)
	require.Len(t, p.Ladder, 1)
	r := p.Ladder[0]
	assert.InDelta(t, 9, r.Acres, 1e-9)
	assert.Equal(t, []Left{{zoning.NeedsMachineKey, 4}, {zoning.WaitsDryKey, 3}, {zoning.NoMachineKey, 0.75}, {zoning.UnknownKey, 0.25}, {zoning.NoGoKey, 2}, {LeftByChoice, 1.5}}, r.Left)
	assert.Equal(t, []Waiting{{"track-loader", "Track loader", 3}}, r.Waits)
	p.Recommended = 0
	var b bytes.Buffer
	require.NoError(t, WriteAnswer(&b, p))
	assert.Contains(t, strings.Join(strings.Fields(b.String()), " "),
		"rung 1 Track loader (as asked); leaves 4.0 ac needs a machine not brought, 3.0 ac waits for dry ground, 0.8 ac no machine may work, 0.2 ac without elevation, 2.0 ac no-go, 1.5 ac not to be cleared wet 3.0 acres wait for dry ground")

	// Half of it within the days: the other half has no days left.
	free, err := makeOf(t, &Site{Pieces: []Piece{stand(loaderMay, 20, 10, Medium)}}, "job", "bring", "track-loader")
	require.NoError(t, err)
	short, err := makeOf(t, &Site{Pieces: []Piece{stand(loaderMay, 20, 10, Medium)}}, "job", "bring", "track-loader", "job", "budget", "$"+moneyText(free.Options[0].PriceUSD/2))
	require.NoError(t, err)
	require.Len(t, short.Ladder[0].Left, 1)
	assert.Equal(t, LeftByBudget, short.Ladder[0].Left[0].Why)
	assert.InDelta(t, 20, short.Ladder[0].Acres+short.Ladder[0].Left[0].Acres, 1e-9)
}

// What a lump waits for: the first of the crew that works all its pieces once they are dry;
// what another machine of the fleet, here or not, may work now; nobody.
func TestWhatALumpWaitsFor(t *testing.T) {
	wet := stand(crawlerMay, 3, 10, Medium)
	wet.MayDry = loaderMay
	s := &Site{Pieces: []Piece{wet, stand(crawlerMay, 1, 10, Medium), stand(0, 1, 10, Medium), stand(loaderMay, 1, 10, Medium)}}
	b := planning(t, s).bidder()
	loaderOnly, none := crew{1, 0, 0, 0}, crew{0, 0, 0, 0}
	assert.Equal(t, []int{0, -1, -1, 0}, []int{b.whenDry(loaderOnly, &b.lumps[0]), b.whenDry(none, &b.lumps[0]), b.whenDry(loaderOnly, &b.lumps[1]), b.whenDry(crew{1, 0, 0, 1}, &b.lumps[3])})
	both := lump{pieces: []int{0, 1}}
	assert.Equal(t, -1, b.whenDry(loaderOnly, &both), "one piece of it stays closed to the loader")
	assert.Equal(t, []bool{true, true, false, true}, []bool{b.somebodyMay(&b.lumps[0]), b.somebodyMay(&b.lumps[1]), b.somebodyMay(&b.lumps[2]), b.somebodyMay(&b.lumps[3])})
	assert.True(t, b.somebodyMay(&lump{pieces: []int{2, 1}}))
	a := b.start(loaderOnly)
	why := func() (words []string) {
		for i := range b.lumps {
			words = append(words, b.why(a, i))
		}
		return words
	}
	assert.Equal(t, []string{zoning.WaitsDryKey, zoning.NeedsMachineKey, zoning.NoMachineKey, zoning.WaitsDryKey}, why())
	a.ended[3] = LeftByDays
	assert.Equal(t, LeftByDays, why()[3])
	// A machine that cannot come may work it all the same; one that is here and does not
	// work its cover may not.
	gone := planning(t, s, "remote-crawler", "owned", "0").bidder()
	assert.Equal(t, zoning.NeedsMachineKey, gone.why(gone.start(loaderOnly[:3]), 1))
	idle := planning(t, &Site{Pieces: []Piece{stand(loaderMay, 1, 10, Medium)}})
	idle.v.machines[0].AcresPerHour[Medium] = 0
	i := idle.bidder()
	assert.Equal(t, zoning.NoMachineKey, i.why(i.start(none), 0))
}

// A part of what is left by a limit is not what waits.
func TestTasksOfAPartOfALump(t *testing.T) {
	s := &Site{Pieces: []Piece{stand(loaderMay, 8, 6, Light)}}
	b := planning(t, s, append([]string{"job", "hand_work", "$1000/ac", "job", "rest", "hand"}, atCost...)...).bidder()
	a := b.start(crew{1, 0, 0, 0})
	a.by[0], a.share[0], a.ended[0] = 0, 0.25, LeftByBudget // by hand
	tasks := b.tasks(a, 0, 0)
	assert.Equal(t, []Task{{Zone: "zone", By: HandKey, Share: 0.25, NetAcres: 2, CostUSD: 2000}, {Zone: "zone", By: LeftByBudget, Share: 0.75, NetAcres: 6}}, tasks)
	a.by[0] = 1 // by the loader
	tasks = b.tasks(a, 0, 0)
	w, _ := b.v.load(0, b.kinds[0], s.Pieces[0], b.walk[0])
	assert.Equal(t, Task{Zone: "zone", By: "track-loader", Share: 0.25, NetAcres: 2, ProductiveH: w.productive / 4, ScheduledH: w.scheduled / 4, CostUSD: w.usd / 4}, tasks[0])
	// Tasks come by piece, whatever lump it is of.
	parted := planning(t, &Site{Pieces: []Piece{stand(loaderMay, 1, 6, Light), stand(crawlerMay, 2, 6, Light), stand(loaderMay, 3, 6, Light)}, keys: []pieceKey{{band: 0}, {band: 3}, {band: 0}}}).bidder()
	require.Len(t, parted.lumps, 2)
	var pieces []int
	for _, task := range parted.option(Cheapest, parted.start(crew{1, 0, 0, 0}), nil).Tasks {
		pieces = append(pieces, task.Piece)
	}
	assert.Equal(t, []int{0, 1, 2}, pieces)
	a.share[0], a.ended[0] = 1, ""
	assert.Len(t, b.tasks(a, 0, 0), 1)
	b.again(a)
	o := b.option(Cheapest, a, nil)
	require.Len(t, o.Crew, 1)
	// An acre more of such ground: work and the truck's hours over the acres.
	assert.InDelta(t, (w.usd+b.v.truck*w.scheduled)/8, o.Crew[0].ExtraPerAcreUSD, 1e-9)
	assert.InDelta(t, w.productive, o.Crew[0].ProductiveH, 1e-9)
	assert.Greater(t, w.scheduled, w.productive)
	assert.False(t, math.IsNaN(o.CostUSD))
}
