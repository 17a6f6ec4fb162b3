package mapping

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning/fleet"
)

// Acres of hazards are told as finely as the sources under the lots carry: a coarse source of which
// nothing lies there changes no word.
func TestASourceOffTheLotsChangesNoWord(t *testing.T) {
	h := rough(96, 0.9, 10, false, 3)
	told := func(sources int) []string {
		g := h.ground(t)
		if sources == 2 {
			g.Elevation.Sources = append(g.Elevation.Sources, terrain.Source{Path: "coarse", CellM: [2]float64{30, 30}, Unit: "metre", UnitFrom: "declared"})
			g.Elevation.From = make([]uint16, len(g.Elevation.Grid.Z))
		}
		m, err := Map(t.Context(), g, fleet.Default(), Options{})
		require.NoError(t, err)
		var words []string
		for _, h := range m.Hazards {
			words = append(words, h.Words)
		}
		return append(words, m.Assumed...)
	}
	one := told(1)
	assert.Regexp(t, `at least \d+\.\d acres drain|, \d+\.\d\d acres: `, one)
	assert.Equal(t, one, told(2))
}
