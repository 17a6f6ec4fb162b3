package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Days count in halves, those of a window too; a budget is of the price, and none pays for
// the minimum charge that is above it.
func TestLimitsOfAJob(t *testing.T) {
	for _, c := range []struct {
		what   string
		change func(j *Job)
		want   limits
	}{
		{"none", func(*Job) {}, limits{unlimited, unlimited}},
		{"three days and a half", func(j *Job) { j.Days = 3.5 }, limits{31.5, unlimited}},
		{"what is over half a day is no day", func(j *Job) { j.Days = 3.9 }, limits{31.5, unlimited}},
		{"a window of ten days, five of seven worked, a tenth lost", func(j *Job) { j.WindowDays = 10 }, limits{54, unlimited}}, // 6.43 days
		{"the shorter of both", func(j *Job) { j.WindowDays, j.Days = 10, 4 }, limits{36, unlimited}},
		{"the shorter of both", func(j *Job) { j.WindowDays, j.Days = 10, 40 }, limits{54, unlimited}},
		{"$2500 with a quarter on top", func(j *Job) { j.BudgetUSD = 2500 }, limits{unlimited, 2000}},
		{"the minimum is paid", func(j *Job) { j.BudgetUSD, j.MinimumUSD = 2500, 2500 }, limits{unlimited, 2000}},
		{"the minimum is not paid", func(j *Job) { j.BudgetUSD, j.MinimumUSD = 2500, 2501 }, limits{unlimited, 0}},
		{"a minimum alone", func(j *Job) { j.MinimumUSD = 2501 }, limits{unlimited, unlimited}},
	} {
		j := Job{DayH: 9, WeekDays: 5, Weather: fixed(0.1), Overhead: 0.25}
		c.change(&j)
		got := j.limits()
		if c.want.spanH == unlimited {
			assert.Equal(t, c.want.spanH, got.spanH, c.what)
		} else {
			assert.InDelta(t, c.want.spanH, got.spanH, 1e-9, c.what)
		}
		if c.want.costUSD == unlimited {
			assert.Equal(t, c.want.costUSD, got.costUSD, c.what)
		} else {
			assert.InDelta(t, c.want.costUSD, got.costUSD, 1e-9, c.what)
		}
	}
}

// What of one lump of 10 acres a way has room for, and what ends it. By hand: after a move
// of 1 h and $100, with a truck at $10 an hour.
func TestRoomWithinTheLimits(t *testing.T) {
	tenAcres := []lump{lumpOf(10, by(0, 1000, 20, 0), hand(2000), by(0, 1000, 0, 20))}
	for _, c := range []struct {
		what           string
		crew           crew
		way            int
		spanH, costUSD float64
		share          float64
		ends           string
	}{
		{"all of it, to the hour", crew{1}, 0, 21, unlimited, 1, ""},
		{"all of it, to the dollar", crew{1}, 0, unlimited, 100 + 1000 + 200, 1, ""},
		{"half the hours", crew{1}, 0, 11, unlimited, 0.5, LeftByDays},
		{"half the dollars", crew{1}, 0, unlimited, 100 + 600, 0.5, LeftByBudget},
		{"the days end first", crew{1}, 0, 6, 700, 0.25, LeftByDays},
		{"the budget ends first", crew{1}, 0, 11, 400, 0.25, LeftByBudget},
		{"two share the hours in an area for two", crew{2}, 0, 6, unlimited, 0.5, LeftByDays},
		{"and the move of both is paid", crew{2}, 0, unlimited, 200 + 550, 0.5, LeftByBudget},
		{"two wait for each other in an area for one", crew{2}, 2, 6, unlimited, 0.25, LeftByDays},
		{"by hand there are dollars alone", crew{1}, 1, 1, 100 + 500, 0.25, LeftByBudget},
		{"by hand all, to the dollar", crew{0}, 1, 0, 2000, 1, ""},
		{"no hour after the move", crew{1}, 0, 1, unlimited, 0, LeftByDays},
		{"no dollar after the move", crew{1}, 0, unlimited, 100, 0, LeftByBudget},
	} {
		b := bidsOf(10, []ours{{2, 1, 100}}, []float64{2, 1}, tenAcres...).limitedTo(c.spanH, c.costUSD)
		a := b.start(c.crew)
		share, ends := b.room(a, &b.lumps[0], b.lumps[0].ways[c.way])
		assert.InDelta(t, c.share, share, 1e-9, c.what)
		assert.Equal(t, c.ends, ends, c.what)
		// The same is given, if there is any.
		b.squeeze(a, 0, []int{c.way})
		assert.InDelta(t, c.share, a.share[0], 1e-9, c.what)
		assert.Equal(t, c.ends, a.ended[0], c.what)
		assert.Equal(t, c.share > 0, a.by[0] == c.way, c.what)
		assert.InDelta(t, c.share*10, a.acres, 1e-8, c.what)
		worked := a.workH
		b.again(a)
		assert.InDelta(t, a.workH, worked, 1e-9, "%s: hours as they are added up from nothing", c.what)
	}
}

