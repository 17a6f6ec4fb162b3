package plan_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/plan"
)

// The thickest stems price no acre; where the machine that comes does not handle them
// its crew is told.
func TestTheThickestStemsSetNoPace(t *testing.T) {
	brush := piece(loader, 4, 7, plan.Medium)
	brush.StemIn = 3
	fleet := machines()
	fleet[0].StemM = 8 * zoning.MetresPerFoot / 12
	made := func() *plan.Plan {
		p, err := plan.Make(&plan.Site{Pieces: []plan.Piece{brush}}, fleet, plan.Default())
		require.NoError(t, err)
		return p
	}
	thin := made()
	brush.ThickestIn = 12
	thick := made()
	assert.Equal(t, thin.Options[0].ProductiveH, thick.Options[0].ProductiveH)
	const caution = "Track loader handles stems of 8 in, and some on 4.0 acres that it may work are up to 12 in: walk the ground first and mark them; they are felled by hand or left, and that is in no hours here."
	assert.Contains(t, thick.Cautions, plan.Caution{Text: caution})
	assert.NotContains(t, thin.Cautions, plan.Caution{Text: caution})
	brush.ThickestIn = 8
	assert.Len(t, made().Cautions, len(thin.Cautions), "as thick as it handles")
	brush.StemIn, brush.ThickestIn = 6, 8
	assert.InDelta(t, thin.Options[0].ProductiveH/0.6, made().Options[0].ProductiveH, 1e-9, "typical stems do")
}
