package plan

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// given is an assignment of whole lumps, each by the way with that index.
func (b *bidder) given(k crew, by ...int) *assignment {
	a := b.start(k)
	for i, n := range by {
		if a.by[i] = n; n >= 0 {
			a.share[i] = 1
		}
	}
	b.again(a)
	return a
}

// By hand: work takes as long as the machine that takes longest, machines of a kind sharing
// theirs, or as the area that takes longest, with room for so many at once; moves come on
// top, and the support truck is paid for the work.
func TestWhatAnAssignmentTakes(t *testing.T) {
	b := bidsOf(20, []ours{{2, 1, 100}, {1, 3, 50}}, []float64{2, 1},
		lumpOf(4, by(0, 200, 12), by(1, 300, 8)),
		lumpOf(2, by(0, 90, 0, 6), by(1, 70, 0, 5)),
		lumpOf(1, hand(15), by(0, 40, 0, 4)))
	for _, c := range []struct {
		what              string
		crew              crew
		by                []int
		acres, workH, usd float64
		moveH, movesUSD   float64
	}{
		{"area 1 takes one at a time: 5 + 4 h", crew{2, 1}, []int{0, 1, 1}, 7, 9, 310, 3, 250},
		{"two of a kind share 12 h, B takes 5", crew{2, 1}, []int{0, 1, 0}, 7, 6, 285, 3, 250},
		{"one A for 12 h", crew{1, 1}, []int{0, 1, 0}, 7, 12, 285, 3, 150},
		{"B alone, 13 h", crew{0, 1}, []int{1, 1, 0}, 7, 13, 385, 3, 50},
		{"A alone, 22 h", crew{1, 0}, []int{0, 0, 1}, 7, 22, 330, 1, 100},
		{"two A, of which one waits in area 1: 22 / 2 h", crew{2, 0}, []int{0, 0, 1}, 7, 11, 330, 1, 200},
		{"hands alone take no hours", crew{0, 0}, []int{-1, -1, 0}, 1, 0, 15, 0, 0},
		{"nothing", crew{0, 0}, []int{-1, -1, -1}, 0, 0, 0, 0, 0},
	} {
		a := b.start(c.crew)
		assert.Equal(t, []float64{c.moveH, c.movesUSD}, []float64{a.spanH, a.costUSD}, "%s: before any work there are moves", c.what)
		a = b.given(c.crew, c.by...)
		assert.InDelta(t, c.acres, a.acres, 1e-12, c.what)
		assert.InDelta(t, c.usd, a.workUSD, 1e-12, c.what)
		assert.InDelta(t, c.workH, a.workH, 1e-12, c.what)
		assert.InDelta(t, c.workH+c.moveH, a.spanH, 1e-12, c.what)
		assert.InDelta(t, c.movesUSD+c.usd+20*c.workH, a.costUSD, 1e-12, c.what)
		b.again(a)
		assert.InDelta(t, c.acres, a.acres, 1e-12, "%s: added up again", c.what)
		assert.InDelta(t, c.workH+c.moveH, a.spanH, 1e-12, "%s: added up again", c.what)
	}
}

// A part of a lump takes that part of its hours and dollars.
func TestAPartOfALumpTakesThatPart(t *testing.T) {
	b := bidsOf(0, []ours{{1, 0, 0}}, []float64{1, 1}, lumpOf(4, by(0, 200, 12, 4)))
	a := b.start(crew{1})
	a.by[0], a.share[0] = 0, 0.25
	b.again(a)
	assert.Equal(t, []any{1.0, 50.0, 4.0, []float64{4}, []float64{3, 1}}, []any{a.acres, a.workUSD, a.workH, a.kindH, a.areaH})
}

