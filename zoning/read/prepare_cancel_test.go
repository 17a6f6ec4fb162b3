package read

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning/mapping"
)

// cancelledAfter is done once it was looked at so often.
type cancelledAfter struct {
	context.Context
	looks int
}

func (c *cancelledAfter) Err() error {
	if c.looks--; c.looks < 0 {
		return context.Canceled
	}
	return nil
}

// Reading took no context: a slow server held whoever had given up.
func TestPrepareIsCancelled(t *testing.T) {
	q := Request{Elevation: []string{jacksboro}, Parcel: boundary(t, twoLots...)}
	ended := 0
	for looks := range 20 {
		g, err := PrepareContext(&cancelledAfter{t.Context(), looks}, q)
		if err == nil {
			require.NotNil(t, g)
			break
		}
		require.ErrorIs(t, err, context.Canceled)
		ended++
	}
	assert.Equal(t, 5, ended, "before anything, after the files' list, at each of two lots, and before a surface")
}

// A part that was not read made the program panic.
func TestBySlopeRefusesAPartThatWasNotRead(t *testing.T) {
	g, _ := survey(t, defaults(), twoLots...)
	grid := g.Elevation.Grid
	for _, part := range []terrain.Window{
		{Col0: grid.Col0 - 1, Row0: grid.Row0, Col1: grid.Col0 + 2, Row1: grid.Row0 + 2},
		{Col0: grid.Col0, Row0: grid.Row0, Col1: grid.Col0 + grid.Cols + 1, Row1: grid.Row0 + 2},
		{Col0: grid.Col0 + 2, Row0: grid.Row0, Col1: grid.Col0, Row1: grid.Row0 + 2},
	} {
		_, err := mapping.BySlope(g.Elevation, defaults(), part, false, mapping.Options{})
		assert.ErrorContains(t, err, "lie off the", "%v", part)
	}
}

// A ground that was put together by hand made the program panic.
func TestMapRefusesGroundWithoutElevation(t *testing.T) {
	for _, g := range []*mapping.Ground{nil, {}, {Elevation: &terrain.Elevation{}}} {
		_, err := mapping.Map(g, defaults(), mapping.Options{})
		assert.EqualError(t, err, "the ground has no elevation: it comes from Prepare")
	}
}
