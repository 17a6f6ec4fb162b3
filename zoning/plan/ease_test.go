package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Stems of which nothing is known take nothing off a rate.
func TestEase(t *testing.T) {
	f := &Figures{}
	require.NoError(t, f.Set("stem_factor", "60% at 4in, 30% at 8in"))
	require.NoError(t, f.Set("slope_factor", "100% at 10%, 50% at 30%"))
	assert.Equal(t, 1.0, ByRate{}.Ease(f, Piece{}))
	assert.InDelta(t, 0.75, ByRate{}.Ease(f, Piece{SlopeMeanPct: 20}), 1e-12)
	assert.InDelta(t, 0.75*0.45, ByRate{}.Ease(f, Piece{SlopeMeanPct: 20, StemIn: 6}), 1e-12)
}