// An area is tight when its slowest machine takes longer in it, by the room it has, than all
// machines take for all the work at their fastest; within limits every area with work is.
func TestAreasThatMayTakeLongest(t *testing.T) {
	kinds := []ours{{2, 1, 0}, {1, 1, 0}}
	// Fastest 8 + 5 + 2 h by three machines: 5 h. Slowest in area 0: 12 h, in area 1: 6 h
	// there and 2 more, in area 2: nothing.
	lumps := []lump{lumpOf(4, by(1, 0, 8), by(0, 0, 12)), lumpOf(2, by(0, 0, 0, 6), by(1, 0, 0, 5)), lumpOf(1, by(0, 0, 0, 2)), lumpOf(1)}
	for _, c := range []struct {
		room []float64
		want []int
	}{
		{[]float64{1, 1, 1}, []int{0, 1}},
		{[]float64{2, 1, 1}, []int{0, 1}},
		{[]float64{2.4, 1.6, 1}, nil}, // both 5 h: no longer than the machines
		{[]float64{2.39, 1.6, 1}, []int{0}},
		{[]float64{3, 1.59, 1}, []int{1}},
	} {
		b := bidsOf(0, kinds, c.room, lumps...)
		assert.Equal(t, c.want, b.tight, "%v", c.room)
		assert.Equal(t, []int{0, 1}, b.limitedTo(40, unlimited).tight)
		assert.Equal(t, []int{0, 1}, b.limitedTo(unlimited, 4000).tight)
	}
	assert.Equal(t, []int{0}, bidsOf(0, nil, []float64{0.5}, lumpOf(1, way{hours: 3, in: []hoursInArea{{0, 3}}})).tight, "no machine is one")
}

// What a crew takes at best is the least dollars and the fewest hours of each lump, hours
// shared by its machines. At a limit it still may fit, and a cent or a minute over it not.
func TestWhatMayFitTheLimits(t *testing.T) {
	lumps := []lump{
		lumpOf(4, by(0, 60, 6), by(1, 80, 4)), // at best $60 and 4 h
		lumpOf(2, by(0, 90, 8), by(1, 70, 9)), // $70 and 8 h
		lumpOf(1, hand(40), by(1, 30, 5)),     // $30 with B, no hours by hand
		lumpOf(3),                             // nobody may
	}
	kinds := []ours{{1, 1, 100}, {1, 2, 50}}
	for _, c := range []struct {
		crew       crew
		usd, spanH float64
	}{
		{crew{1, 1}, 150 + 60 + 70 + 30, 2 + (4+8+0)/2.0},
		{crew{1, 0}, 100 + 60 + 90 + 40, 1 + 6 + 8},
		{crew{0, 1}, 50 + 80 + 70 + 30, 2 + 4 + 9},
		{crew{2, 0}, 200 + 60 + 90 + 40, 1 + 14/2.0},
		{crew{0, 0}, 40, 0},
	} {
		b := bidsOf(20, kinds, []float64{1}, lumps...)
		may := func(spanH, usd float64) bool { return b.limitedTo(spanH, usd).mayFit(c.crew) }
		assert.True(t, may(unlimited, unlimited), "%v", c.crew)
		assert.True(t, may(c.spanH, c.usd), "%v at its limits", c.crew)
		assert.False(t, may(c.spanH-0.01, c.usd), "%v: a minute over", c.crew)
		assert.False(t, may(c.spanH, c.usd-0.01), "%v: a cent over", c.crew)
		assert.False(t, may(unlimited, c.usd-0.01), "%v: a cent over, days without end", c.crew)
		assert.False(t, may(c.spanH-0.01, unlimited), "%v: a minute over, dollars without end", c.crew)

		acres, usd := b.limitedTo(unlimited, unlimited).atBest(c.crew)
		open := map[bool]float64{true: 7, false: 1}[c.crew.size() > 0]
		assert.Equal(t, open, acres)
		_, moveH := b.moves(c.crew)
		assert.InDelta(t, c.usd+20*(c.spanH-moveH), usd, 1e-9, "%v: with the truck", c.crew)
		assert.InDelta(t, c.spanH, b.soonestH(c.crew), 1e-9)
		movesUSD, _ := b.moves(c.crew)
		acres, usd = b.limitedTo(moveH, movesUSD).atBest(c.crew)
		assert.Equal(t, []float64{open, movesUSD}, []float64{acres, usd}, "%v: within limits nothing but moves is sure", c.crew)
		assert.Equal(t, moveH, b.soonestH(c.crew))
		if movesUSD > 0 {
			acres, usd = b.limitedTo(moveH, movesUSD-1).atBest(c.crew)
			assert.Zero(t, acres+usd, "%v: the budget does not pay the moves", c.crew)
			acres, usd = b.limitedTo(moveH-0.1, movesUSD).atBest(c.crew)
			assert.Zero(t, acres+usd, "%v: the days end before it is there", c.crew)
		}
	}
	assert.True(t, limits{unlimited, unlimited}.none())
	assert.False(t, limits{1, unlimited}.none())
	assert.False(t, limits{unlimited, 1}.none())
}

