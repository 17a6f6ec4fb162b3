//go:build cgo

package mapping_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning/mapping"
)

// A part that was not read made the program panic.
func TestBySlopeRefusesAPartThatWasNotRead(t *testing.T) {
	g, _ := survey(t, defaults(), twoLots...)
	grid := g.Elevation.Grid
	for _, part := range []terrain.Window{
		{Col0: grid.Col0 - 1, Row0: grid.Row0, Col1: grid.Col0 + 2, Row1: grid.Row0 + 2},
		{Col0: grid.Col0, Row0: grid.Row0, Col1: grid.Col0 + grid.Cols + 1, Row1: grid.Row0 + 2},
		{Col0: grid.Col0 + 2, Row0: grid.Row0, Col1: grid.Col0, Row1: grid.Row0 + 2},
	} {
		_, err := bySlope(g.Elevation, defaults(), part, false, mapping.Options{})
		assert.ErrorContains(t, err, "lie off the", "%v", part)
	}
}

// A ground that was put together by hand made the program panic.
func TestMapRefusesGroundWithoutElevation(t *testing.T) {
	for _, g := range []*mapping.Ground{nil, {}, {Elevation: &terrain.Elevation{}}} {
		_, err := mapping.Map(t.Context(), g, defaults(), mapping.Options{})
		assert.EqualError(t, err, "the ground has no elevation: NewGround makes one")
	}
}
