package field_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/field"
)

// The error matrix of Congalton 1991 (Remote Sensing of Environment 37:35-46), also
// in Congalton and Green: overall 74%, user's accuracy 57, 81, 74, 87%, producer's
// 87, 79, 74, 64%, kappa 0.65 (from memory; its accuracies were found again in two
// public programs that use it as their example).
func TestAgreeCongalton(t *testing.T) {
	a := field.Agree([][]int{{65, 4, 22, 24}, {6, 81, 5, 8}, {0, 11, 85, 19}, {4, 7, 3, 90}})
	percent := func(v []float64) (out []float64) {
		for _, x := range v {
			out = append(out, math.Round(100*x))
		}
		return out
	}
	assert.Equal(t, 434, a.N)
	assert.Equal(t, 74.0, math.Round(100*a.Overall))
	assert.Equal(t, []float64{57, 81, 74, 87}, percent(a.User))
	assert.Equal(t, []float64{87, 79, 74, 64}, percent(a.Producer))
	assert.InDelta(t, 0.65, a.Kappa, 0.005)
}

// The documented example of ci.kappa in the R package statpsych (after Fleiss, Levin
// and Paik 2003): kappa 0.6756757, SE 0.07344761, 95% from 0.5317210 to 0.8196303.
func TestAgreeKappaInterval(t *testing.T) {
	a := field.Agree([][]int{{31, 12}, {4, 58}})
	assert.InDelta(t, 0.6756757, a.Kappa, 5e-8)
	assert.InDelta(t, 0.07344761, a.KappaSE, 5e-9)
	assert.InDelta(t, 0.5317210, a.Low, 5e-8)
	assert.InDelta(t, 0.8196303, a.High, 5e-8)
}

// The example of Fleiss, Cohen and Everitt 1969 with three classes: kappa 0.429,
// standard error 0.054 (from memory).
func TestAgreeFleissCohenEveritt(t *testing.T) {
	a := field.Agree([][]int{{106, 10, 4}, {22, 28, 10}, {2, 12, 6}})
	assert.InDelta(t, 0.429, a.Kappa, 5e-4)
	assert.InDelta(t, 0.054, a.KappaSE, 5e-4)
}

// Of a table whose classes are drawn anew, kappa spreads as its standard error says
// (500 draws of 400 readings: the spread itself is good to 3%).
func TestKappaSEBySimulation(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	p := [3][3]float64{{0.40, 0.08, 0.02}, {0.05, 0.20, 0.05}, {0, 0.05, 0.15}}
	draw := func() field.Agreement {
		counts := [][]int{{0, 0, 0}, {0, 0, 0}, {0, 0, 0}}
		for range 400 {
			u := rng.Float64()
			for i := range 9 {
				if u -= p[i/3][i%3]; u < 0 {
					counts[i/3][i%3]++
					break
				}
			}
		}
		return field.Agree(counts)
	}
	var sum, squares, se float64
	const n = 500
	for range n {
		a := draw()
		sum, squares, se = sum+a.Kappa, squares+a.Kappa*a.Kappa, se+a.KappaSE
	}
	assert.InEpsilon(t, math.Sqrt(squares/n-sum*sum/n/n), se/n, 0.1)
}

func TestAgreeWhereThereIsNothingToTell(t *testing.T) {
	all := field.Agree([][]int{{5, 0}, {0, 7}})
	assert.Equal(t, 1.0, all.Kappa)
	assert.True(t, math.IsNaN(all.Low) && math.IsNaN(all.High), "no width, no interval")
	one := field.Agree([][]int{{5, 0}, {0, 0}})
	assert.True(t, math.IsNaN(one.Kappa), "all in one band is no agreement beyond chance")
	assert.True(t, math.IsNaN(one.User[1]))
	none := field.Agree([][]int{{0, 0}, {0, 0}})
	assert.True(t, math.IsNaN(none.Overall))
}

var held = []field.Held{{Key: "loader", LimitPct: 30}, {Key: "boom", LimitPct: 40}, {Key: "crawler", LimitPct: 70}}

// spotAt is a spot of a slope in the zone that the slope gives it.
func spotAt(id string, mapped float64) field.Spot {
	s := field.Spot{ID: id, Lot: "A", Band: zoning.NoMachineKey, MappedPct: mapped, Machines: held}
	for _, m := range held {
		if mapped < m.LimitPct-0.02 {
			s.Band, s.LimitPct = m.Key, m.LimitPct
			break
		}
	}
	return s
}

