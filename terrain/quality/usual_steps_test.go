package quality

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Steps down count as steps up do: of one up by 3 m and three down by 1 m the usual is 1 m.
func TestUsualStepsGoUpAndDown(t *testing.T) {
	heights := []float64{0, 3, 2, 1}
	assert.Equal(t, 1.0, usualStep(gridOf(t, 41, 4, 1, func(c, _ int) float64 { return 100 + heights[c%4] })))
}

// What stairs hide is by the smaller side of a cell, whichever that is: of steps of 1 m on
// 3 m it is 1/6.
func TestStairsByTheSmallerSide(t *testing.T) {
	for _, side := range [][2]float64{{4, 3}, {3, 4}} {
		s, ok := findStairs(walked(t, side[0], side[1], repeated(100, 1, 2, 3, 5)...))
		assert.True(t, ok)
		assert.InDelta(t, 100.0/6, s.MeaninglessPct, 1e-9)
	}
}
