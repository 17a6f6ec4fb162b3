package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// ladderOf are steps made by hand: acres and cost.
func ladderOf(points ...[2]float64) (out []step) {
	for _, p := range points {
		out = append(out, step{clearing: clearing{&assignment{costUSD: p[1]}, p[0], p[1]}})
	}
	return out
}

// A crew is no step where even its least cost lies on or above the line of steps. By hand,
// for machines that move at $100 and 1 h each, with a truck at $10 an hour.
func TestCrewsThatAreNoSteps(t *testing.T) {
	// 2 acres at $200 and 4 h are $240 with the truck, 3 acres at $600 and 9 h are $690.
	two := []lump{lumpOf(3, by(0, 600, 9)), lumpOf(2, by(0, 200, 4)), lumpOf(0, by(0, 5, 1)), lumpOf(7)}
	// The other way round by hours: 2 h an acre for the dear 3 acres, 4 h for the cheap 2:
	// $660 and $280.
	otherwise := []lump{lumpOf(2, by(0, 200, 8)), lumpOf(3, by(0, 600, 6))}
	for _, c := range []struct {
		what           string
		lumps          []lump
		crew           crew
		spanH, costUSD float64
		below          []step  // whose last cost is the one at which the crew is on the line
		at             float64 // that cost
	}{
		{"the line through the cheap acres", two, crew{1}, unlimited, unlimited, ladderOf([2]float64{5, 0}), 340 * 5 / 2.0},
		{"all acres", two, crew{1}, unlimited, unlimited, ladderOf([2]float64{2, 300}, [2]float64{5, 0}), 100 + 240 + 690},
		{"two share the hours", two, crew{2}, unlimited, unlimited, ladderOf([2]float64{2, 300}, [2]float64{5, 0}), 200 + 220 + 645},
		{"5 h after the move: 2 acres and a third", two, crew{1}, 6, unlimited, ladderOf([2]float64{2, 300}, [2]float64{2.5, 0}), 300 + (340+690/9.0-300)*1.5},
		{"two have twice the hours", two, crew{2}, 6, unlimited, ladderOf([2]float64{2, 300}, [2]float64{4, 0}), 420 + 645*6/9.0},
		{"a budget for 2 acres and a tenth of the others", two, crew{1}, unlimited, 340 + 69, ladderOf([2]float64{2, 300}, [2]float64{2.3, 0}), 409},
		{"8 h for the quick acres, filled by dollars", otherwise, crew{1}, 9, unlimited, ladderOf([2]float64{2, 370}, [2]float64{3.5, 0}), 380 + 660/2.0},
	} {
		b := bidsOf(10, []ours{{2, 1, 100}}, []float64{1}, c.lumps...).limitedTo(c.spanH, c.costUSD)
		last := len(c.below) - 1
		for _, off := range []float64{0, 0.01, -0.01} {
			c.below[last].costUSD = c.at + off
			assert.Equal(t, off > 0, b.couldBeStep(c.crew, c.below), "%s: a step at $%g", c.what, c.at+off)
		}
		assert.True(t, b.couldBeStep(c.crew, nil), c.what)
	}

	b := bidsOf(10, []ours{{1, 1, 100}, {1, 2, 30}}, []float64{1}, lumpOf(2, by(0, 200, 4), by(1, 260, 2)))
	at := func(usd float64) []step { return ladderOf([2]float64{2, usd}) }
	assert.False(t, b.couldBeStep(crew{1, 1}, at(130+200+10)), "the dollars of one, the hours of the other, shared by both")
	assert.True(t, b.couldBeStep(crew{1, 1}, at(130+200+10.01)))
	assert.True(t, b.limitedTo(2.1, unlimited).couldBeStep(crew{0, 1}, nil))
	assert.False(t, b.limitedTo(1.9, unlimited).couldBeStep(crew{0, 1}, nil), "the days end before it is there")
	assert.False(t, b.limitedTo(2, unlimited).couldBeStep(crew{0, 1}, nil), "no hour is left")
	assert.True(t, b.limitedTo(unlimited, 30.01).couldBeStep(crew{0, 1}, nil))
	assert.False(t, b.limitedTo(unlimited, 29).couldBeStep(crew{0, 1}, nil), "the budget does not pay the move")
	assert.False(t, b.limitedTo(1.9, unlimited).couldBeStep(crew{0, 1}, at(1e6)))
	assert.False(t, b.limitedTo(unlimited, 29).couldBeStep(crew{0, 1}, at(1e6)))
	assert.False(t, bidsOf(10, []ours{{1, 1, 100}}, []float64{1}, lumpOf(2)).couldBeStep(crew{1}, nil), "nothing that it may work")
	assert.True(t, bidsOf(10, []ours{{1, 1, 100}}, []float64{1}, lumpOf(2, hand(300))).couldBeStep(crew{0}, at(300.01)))
	assert.False(t, bidsOf(10, []ours{{1, 1, 100}}, []float64{1}, lumpOf(2, hand(300))).couldBeStep(crew{0}, at(300)))
}

