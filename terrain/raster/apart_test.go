package raster

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// An offset counts from 2% of a cell on, and where it is more than chance makes of so many cells.
func TestOffsetOfTwoRasters(t *testing.T) {
	of := func(n int, aboveM, noiseM float64) *overlap {
		o := &overlap{}
		for i := range n {
			h := float64(i % 50)
			o.add(h, h+aboveM+noiseM*float64(i%7-3)/3)
		}
		return o
	}
	above, cells := of(700, 0.3, 0.2).offset(0.02)
	assert.InDelta(t, 0.3, above, 1e-9)
	assert.Equal(t, 700, cells)
	above, _ = of(700, -0.03, 0.02).offset(0.02)
	assert.InDelta(t, -0.03, above, 1e-9)
	for name, o := range map[string]*overlap{
		"too small":      of(700, 0.02, 0),
		"too few cells":  of(fewPairs-1, 0.3, 0),
		"within chance":  of(70, 0.3, 3), // 3 · 1.2533 · 1.4826 · 2 m / √70 = 1.3 m
		"none in common": {},
	} {
		above, cells := o.offset(0.02)
		assert.Zero(t, above, name)
		assert.Zero(t, cells, name)
	}
}
