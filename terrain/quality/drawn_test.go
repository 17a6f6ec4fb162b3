package quality

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
)

// What a look tells of how heights were made: banks are not looked for in what that makes.
func TestWhatHeightsWereMadeBy(t *testing.T) {
	plain := must(NewLook(context.Background(), gentle(t, 200, 200, 2, nil)))
	assert.Zero(t, plain.QuantumM())
	assert.Zero(t, plain.CoarseM())
	whole := must(NewLook(context.Background(), gentle(t, 200, 200, 2, func(h float64, _, _ int) float64 { return float64(int(h)) })))
	assert.Equal(t, 1.0, whole.QuantumM())
	blocks := resampled(t, "nearest", 10)
	w, _ := blocks.MiddleCellM()
	assert.InDelta(t, 10*w, must(NewLook(context.Background(), blocks)).CoarseM(), 0.5*w)
}

// Of calm water that runs off the grid too little shows: more is read.
func TestCalmWaterAtTheEdge(t *testing.T) {
	shore := func(at int) bool {
		g := gentle(t, 60, 60, 1, func(h float64, c, r int) float64 {
			if c+1 >= at {
				return 290 + 0.0004*float64(c) + 0.0005*float64((c*7+r*5)%3)
			}
			return h
		})
		return must(FlatAtEdge(g))
	}
	assert.True(t, shore(55))
	assert.False(t, shore(70), "none")
}