// The acres there is room for, those that take least for an acre first.
func TestAcresThatThereIsRoomFor(t *testing.T) {
	for room, want := range map[float64]float64{0: 0, 5: 1, 10: 2, 25: 3.5, 40: 5, 41: 5, unlimited: 5} {
		all := []atLeast{{3, 30, 0}, {2, 10, 0}}
		assert.InDelta(t, want, fillAcres(all, room, func(a atLeast) float64 { return a.usd }), 1e-12, "%g", room)
		assert.Equal(t, []atLeast{{2, 10, 0}, {3, 30, 0}}, all)
	}
	// An acre at $8 comes before one at $6 of half an acre.
	all := []atLeast{{0.5, 6, 0}, {1, 8, 0}, {0.25, 1, 0}}
	assert.InDelta(t, 1.25, fillAcres(all, 9, func(a atLeast) float64 { return a.usd }), 1e-12)
}

// The line of steps starts at nothing, and beyond its last step there is none.
func TestWhatLiesAboveTheLine(t *testing.T) {
	j := &Job{Overhead: 0.25}
	ladder := ladderOf([2]float64{4, 400}, [2]float64{10, 1600})
	for _, c := range []struct {
		acres, usd float64
		want       bool
	}{{2, 200, true}, {2, 199.99, false}, {4, 400, true}, {4, 399, false}, {7, 1000, true}, {7, 999.99, false}, {5, 600, true}, {5, 599, false},
		{10, 1600, true}, {10, 1599, false}, {10.1, 9e9, false}, {0, 0, true}} {
		assert.Equal(t, c.want, j.above(ladder, c.acres, c.usd), "%+v", c)
	}
	assert.False(t, j.above(nil, 1, 1e9))
}

// The first step is the crew of least price for an acre, before the minimum charge; the next
// the one that asks least for each acre more.
func TestStepsAreOfPricesBeforeTheMinimum(t *testing.T) {
	j := &Job{Overhead: 0.25, MinimumUSD: 9000}
	all := []clearing{}
	for _, s := range ladderOf([2]float64{6, 660}, [2]float64{4, 400}, [2]float64{4.0005, 400}, [2]float64{0.0005, 0.01}, [2]float64{9, 1200}) {
		all = append(all, s.clearing)
	}
	got := j.steps(all)
	if assert.Len(t, got, 3) {
		for i, want := range [][3]float64{{4.0005, 400, 500 / 4.0005}, {6, 660, 325 / 1.9995}, {9, 1200, 675 / 3.0}} {
			assert.Equal(t, want[0], got[i].acres)
			assert.InDelta(t, want[2], got[i].extraUSD, 1e-9)
		}
	}
}

// A machine of several joins for the least work of its own, a kind of two for twice that;
// one alone comes for any work.
func TestWhoIsBusy(t *testing.T) {
	b := bidsOf(0, nil, nil)
	b.job.LeastWorkDays = 0.5
	for _, c := range []struct {
		crew  crew
		kindH []float64
		want  bool
	}{
		{crew{1, 1}, []float64{5, 5}, true}, {crew{1, 1}, []float64{4.999, 5}, false}, {crew{1, 1}, []float64{5, 4.999}, false},
		{crew{2, 0}, []float64{10, 0}, true}, {crew{2, 0}, []float64{9.999, 0}, false}, {crew{1, 0}, []float64{0.1, 0}, true},
		{crew{0, 0}, []float64{0, 0}, true}, {crew{1, 0}, []float64{0, 0}, true},
	} {
		assert.Equal(t, c.want, b.busy(&assignment{crew: c.crew, kindH: c.kindH}), "%+v", c)
	}
	b.job.LeastWorkDays = 0
	assert.False(t, b.busy(&assignment{crew: crew{1, 1}, kindH: []float64{5, 0}}), "some work of its own, however little")
	assert.True(t, b.busy(&assignment{crew: crew{1, 1}, kindH: []float64{5, 0.01}}))
}

// Acres that the crew of a step below works once they are dry are no acres more: the step
// must be worth its price by the others.
func TestAStepIsWorthItsOwnAcres(t *testing.T) {
	s := &Site{Pieces: []Piece{stand(loaderMay, 6, 6, Light), stand(crawlerMay, 3, 25, Light), stand(crawlerMay, 2, 25, Light)}}
	s.Pieces[1].MayDry = loaderMay
	b := planning(t, s, "job", "overhead", "0%", "job", "contingency", "0%", "job", "margin", "0%").bidder()
	of := func(acres, usd float64, k crew, by ...int) step {
		a := b.start(k)
		for i, n := range by {
			if a.by[i] = n; n >= 0 {
				a.share[i] = 1
			}
		}
		a.acres, a.costUSD = acres, usd
		return step{clearing: clearing{a, acres, usd}}
	}
	ladder := []step{of(6, 6000, crew{1, 0, 0, 0}, 0, -1, -1), of(11, 16000, crew{1, 0, 0, 1}, 0, 0, 0)}
	assert.InDelta(t, 3, b.onlyWaits(ladder[0].assignment, ladder[1].assignment), 1e-12)
	assert.InDelta(t, 0, b.onlyWaits(ladder[1].assignment, ladder[0].assignment), 1e-12)
	// $10,000 for two acres more.
	assert.Equal(t, 0, b.worth(ladder, 4999))
	assert.Equal(t, 1, b.worth(ladder, 5000))
	// Nothing but what waits is no reason to bring more, whatever an acre is worth.
	same := []step{ladder[0], of(9, 6000, crew{1, 0, 0, 1}, 0, 0, -1)}
	assert.Equal(t, 0, b.worth(same, 1e9))
	assert.Equal(t, 0, b.worth(ladder[:1], 0), "the first is recommended to whom does not say")
}