// An assignment at its limits fits; a thousandth of an hour or of a cent over does not.
func TestWhatFitsTheLimits(t *testing.T) {
	b := bidsOf(0, nil, nil).limitedTo(20, 3000)
	for _, c := range []struct {
		spanH, usd float64
		want       bool
	}{{20, 3000, true}, {20.001, 3000, false}, {20, 3000.00001, false}, {1, 1, true}, {0, 3001, false}, {21, 0, false}} {
		assert.Equal(t, c.want, b.fits(&assignment{spanH: c.spanH, costUSD: c.usd}), "%+v", c)
	}
}

// A lump goes to who asks least for it with his hours at a weight, of those who come; the
// first of equals.
func TestTheCheapestWay(t *testing.T) {
	b := bidsOf(0, []ours{{1, 0, 0}, {1, 0, 0}}, []float64{1}, lumpOf(3, hand(500), by(0, 100, 10), by(1, 180, 2)), lumpOf(1))
	for _, c := range []struct {
		crew   crew
		weight float64
		want   int
	}{{crew{1, 1}, 0, 1}, {crew{1, 1}, 9.9, 1}, {crew{1, 1}, 10, 1}, {crew{1, 1}, 10.1, 2}, {crew{0, 1}, 0, 2}, {crew{0, 0}, 0, 0},
		{crew{1, 0}, 39.9, 1}, {crew{1, 0}, 40.1, 0}, {crew{1, 0}, 40, 0}} {
		a := b.start(c.crew)
		b.cheapest(a, 0, c.weight)
		b.cheapest(a, 1, c.weight)
		assert.Equal(t, []int{c.want, -1}, a.by, "%+v", c)
		assert.Equal(t, []float64{1, 0}, a.share)
		assert.Equal(t, 3.0, a.acres)
		assert.Equal(t, b.lumps[0].ways[c.want].usd, a.workUSD)
	}
}

// Hand work is done though nobody is brought, with a truck that would wait for machines.
func TestHandsNeedNoCrew(t *testing.T) {
	b := bidsOf(25, []ours{{1, 1, 100}}, []float64{1}, lumpOf(1, hand(300), by(0, 200, 5)), lumpOf(2, hand(500)))
	a := b.assign(crew{0}, 25)
	assert.Equal(t, []int{0, 0}, a.by)
	assert.Equal(t, []float64{800, 3}, []float64{a.costUSD, a.acres})
}

// Two lumps that are exchanged, where giving over one alone is dearer: A takes 10 h for the
// first and 4 for the second, B the other way round, an hour of both at $100. Each on its
// slow one costs $1000 for the hours; after the exchange $400.
func TestLumpsAreExchanged(t *testing.T) {
	b := bidsOf(100, []ours{{1, 0, 0}, {1, 0, 0}}, []float64{1, 1},
		lumpOf(1, by(0, 50, 10), by(1, 60, 4)), lumpOf(1, by(0, 60, 0, 4), by(1, 50, 0, 10)))
	a := b.given(crew{1, 1}, 0, 1)
	b.descend(a, 100)
	assert.Equal(t, []int{1, 0}, a.by)
	assert.InDelta(t, 120, a.workUSD, 1e-9)
	assert.InDelta(t, 4, b.hours(a), 1e-9)

	// One alone is given over where that is enough, and back.
	b = bidsOf(10, []ours{{1, 0, 0}, {1, 0, 0}}, []float64{2, 2}, lumpOf(1, by(0, 100, 10), by(1, 90, 10)), lumpOf(1, by(0, 100, 0, 10), by(1, 150, 0, 10)))
	for _, from := range [][]int{{0, 0}, {0, 1}, {1, 0}, {1, 1}} {
		a := b.given(crew{1, 1}, from...)
		b.descend(a, 10)
		assert.Equal(t, []int{1, 0}, a.by, "from %v", from)
		assert.InDelta(t, 190, a.workUSD, 1e-9)
	}
	// What an exchange saves must be more than rounding: equals stay.
	b = bidsOf(10, []ours{{1, 0, 0}, {1, 0, 0}}, []float64{2}, lumpOf(1, by(0, 100, 10), by(1, 100, 10)))
	for _, from := range []int{0, 1} {
		a := b.given(crew{1, 1}, from)
		b.descend(a, 10)
		assert.Equal(t, []int{from}, a.by)
	}
}

