package lp

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Bland's rule takes over after more pivots that go nowhere than patience has, and any that
// goes somewhere starts the count again: without that a choice could run in circles.
func TestPatience(t *testing.T) {
	p := patience{most: 2}
	for range 2 {
		p.count(0)
		assert.False(t, p.over())
	}
	p.count(leastStep)
	assert.True(t, p.over())
	p.count(1.05e-12)
	assert.False(t, p.over())
	assert.Equal(t, 0, p.idle)
	p.count(0.95e-12)
	assert.Equal(t, 1, p.idle)
}

// By hand: the share that is first at zero stops the column.
func TestRatio(t *testing.T) {
	type share struct {
		x, rate float64
		who     int
	}
	of := func(bland bool, shares ...share) ratio {
		r := ratio{far: math.Inf(1), leave: -1, bland: bland}
		for _, s := range shares {
			r.consider(s.x, s.rate, s.who)
		}
		return r
	}
	assert.Equal(t, ratio{math.Inf(1), -1, 0, false}, of(false, share{1, -2, 0}, share{1, 0, 1}, share{1, 0.95e-9, 2}), "nothing falls")
	assert.Equal(t, 7, of(false, share{1, 1.05e-9, 7}).leave)
	assert.Equal(t, ratio{0.25, 1, 2, false}, of(false, share{1, 2, 0}, share{0.5, 2, 1}, share{1, 2, 2}))
	assert.Equal(t, ratio{0, 3, 1, false}, of(false, share{-1e-10, 1, 3}), "below zero by rounding only")
	// Of equals the one that falls fastest, or the first by Bland's rule.
	equals := []share{{1, 2, 4}, {2, 4, 5}, {0.5, 1, 6}}
	assert.Equal(t, ratio{0.5, 5, 4, false}, of(false, equals...))
	assert.Equal(t, ratio{0.5, 4, 2, true}, of(true, equals...))
	assert.Equal(t, 5, of(false, share{1, 2, 4}, share{2 + 2e-12, 4, 5}).leave, "a tie but for rounding")
	assert.Equal(t, 0.5, of(false, share{1, 2, 4}, share{2 + 2e-12, 4, 5}).far, "no share is passed")
	assert.Equal(t, 4, of(false, share{1, 2, 4}, share{2 + 8e-12, 4, 5}).leave)
	assert.Equal(t, 6, of(false, share{2, 4, 5}, share{0.5 - 2e-12, 1, 6}).leave)
	assert.Equal(t, 5, of(false, share{2, 4, 5}, share{0.5 - 5e-13, 1, 6}).leave)
}

// Pricing goes on where it left off and takes the best of a block; by Bland's rule it takes
// the very first column that helps.
func TestEntering(t *testing.T) {
	s := &simplex{stage: CostStage, key: []int{0, 0, 0}, tol: [Stages]float64{1e-9, 1e-9},
		lp: &Programme{Blocks: [][]Column{{{Cost: 1}, {Cost: 2}}, {{Cost: 5}, {Cost: 3}, {Cost: 1}}, {{Cost: 5}, {Cost: 0}}}}}
	for _, want := range []member{{1, 2}, {2, 1}, {1, 2}} {
		got, ok := s.entering(false)
		assert.True(t, ok)
		assert.Equal(t, want, got)
	}
	s.at = 2
	got, ok := s.entering(true)
	assert.True(t, ok)
	assert.Equal(t, member{1, 1}, got)
	s.key = []int{0, 2, 1}
	_, ok = s.entering(false)
	assert.False(t, ok)
}

// Where nothing stops a slack, the basis stays as it is.
func TestSwapOfNothing(t *testing.T) {
	s := &simplex{basis: []member{{-1, 0}}, key: []int{1}}
	s.swap(member{-1, 0}, -1)
	assert.Equal(t, []member{{-1, 0}}, s.basis)
	assert.Equal(t, []int{1}, s.key)
}

// What rounding leaves below zero is no share.
func TestResultHasNoShareBelowZero(t *testing.T) {
	s := &simplex{lp: &Programme{Blocks: [][]Column{{{Cost: 2}, {Cost: 3}}, {{Cost: 1}}}},
		key: []int{0, 0}, keyX: []float64{-1e-15, 1}, basis: []member{{0, 1}, {-1, 0}}, x: []float64{1, -1e-15}}
	m := s.result()
	assert.Equal(t, [][]float64{{0, 1}, {1}}, m.Share)
	s.keyX[0], s.x[0] = 1, -1e-15
	assert.Equal(t, [][]float64{{1, 0}, {1}}, s.result().Share)
}
