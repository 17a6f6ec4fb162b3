package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The ground of the spread has acres for each machine and ground that each is kept off, and
// a grid moved by a whole cell gives the very same.
func TestSpreadGroundAsksEveryMachine(t *testing.T) {
	acres := must(laying{cellM: 3, steep: 1}.acres())
	for k, a := range acres {
		assert.Greater(t, a, 2.0, "machine %d", k)
		assert.Less(t, a, 40.0, "machine %d", k)
	}
	assert.InDeltaSlice(t, acres, must(laying{cellM: 3, steep: 1, move: [2]float64{1, 0}}.acres()), 1e-6)
	assert.Len(t, layings(2, 1), 10)
}
