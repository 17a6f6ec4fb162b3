package plan

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/stat"
)

// rank gives the rank correlation of two figures over draws. For a Gaussian copula of
// correlation ρ it is 6/π · asin(ρ/2) (Pearson 1907).
func rank(x, y []float64) float64 {
	ranks := func(v []float64) []float64 {
		sorted := slices.Sorted(slices.Values(v))
		out := make([]float64, len(v))
		for i, x := range v {
			at, _ := slices.BinarySearch(sorted, x)
			out[i] = float64(at)
		}
		return out
	}
	return stat.Correlation(ranks(x), ranks(y), nil)
}

// Figures of one cause move together by its part of their variance: half for ground and
// for wages, three tenths more for a class of cover (planning values, no source); what
// hinders goes against what ground helps; a figure with no cause goes with nothing.
func TestFiguresOfOneCauseMoveTogether(t *testing.T) {
	const n = 20000
	causes := []cause{ground, ground, hindrance, wages, wages, growth(Light), growth(Light), growth(Heavy), alone, alone}
	drawn := make([][]float64, len(causes))
	s := newSampler()
	for range n {
		s.next()
		for i, c := range causes {
			drawn[i] = append(drawn[i], s.take(Range{1, 3, 4}, c))
		}
	}
	for _, c := range []struct {
		a, b int
		rho  float64
	}{
		{0, 1, 0.5}, {0, 2, -0.5}, {3, 4, 0.5}, {0, 3, 0}, {2, 3, 0}, {5, 6, 0.8}, {5, 7, 0.5}, {0, 5, 0.5}, {2, 5, -0.5},
		{3, 5, 0}, {8, 9, 0}, {0, 8, 0}, {3, 8, 0}, {5, 8, 0},
	} {
		// Four standard errors of a correlation of n draws.
		assert.InDelta(t, 6/math.Pi*math.Asin(c.rho/2), rank(drawn[c.a], drawn[c.b]), 4/math.Sqrt(n), "%d and %d", causes[c.a], causes[c.b])
	}
	// Each is triangular whatever its cause: mean (1 + 3 + 4)/3, variance
	// (1 + 9 + 16 - 3 - 4 - 12)/18.
	for i, v := range drawn {
		mean, sd := stat.MeanStdDev(v, nil)
		assert.InDelta(t, 8.0/3, mean, 4*0.62/math.Sqrt(n), "%d", causes[i])
		assert.InDelta(t, math.Sqrt(7.0/18), sd, 0.01, "%d", causes[i])
	}
	assert.Equal(t, 3.0, s.take(Range{3, 3, 3}, ground), "what is known does not move")
}

// Which figure has which cause: better ground and operators give more acres, a greater
// share of the hour and fewer days lost; wages move what an hour costs.
func TestWhatMovesEachFigure(t *testing.T) {
	asked := map[Range]cause{}
	r := func(v float64) Range { return Range{v, v, v} }
	j := &Job{SupportTruck: r(1), Productive: r(0.5), Obstacles: r(2), Finish: r(3), Weather: r(4), HandPerAcre: r(5), DayH: 10}
	f := &Figures{Machine: r(6), Operator: r(7), Fuel: r(8), Teeth: r(9)}
	f.Rate[Light], f.Rate[Heavy] = Rate{r(10), false}, Rate{r(11), true}
	v := valuesOf(ByRate{}, []kind{{figures: f}}, j, func(r Range, c cause) float64 {
		asked[r] = c
		return r.Likely
	})
	delete(asked, Range{}) // the classes that it does not work
	assert.Equal(t, map[Range]cause{
		r(1): wages, r(0.5): ground, r(2): ground, r(3): ground, r(4): hindrance, r(5): wages, {0, 1, 2}: alone,
		r(6): wages, r(7): wages, r(8): wages, r(9): wages, r(10): growth(Light), r(11): growth(Heavy),
	}, asked)
	assert.Equal(t, values{cost: ByRate{}, truck: 1, productive: 0.5, weather: 4, hand: 5, verify: 1, machines: v.machines}, v)
	m := v.machines[0]
	assert.Equal(t, []float64{2, 3, 6, 7, 8, 9, 10}, []float64{m.Obstacles, m.Finish, m.Machine, m.Operator, m.Fuel, m.Teeth, m.AcresPerHour[Light]})
	assert.InDelta(t, 11.0/(10*0.5), m.AcresPerHour[Heavy], 1e-12, "acres by the day are acres by its productive hours")
}

// 10, 50 and 90 of 100, and what is reckoned of them.
func TestSpreadOf(t *testing.T) {
	x := make([]float64, 1001)
	for i := range x {
		x[i] = float64(1000 - i)
	}
	got := spreadOf(x, func(v float64) float64 { return 2 * v })
	assert.InDelta(t, 200, got.P10, 4)
	assert.InDelta(t, 1000, got.P50, 4)
	assert.InDelta(t, 1800, got.P90, 4)
}
