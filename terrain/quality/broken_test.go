package quality

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain"
)

// Cause: only some detectors looked whether a grid can be used; the others panicked.
func TestNothingIsFoundOnBrokenGrids(t *testing.T) {
	sound := gentle(t, 60, 60, 1, nil)
	ragged, endless, placeless := *sound, *sound, *sound
	ragged.Z, endless.Rows, placeless.Frame = ragged.Z[:99], math.MaxInt, nil
	for _, g := range []*terrain.Grid{nil, {}, &ragged, &endless, &placeless} {
		_, err := Water(g)
		assert.Error(t, err)
		_, err = Doubts(g, true)
		assert.Error(t, err)
		_, err = NewLook(t.Context(), g)
		assert.Error(t, err)
		assert.False(t, FlatAtEdge(g))
		_, coarser := FindCoarser(g)
		_, stairs := FindStairs(g)
		_, feet := FindFeet(g)
		_, surface := FindSurface(g)
		assert.Equal(t, [4]bool{}, [4]bool{coarser, stairs, feet, surface})
		assert.Empty(t, Plateaus(g))
		assert.Empty(t, FindSeams(g))
	}
}