// Room is what the lumps before leave: their hours by machine and by area, their dollars.
func TestRoomBesideWhatIsGiven(t *testing.T) {
	lumps := []lump{lumpOf(4, by(0, 100, 4)), lumpOf(10, by(0, 1000, 20), by(1, 500, 20))}
	for _, c := range []struct {
		crew           crew
		way            int
		spanH, costUSD float64
		share          float64
		ends           string
	}{
		{crew{1, 0}, 0, 1 + 4 + 5, unlimited, 0.25, LeftByDays},
		{crew{1, 0}, 0, unlimited, 100 + 100 + 40 + 300, 0.25, LeftByBudget},
		{crew{1, 1}, 1, 2 + 4 + 5, unlimited, 0.25, LeftByDays}, // in one area, one after the other
		{crew{1, 1}, 1, unlimited, 150 + 100 + 40 + 350, 0.5, LeftByBudget},
	} {
		b := bidsOf(10, []ours{{1, 1, 100}, {1, 2, 50}}, []float64{1}, lumps...).limitedTo(c.spanH, c.costUSD)
		a := b.start(c.crew)
		b.squeeze(a, 0, []int{0})
		assert.Equal(t, 1.0, a.share[0])
		b.squeeze(a, 1, []int{c.way})
		assert.InDelta(t, c.share, a.share[1], 1e-9, "%+v", c)
		assert.Equal(t, c.ends, a.ended[1])
	}
	// A lump with room that costs the truck no hour more: B works 4 h beside A's 4 h.
	b := bidsOf(10, []ours{{1, 0, 0}, {1, 0, 0}}, []float64{1, 1}, lumpOf(4, by(0, 100, 4)), lumpOf(2, by(1, 50, 0, 4))).limitedTo(4, 100+50+40)
	a := b.start(crew{1, 1})
	b.squeeze(a, 0, []int{0})
	b.squeeze(a, 1, []int{0})
	assert.Equal(t, []float64{1, 1}, a.share)
	assert.Equal(t, []string{"", ""}, a.ended)
}

// A lump goes whole to the first way that has room for it, and where none has, in part to
// the one that has most; less than a machine stands on is left.
func TestTheFirstWayWithRoom(t *testing.T) {
	l := lumpOf(10, by(0, 1000, 20), by(1, 4000, 10), by(2, 2000, 10))
	kinds := []ours{{1, 0, 0}, {1, 0, 0}, {1, 0, 0}}
	for _, c := range []struct {
		spanH, costUSD float64
		ways           []int
		by             int
		share          float64
		ended          string
	}{
		{20, unlimited, []int{0, 1, 2}, 0, 1, ""},
		{19, unlimited, []int{0, 1, 2}, 1, 1, ""},
		{19, unlimited, []int{0, 2, 1}, 2, 1, ""},
		{8, unlimited, []int{0, 1, 2}, 1, 0.8, LeftByDays},
		{8, 1600, []int{0, 1, 2}, 2, 0.8, LeftByDays}, // 0.4, 0.4, and 0.8 for hours and dollars alike
		{9, 1600, []int{0, 1, 2}, 2, 0.8, LeftByBudget},
		{9, 100, []int{1, 0}, 0, 0.1, LeftByBudget},
		{0.0009, unlimited, []int{0, 1}, -1, 0, LeftByDays}, // 0.0009 acres by the quicker
		{0.0011, unlimited, []int{0, 1}, 1, 0.00011, LeftByDays},
		{unlimited, 0.09, []int{0}, -1, 0, LeftByBudget},
		{unlimited, 0.11, []int{0}, 0, 0.00011, LeftByBudget},
	} {
		b := bidsOf(0, kinds, []float64{9}, l).limitedTo(c.spanH, c.costUSD)
		a := b.start(crew{1, 1, 1})
		b.squeeze(a, 0, c.ways)
		assert.Equal(t, c.by, a.by[0], "%+v", c)
		assert.InDelta(t, c.share, a.share[0], 1e-9, "%+v", c)
		if c.share != 0.8 || c.spanH != 8 || c.costUSD != 1600 {
			assert.Equal(t, c.ended, a.ended[0], "%+v", c)
		}
	}
}

// A lump of as much as a machine stands on is worked, and nothing of one without acres.
func TestTheLeastLumpThatIsWorked(t *testing.T) {
	b := bidsOf(0, []ours{{1, 0, 0}}, []float64{1}, lumpOf(LeastWorkAcres, by(0, 1, 1)), lumpOf(0, by(0, 0, 0)), lumpOf(5, by(0, 5, 5))).limitedTo(6, unlimited)
	a := b.within(crew{1}, 0)
	assert.Equal(t, []int{0, -1, 0}, a.by)
	assert.InDelta(t, LeastWorkAcres+5, a.acres, 1e-9)
}

