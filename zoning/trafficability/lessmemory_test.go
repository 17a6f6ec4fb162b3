package trafficability

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Stands took a byte a cell and machine of maps that tell none: left out, all else is the same.
func TestNoStandsLeavesOutStandsAlone(t *testing.T) {
	g := site(t, 3)
	whole := find(g, siteFleet()...)
	g.NoStands = true
	lean := find(g, siteFleet()...)
	for k := range lean.Stands {
		assert.NotNil(t, whole.Stands[k])
		assert.Nil(t, lean.Stands[k])
	}
	whole.Stands, lean.Stands = nil, nil
	assert.Equal(t, whole, lean)
}

// What one step alone needs was kept through all others on a large window; on a small one it
// stays at hand.
func TestOnlyLargeWindowsLetScratchGo(t *testing.T) {
	for _, cells := range []int{largeCells, largeCells + 1} {
		s := &scratch{heads: make([]uint8, cells), run: make([]uint16, 1), flood: floodMemory{words: make([]uint64, 1)}}
		s.lessen()
		assert.Equal(t, cells > largeCells, s.run == nil)
		assert.Equal(t, cells > largeCells, s.flood.words == nil)
	}
}
