package trafficability

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning"
)

// A boom that works steeper faces above it than below is held to each by itself.
func TestFacesAboveAreSteeperThanBelow(t *testing.T) {
	g := level(t, 9, 3, 1)
	p := moverOn(g, zoning.Machine{ReachM: 5})
	places := make([]bool, 27)
	places[9+2] = true
	for _, squared := range []float32{0.24, 0.26, 0.48, 0.50} {
		g.Field.Squared[9+4] = squared
		g.Grid.Z[9+4] = 0.1
		assert.Equal(t, squared < 0.49, p.boomOver(p.lie.cellsOf(places), 0.49, 0.25).reaches(9+4), "up, %g", squared)
		g.Grid.Z[9+4] = -0.1
		assert.Equal(t, squared < 0.25, p.boomOver(p.lie.cellsOf(places), 0.49, 0.25).reaches(9+4), "down, %g", squared)
	}
}