// How much of the scarcer of hours and dollars a way takes: by two machines half the hours.
func TestTheScarcerOfHoursAndDollars(t *testing.T) {
	b := bidsOf(0, []ours{{2, 0, 0}}, []float64{1})
	for _, c := range []struct {
		spanH, costUSD float64
		crew           crew
		way            way
		want           float64
	}{
		{40, 1000, crew{1}, by(0, 100, 20), 0.5}, {40, 1000, crew{2}, by(0, 100, 20), 0.25}, {40, 1000, crew{2}, by(0, 300, 20), 0.3},
		{40, 1000, crew{2}, hand(200), 0.2}, {unlimited, 1000, crew{1}, by(0, 100, 20), 0.1}, {40, unlimited, crew{1}, by(0, 100, 20), 0.5},
	} {
		assert.InDelta(t, c.want, b.limitedTo(c.spanH, c.costUSD).scarce(c.crew, c.way), 1e-12, "%+v", c)
	}
}

// Within limits those lumps come first that take least of what is scarce for an acre; or
// those that fewest may work. The order that clears most acres counts, of equals the
// cheapest.
func TestWhatIsClearedFirst(t *testing.T) {
	one, two := []ours{{1, 0, 0}}, []ours{{1, 0, 0}, {1, 0, 0}}
	for _, c := range []struct {
		what            string
		kinds           []ours
		spanH, costUSD  float64
		crew            crew
		lumps           []lump
		by              []int
		acres, costUSD2 float64
	}{
		{"the quick acres: 4 in 4 h, then 3 of 6 in 6", one, 10, unlimited, crew{1},
			[]lump{lumpOf(6, by(0, 60, 12)), lumpOf(4, by(0, 400, 4))}, []int{0, 0}, 7, 430},
		{"the quick acres, though all of them take longer", one, 10, unlimited, crew{1},
			[]lump{lumpOf(2, by(0, 1, 4)), lumpOf(10, by(0, 2, 10))}, []int{-1, 0}, 10, 2},
		{"the cheap acres: 6 for $60, then 1 of 4 for $100", one, unlimited, 160, crew{1},
			[]lump{lumpOf(4, by(0, 400, 4)), lumpOf(6, by(0, 60, 12))}, []int{0, 0}, 7, 160},
		{"nobody's lump is passed over", one, 6, unlimited, crew{1},
			[]lump{lumpOf(3), lumpOf(6, by(0, 60, 12))}, []int{-1, 0}, 3, 30},
		{"the lump that A alone may work is A's, though its acres take longer", two, 10, unlimited, crew{1, 1},
			[]lump{lumpOf(10, by(0, 50, 10), by(1, 100, 10)), lumpOf(8, by(0, 80, 10))}, []int{1, 0}, 18, 180},
		{"the dear and quick way where hours are scarce", two, 5, unlimited, crew{1, 1},
			[]lump{lumpOf(10, by(0, 50, 10), by(1, 100, 5))}, []int{1}, 10, 100},
		{"the cheap way where dollars are", two, unlimited, 50, crew{1, 1},
			[]lump{lumpOf(10, by(1, 100, 5), by(0, 50, 10))}, []int{1}, 10, 50},
		{"of ways that clear as much the cheaper", two, 20, unlimited, crew{1, 1},
			[]lump{lumpOf(10, by(1, 100, 5), by(0, 50, 10)), lumpOf(20, by(0, 90, 20, 0), by(1, 90, 20, 0))}, []int{1, 1}, 30, 140},
	} {
		b := bidsOf(0, c.kinds, []float64{9}, c.lumps...).limitedTo(c.spanH, c.costUSD)
		a := b.within(c.crew, 0)
		assert.Equal(t, c.by, a.by, c.what)
		assert.InDelta(t, c.acres, a.acres, 1e-9, c.what)
		assert.InDelta(t, c.costUSD2, a.costUSD, 1e-6, c.what)
	}
	// The truck is in the cost: with $100 an hour for it, ten hours for $50 are dearer than
	// five for $100.
	b := bidsOf(100, two, []float64{1}, lumpOf(10, by(0, 50, 10), by(1, 100, 5))).limitedTo(20, 9000)
	a := b.within(crew{1, 1}, 100)
	assert.Equal(t, []int{1}, a.by)
	assert.InDelta(t, 600, a.costUSD, 1e-9)
	// Neither the cheapest way nor the quickest, with the truck: $1050, $700, $1150.
	b = bidsOf(100, []ours{{1, 0, 0}, {1, 0, 0}, {1, 0, 0}}, []float64{1}, lumpOf(10, by(0, 50, 10), by(1, 100, 6), by(2, 650, 5))).limitedTo(20, 9000)
	a = b.within(crew{1, 1, 1}, 100)
	assert.Equal(t, []int{1}, a.by)
	assert.InDelta(t, 700, a.costUSD, 1e-9)
	// A crew whose moves the limits do not hold does nothing; one that they just hold may.
	moved := func(spanH, usd float64) *assignment {
		return bidsOf(0, []ours{{1, 2, 300}}, []float64{1}, lumpOf(5, hand(10), by(0, 0, 0))).limitedTo(spanH, usd).within(crew{1}, 0)
	}
	assert.Equal(t, 5.0, moved(2, 310).acres)
	assert.Equal(t, 5.0, moved(2, 300).acres)
	assert.Zero(t, moved(1.9, 310).acres)
	assert.Zero(t, moved(2, 299).acres)
}
