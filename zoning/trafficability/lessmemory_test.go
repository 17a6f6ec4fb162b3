package trafficability

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning"
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

// On large windows stages are written once runs are known, and crests are remembered for what works on a tether
// alone: machines are found the same, those that ask for the same crests among them.
func TestLargeWindowsFindTheSame(t *testing.T) {
	fleet := append(siteFleet(), siteFleet()...)
	var free []zoning.Machine // of tethers
	for k := range fleet {
		fleet[k].Key, fleet[k].CrestM = fleet[k].Key+string(rune('a'+k)), float64(k%3)
		if fleet[k].TetherBasis == "" {
			free = append(free, fleet[k])
		}
	}
	asLarge := func(g *Ground, fleet []zoning.Machine) *Work {
		defer func(cells int) { largeCells = cells }(largeCells)
		largeCells = 0
		g.Crests = new(Crests)
		return find(g, fleet...)
	}
	for seed := range uint64(3) {
		g := site(t, seed)
		g.Crests = new(Crests)
		want := find(g, fleet...)
		assert.NotEmpty(t, g.Crests.found)
		assert.Equal(t, want, asLarge(g, fleet))
		assert.NotEmpty(t, g.Crests.near)
		assert.Equal(t, want, find(g, fleet...), "with the memory that a large one leaves")
		asLarge(g, free)
		assert.NotEmpty(t, g.Crests.near)
		assert.Empty(t, g.Crests.found)
	}
}
