package page

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
)

// Rough ground lies in pieces without number, and an answer named each of them.
func TestOnlyTheLargestPiecesAreNamed(t *testing.T) {
	patches := make([]zoning.Patch, 3*mostLabels)
	for i := range patches {
		patches[i].Acres = float64(1 + i*7919%len(patches)) // each size once
	}
	zm := &zoning.ZoneMap{Fleet: fleet.Default(), Lots: []zoning.LotMap{{Zones: []zoning.Zone{{Patches: patches}}}}}
	ta := &tally{decimals: 1}
	for _, b := range zm.Fleet.Bands() {
		ta.bands = append(ta.bands, bandTally{Band: b})
	}
	labels := ta.labels(zm)
	assert.Len(t, labels, mostLabels)
	acres := func(side float64) float64 { return side * side / terrain.SquareMetresPerAcre }
	for _, l := range labels {
		assert.Greater(t, acres(l.SideM), float64(2*mostLabels)-2)
	}
}