// After an exchange all are asked once more: with A and B at 4 h instead of 10, C's 8 h are
// the longest, and D's 4 are worth $100 more.
func TestAnExchangeLetsOthersMove(t *testing.T) {
	kinds := []ours{{1, 0, 0}, {1, 0, 0}, {1, 0, 0}, {1, 0, 0}}
	b := bidsOf(100, kinds, []float64{9}, lumpOf(1, by(0, 50, 10), by(1, 60, 4)), lumpOf(1, by(0, 60, 4), by(1, 50, 10)), lumpOf(1, by(2, 0, 8), by(3, 100, 4)))
	a := b.given(crew{1, 1, 1, 1}, 0, 1, 0)
	b.descend(a, 100)
	assert.Equal(t, []int{1, 0, 1}, a.by)
	assert.InDelta(t, 220, a.workUSD, 1e-9)
	assert.InDelta(t, 4, b.hours(a), 1e-9)
}

// Hands and one kind of machine are two ways: a lump goes over to hands where the truck
// would wait for it too long.
func TestHandsTakeOver(t *testing.T) {
	b := bidsOf(100, []ours{{1, 0, 0}}, []float64{1}, lumpOf(1, hand(400), by(0, 50, 4)), lumpOf(1, hand(900), by(0, 50, 4)))
	b.job.Rest = Hand
	a := b.given(crew{1}, 1, 1)
	b.descend(a, 100)
	assert.Equal(t, []int{0, 1}, a.by, "$400 by hand are less than $50 and four hours of the truck; $900 are not")
	assert.InDelta(t, 450, a.workUSD, 1e-9)
}

// Lumps are tried in pairs up to mostExchanged of them.
func TestPairsOfManyLumps(t *testing.T) {
	lumps := []lump{lumpOf(1, by(0, 50, 10), by(1, 60, 4))}
	from := []int{0}
	for range mostExchanged - 2 {
		lumps, from = append(lumps, lumpOf(1, by(0, 1, 0, 0))), append(from, 0)
	}
	lumps, from = append(lumps, lumpOf(1, by(0, 60, 0, 4), by(1, 50, 0, 10))), append(from, 1)
	b := bidsOf(100, []ours{{1, 0, 0}, {1, 0, 0}}, []float64{1, 1}, lumps...)
	a := b.given(crew{1, 1}, from...)
	b.descend(a, 100)
	require.Len(t, a.by, 64)
	assert.Equal(t, []int{1, 0}, []int{a.by[0], a.by[63]})
	assert.False(t, math.IsNaN(a.workUSD))
}

// Of more lumps than are tried in pairs the start counts: with hours for nothing, at their
// price, and at the price shared by the machines; the least counts. By hand, at $100 an
// hour: of the pair p each lump goes for $60 and 4 h to who is dearer, for $50 and 10 h to
// who is cheaper; of the pair q for $500 and 4.9 h, or for nothing and 10 h.
func TestTheBestOfThreeStarts(t *testing.T) {
	p := []lump{lumpOf(1, by(0, 50, 10), by(1, 60, 4)), lumpOf(1, by(0, 60, 4), by(1, 50, 10))}
	q := []lump{lumpOf(1, by(0, 0, 10), by(1, 500, 4.9)), lumpOf(1, by(0, 500, 4.9), by(1, 0, 10))}
	for _, c := range []struct {
		what           string
		lumps          []lump
		workUSD, workH float64
	}{
		{"exchanged where hours have a price: $520 less than $1100", p, 120, 4},
		{"not at their whole price: $1000 less than $1490", q, 0, 10},
		{"at the price shared by two: $1520 less than $2100 and $2010", append(p[:2:2], q...), 120, 14},
	} {
		lumps := c.lumps[:len(c.lumps):len(c.lumps)]
		for range mostExchanged + 1 - len(lumps) {
			lumps = append(lumps, lumpOf(1, by(0, 0, 0)))
		}
		b := bidsOf(100, []ours{{1, 3, 0}, {1, 3, 0}}, []float64{2}, lumps...)
		a := b.assign(crew{1, 1}, 100)
		assert.InDelta(t, c.workUSD, a.workUSD, 1e-9, c.what)
		assert.InDelta(t, c.workH, a.workH, 1e-9, c.what)
	}
}
