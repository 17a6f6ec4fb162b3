package flow

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Of equally deep cells the first in reading order is a hollow's deepest, although the
// other is nearer to the pit from which the hollow is followed.
func TestTheFirstOfEquallyDeepCells(t *testing.T) {
	g := gridOf(t, 12, 7, 1, 1, func(c, r int) float64 {
		switch {
		case c == 0 || r == 0 || c == 11 || r == 6:
			return 10
		case c == 1 && r == 1:
			return 4
		case c == 6 && r == 3, c == 7 && r == 2:
			return 2
		}
		return 5
	})
	d := must(Drain(t.Context(), g, Options{}))
	require.Len(t, d.Hollows, 1)
	h := d.Hollows[0]
	assert.Equal(t, []int{7, 2, 50}, []int{h.Col, h.Row, h.Cells})
	assert.InDelta(t, 8, h.DepthM, 1e-9)
}
