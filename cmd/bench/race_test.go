package main

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

func TestMedian(t *testing.T) {
	for want, of := range map[time.Duration][]time.Duration{
		7: {7},
		3: {9, 1, 3},
		5: {9, 1, 6, 4},
		2: {2, 2, 2, 100},
	} {
		given := append([]time.Duration(nil), of...)
		assert.Equal(t, want, median(of))
		assert.Equal(t, given, of, "left in their order")
	}
}

func TestRatioIsOfTheMedians(t *testing.T) {
	assert.Equal(t, 3.0, ratio([]time.Duration{6, 600, 5}, []time.Duration{2, 1, 30}))
}

func TestGoalsAtTheirLimits(t *testing.T) {
	assert.True(t, goal{is: 1.6, rule: "at most", limit: 1.6}.met())
	assert.False(t, goal{is: 1.601, rule: "at most", limit: 1.6}.met())
	assert.True(t, goal{is: 6, rule: "at least", limit: 6}.met())
	assert.False(t, goal{is: 5.99, rule: "at least", limit: 6}.met())
	assert.True(t, goal{is: 149.9, rule: "under", limit: 150}.met())
	assert.False(t, goal{is: 150, rule: "under", limit: 150}.met())
}
