package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Beside a plan with the loader stands from how many acres the carrier would come in its
// place: there both cost alike, and beyond it the carrier is the crew.
func TestWhereAMachineComesInAnothersPlace(t *testing.T) {
	at := func(acres float64) *Plan {
		p, err := makeOf(t, &Site{Pieces: []Piece{stand(3, acres, 7, Light)}}, "boom-head", "owned", "0", "remote-crawler", "owned", "0")
		require.NoError(t, err)
		return p
	}
	p := at(12)
	require.Equal(t, []string{"track-loader"}, crewOf(p.Options[0]))
	require.Len(t, p.BreakEven, 1)
	b := p.BreakEven[0]
	assert.Equal(t, []any{"dedicated-carrier", "the Track loader in its place", true, false}, []any{b.Key, b.Against, b.Ever, b.Brought})
	assert.InDelta(t, 25, b.Acres, 1, "15 to 40 acres is what the trade says")
	assert.Equal(t, []string{"track-loader"}, crewOf(at(0.99 * b.Acres).Options[0]))
	assert.Equal(t, []string{"dedicated-carrier"}, crewOf(at(1.01 * b.Acres).Options[0]))
}
