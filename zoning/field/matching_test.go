package field_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning/field"
)

// north is a place so many metres north of the equator at longitude 0, on the sphere by
// which distances are measured (radius 6378137 m).
func north(m float64) *orb.Point { return &orb.Point{0, m / 6378137 * 180 / math.Pi} }

// A reading that is known by its place is of the nearest spot within 30 ft, 9.144 m
// (planning value, no source), of where that lies or is measured from; the nearer of two.
func TestReadingsOfAPlaceAreOfTheNearestSpot(t *testing.T) {
	near := field.Spot{ID: "S1", Band: "loader", At: *north(0), LimitPct: 30, Machines: held}
	far := field.Spot{ID: "S2", Band: "loader", At: *north(500), LimitPct: 30, Machines: held, Sight: &field.Sight{At: *north(15)}}
	c := checksOf(near, far)
	for m, want := range map[float64]string{0: "S1", 7: "S1", 7.6: "S2", 9: "S2", 24.1: "S2", 24.2: "", -9.1: "S1", -9.2: "", 491: "S2", 490.8: "", 509.1: "S2"} {
		got, err := c.Match("r", []field.Reading{{At: north(m), SlopePct: 20}}, nil)
		if want == "" {
			assert.ErrorContains(t, err, "is of no spot and of no mapped ground", "%g m", m)
			continue
		}
		require.NoError(t, err)
		require.Len(t, got, 1)
		assert.Equal(t, want, got[0].ID, "%g m", m)
	}
}

// An id goes before a place, in any case of letters; one that no spot has needs a place, and
// a place of another map's bands is refused.
func TestReadingsByIdAndElsewhere(t *testing.T) {
	c := checksOf(spotAt("S01", 20), spotAt("S02", 35))
	elsewhere := func(band string) func(orb.Point) (field.Spot, bool) {
		return func(p orb.Point) (field.Spot, bool) {
			return field.Spot{Band: band, At: p, LimitPct: 40, MappedPct: 33}, band != ""
		}
	}
	far := &orb.Point{50, 50}
	got, err := c.Match("r", []field.Reading{
		{ID: "x", At: far, SlopePct: 41, Note: "n"}, {ID: "s02", SlopePct: 36, Note: "a"}, {ID: "S02", SlopePct: 34, Note: "b"}, {ID: "S02", SlopePct: 37}}, elsewhere("boom"))
	require.NoError(t, err)
	require.Len(t, got, 2, "the spots first, then those elsewhere")
	assert.Equal(t, "S02", got[0].ID)
	assert.Equal(t, []any{37.0, "a; b", 3}, []any{got[0].MeasuredPct, got[0].Note, got[0].Readings}, "the steepest counts")
	assert.Equal(t, []any{"x", 41.0, "n", 1, *far}, []any{got[1].ID, got[1].MeasuredPct, got[1].Note, got[1].Readings, got[1].At})
	_, err = c.Match("r", []field.Reading{{ID: "x", SlopePct: 1}}, elsewhere("boom"))
	assert.ErrorContains(t, err, `no spot has the id "x"`)
	_, err = c.Match("r", []field.Reading{{At: far, SlopePct: 1}}, elsewhere("airship"))
	assert.ErrorContains(t, err, `is of band "airship", which the list of spots does not have`)
	_, err = c.Match("r", []field.Reading{{At: far, SlopePct: 1}}, elsewhere(""))
	assert.ErrorContains(t, err, "is of no spot and of no mapped ground")
}

// Ids begin anew in each list: readings of another job's list once judged this map. A reading
// with an id and a place farther than 200 ft, 60.96 m, from the spot, and from where that is measured, is refused.
func TestReadingsOfAnotherListAreRefused(t *testing.T) {
	c := checksOf(field.Spot{ID: "S1", Band: "loader", At: *north(0), LimitPct: 30, Machines: held, Sight: &field.Sight{At: *north(100)}})
	for _, m := range []float64{0, -60.9, 60.9, 100, 160.9} {
		got, err := c.Match("r.csv", []field.Reading{{ID: "s1", At: north(m), SlopePct: 20}}, nil)
		require.NoError(t, err, "%g m", m)
		assert.Equal(t, "S1", got[0].ID)
	}
	for m, feet := range map[float64]string{-61.1: "200", 161.1: "200", 400: "984"} {
		_, err := c.Match("r.csv", []field.Reading{{Line: 3, ID: "s1", At: north(m), SlopePct: 20}}, nil)
		assert.EqualError(t, err, "r.csv:3: the reading S1 lies "+feet+" ft from the spot of that id; give the list of spots that it was measured by, or take its place out", "%g m", m)
	}
	c.Units = measure.Metric
	_, err := c.Match("r.csv", []field.Reading{{ID: "s1", At: north(400), SlopePct: 20}}, nil)
	assert.ErrorContains(t, err, "the reading S1 lies 300 m from")
}

// A reading at its limit, or within the tie of 0.02 points under it, is over by 0; one of a
// spot that is no machine's over nothing.
func TestOverTheLimitIsATieToo(t *testing.T) {
	over := func(measured, limit float64) float64 {
		return field.Compared{Spot: field.Spot{LimitPct: limit}, MeasuredPct: measured}.OverPct()
	}
	assert.InDelta(t, 2.5, over(32.5, 30), 1e-12)
	assert.Zero(t, over(30, 30))
	assert.Zero(t, over(29.99, 30))
	assert.InDelta(t, -0.03, over(29.97, 30), 1e-9)
	assert.True(t, math.IsNaN(over(50, 0)))
}

// Kappa of Cohen 1960 and its variance of Fleiss, Cohen and
// Everitt 1969, a table of two classes worked by hand: 45, 15 / 25, 15.
func TestKappaByHand(t *testing.T) {
	a := field.Agree([][]int{{45, 15}, {25, 15}})
	assert.Equal(t, 100, a.N)
	assert.InDelta(t, 0.6, a.Overall, 1e-12)
	// pe = 0.6·0.7 + 0.4·0.3 = 0.54; kappa = 0.06/0.46.
	assert.InDelta(t, 0.06/0.46, a.Kappa, 1e-12)
	assert.InDelta(t, 45.0/60, a.User[0], 1e-12)
	assert.InDelta(t, 15.0/40, a.User[1], 1e-12)
	assert.InDelta(t, 45.0/70, a.Producer[0], 1e-12)
	assert.InDelta(t, 15.0/30, a.Producer[1], 1e-12)
	diagonal := 0.45*math.Pow(0.46-(0.6+0.7)*0.4, 2) + 0.15*math.Pow(0.46-(0.4+0.3)*0.4, 2)
	others := 0.4 * 0.4 * (0.15*math.Pow(0.7+0.4, 2) + 0.25*math.Pow(0.3+0.6, 2))
	variance := (diagonal + others - math.Pow(0.6*0.54-2*0.54+0.6, 2)) / (100 * math.Pow(0.46, 4))
	assert.InDelta(t, math.Sqrt(variance), a.KappaSE, 1e-12)
	assert.InDelta(t, a.Kappa-1.959964*a.KappaSE, a.Low, 1e-6)
	assert.InDelta(t, a.Kappa+1.959964*a.KappaSE, a.High, 1e-6)
	most := field.Agree([][]int{{1, 0}, {1, 8}})
	assert.Equal(t, 1.0, most.High, "held to 1")
	assert.Equal(t, -1.0, field.Agree([][]int{{0, 3}, {4, 1}}).Low, "held to -1")
}
