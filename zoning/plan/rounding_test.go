package plan

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// What is more by a part in a billion is more; by a part in ten billions, of sums, or in ten
// million millions, of figures, it is rounding. No comparison holds of what is no number.
func TestWhatIsRounding(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		v, limit             float64
		atMost, part, isLess bool
	}{
		{3, 3, true, true, false}, {2, 3, true, true, true}, {4, 3, false, false, false}, {0, 0, true, true, false},
		{3 * (1 + 1e-13), 3, true, true, false}, {3 * (1 + 1e-11), 3, false, true, false}, {3 * (1 + 1e-8), 3, false, false, false},
		{3 * (1 - 1e-10), 3, true, true, false}, {3 * (1 - 1e-8), 3, true, true, true},
		{3, inf, true, true, true}, {inf, 3, false, false, false}, {inf, inf, true, true, false}, {nan, 3, false, false, false}, {3, nan, false, false, false},
	} {
		assert.Equal(t, []bool{c.atMost, c.part, c.isLess}, []bool{atMost(c.v, c.limit), isPart(c.v, c.limit), isLess(c.v, c.limit)}, "%g and %g", c.v, c.limit)
	}
	assert.Equal(t, []float64{1e-9, 1001e-9, 1001e-9}, []float64{tieOf(0), tieOf(1000), tieOf(-1000)})
	for v, want := range map[float64][2]bool{0: {true, true}, -1: {true, false}, 5: {true, true}, inf: {false, false}, -inf: {false, false}, nan: {false, false}} {
		assert.Equal(t, want, [2]bool{finite(v), isAmount(v)}, "%g", v)
	}
}

// A lump asks the least dollars of one and the fewest hours of another of those who come,
// and nothing of a crew that has no way to it.
func TestWhatALumpAsksAtBest(t *testing.T) {
	l := lumpOf(3, by(0, 200, 4), by(1, 260, 2), by(2, 10, 1), hand(900))
	for _, c := range []struct {
		crew crew
		want atLeast
	}{{crew{1, 0, 0}, atLeast{3, 200, 0}}, {crew{1, 1, 0}, atLeast{3, 200, 0}}, {crew{0, 0, 0}, atLeast{3, 900, 0}}} {
		assert.Equal(t, c.want, l.atLeast(c.crew), "hands take no hours of machines")
	}
	l.ways = l.ways[:3]
	for _, c := range []struct {
		crew crew
		want atLeast
	}{{crew{1, 0, 0}, atLeast{3, 200, 4}}, {crew{1, 1, 0}, atLeast{3, 200, 2}}, {crew{0, 1, 0}, atLeast{3, 260, 2}}, {crew{1, 1, 1}, atLeast{3, 10, 1}}, {crew{0, 0, 0}, atLeast{}}} {
		assert.Equal(t, c.want, l.atLeast(c.crew), "%v", c.crew)
	}
}
