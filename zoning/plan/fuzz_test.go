package plan_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/plan"
)

// FuzzParse: no text makes it panic; what it accepts has the machines of [fleet.Parse] and
// can be planned with or is refused with a cure; what it refuses names a line.
func FuzzParse(f *testing.F) {
	f.Add([]byte("machines: [{key: a, name: A, limit: 45deg}]\nplan: {a: {owned: 2, rate_open: 6ac/day, slope_factor: 100% at 10%}}\njob: {start: 2026-03-02, end: 2026-03-09}"))
	f.Add([]byte("machines: [{key: track-loader, name: A, limit: 30%}]\njob: {budget: \"$1,000\", window: 3days, rest: hand}"))
	f.Fuzz(func(t *testing.T, text []byte) {
		machines, book, err := plan.Parse("f", text)
		if err != nil {
			var e *fleet.Error
			require.ErrorAs(t, err, &e)
			assert.True(t, e.File == "f" && e.Line >= 1 && e.Problem != "" && e.Cure != "", err)
			return
		}
		alone, err := fleet.Parse("f", text)
		require.NoError(t, err)
		assert.Equal(t, alone, machines)
		piece := plan.Piece{Zone: "zone", May: 1, GrossAcres: 1, NetAcres: 1, Cover: plan.Open}
		if _, err := plan.Make(&plan.Site{Pieces: []plan.Piece{piece}}, machines, book); err != nil {
			var e *plan.Error
			require.ErrorAs(t, err, &e)
		}
	})
}