func checksOf(spots ...field.Spot) *field.Checks {
	return &field.Checks{Bands: []string{"loader", "boom", "crawler", "no-machine"}, Spots: spots}
}

func TestJudge(t *testing.T) {
	c := checksOf(spotAt("S01", 28), spotAt("S02", 25), spotAt("S03", 38), spotAt("S04", 60), spotAt("S05", 80), spotAt("S06", 29))
	readings := []field.Reading{
		{ID: "S01", SlopePct: 33.5}, // over by 3.5
		{ID: "S02", SlopePct: 24},
		{ID: "S03", SlopePct: 40}, // a tie is over
		{ID: "S04", SlopePct: 62},
		{ID: "S05", SlopePct: 66}, // the crawler may work it
	}
	compared, err := c.Match("r", readings, nil)
	require.NoError(t, err)
	v := must(c.Judge(compared))
	assert.Equal(t, 4, v.Limited)
	require.Len(t, v.Over, 2)
	assert.Equal(t, "S01", v.Over[0].ID)
	assert.Equal(t, []string{"S06"}, v.NotRead)
	assert.Equal(t, [][]int{{1, 1, 0, 0}, {0, 0, 1, 0}, {0, 0, 1, 0}, {0, 0, 1, 0}}, v.Agreement.Counts)
	assert.InDelta(t, (5.5-1+2+2-14)/5.0, v.BiasPct, 1e-12)
	// Squares of 6.6, 0.1, 3.1, 3.1, -12.9 about the mean of -1.1, over 4.
	assert.InDelta(t, math.Sqrt((6.6*6.6+0.1*0.1+2*3.1*3.1+12.9*12.9)/4), v.SpreadPct, 1e-12)
	// S01 needs 30 - 28 = 2 points, S03 40 - 38 = 2.
	assert.Equal(t, 2.0, v.MarginPct)

	out := text(t, v.WriteText)
	assert.True(t, strings.HasPrefix(out, "spots over their machine's limit: 2 of 4, worst by 3.5 points\n"), out)
	folded := strings.Join(strings.Fields(out), " ")
	for _, s := range []string{"margin 2.0%", "gentler than mapped by 1.1 points on average, up to 5.5 points steeper; spread 7.6 points", "not read S06",
		"Fleiss, Cohen and Everitt 1969", "overall 40.0% of 5", "user's accuracy", "producer's accuracy",
		"spots of no machine that one may work by their reading: 1 of 1"} {
		assert.Contains(t, folded, s)
	}
	var j map[string]any
	require.NoError(t, json.Unmarshal([]byte(text(t, v.WriteJSON)), &j))
	assert.Equal(t, 2.0, j["margin_pct"])
	assert.Equal(t, 3.5, j["worst_over_pct"])
	assert.Equal(t, 0.4, j["overall"])
}

func TestJudgeWithinAllLimits(t *testing.T) {
	c := checksOf(spotAt("S01", 28))
	compared, err := c.Match("r", []field.Reading{{ID: "S01", SlopePct: 29.9}}, nil)
	require.NoError(t, err)
	v := must(c.Judge(compared))
	out := text(t, v.WriteText)
	assert.True(t, strings.HasPrefix(out, "spots over their machine's limit: 0 of 1\n"), out)
	assert.Contains(t, out, "these readings ask for none")
	assert.Contains(t, text(t, v.WriteJSON), `"kappa": null`)
}

// Mapped again with the margin, every spot goes to a machine within its limit; with
// a fifth of a point less, one does not.
func TestMarginKeepsEverySpotWithinItsLimit(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for range 500 {
		c := checksOf()
		var readings []field.Reading
		for i := range 1 + rng.IntN(8) {
			id := string(rune('a' + i))
			mapped := 85 * rng.Float64()
			c.Spots = append(c.Spots, spotAt(id, mapped))
			readings = append(readings, field.Reading{ID: id, SlopePct: max(0, mapped+8*rng.NormFloat64())})
		}
		compared, err := c.Match("r", readings, nil)
		require.NoError(t, err)
		v := must(c.Judge(compared))
		over := func(marginPct float64) (n int) {
			for _, s := range compared {
				for _, m := range held {
					if s.MappedPct < m.LimitPct-marginPct-0.02 {
						if !(s.MeasuredPct < m.LimitPct-0.02) {
							n++
						}
						break
					}
				}
			}
			return n
		}
		assert.Zero(t, over(v.MarginPct))
		assert.Equal(t, len(v.Over), over(0))
		if v.MarginPct > 0.2 {
			assert.Positive(t, over(v.MarginPct-0.2), "the margin is the least")
		}
	}
}
