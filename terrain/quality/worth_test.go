package quality

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// lookAtBlocks looks at gentle ground in blocks of 8 cells, in columns below a bound, and
// as it is beyond.
func lookAtBlocks(t *testing.T, below int) *Look {
	t.Helper()
	fine := gentle(t, 512, 256, 1, nil)
	g := gridOf(t, 512, 256, 1, func(c, r int) float64 {
		if c < below {
			c, r = c/8*8, r/8*8
		}
		return float64(fine.Z[r*fine.Stride+c]) + float64(fine.Z0)
	})
	look, err := NewLook(t.Context(), g)
	require.NoError(t, err)
	return look
}

func TestCoarserIsWhatAGridWasDrawnFrom(t *testing.T) {
	c, drawn := lookAtBlocks(t, 512).Coarser()
	require.True(t, drawn)
	assert.Equal(t, [2]int{8, 8}, c.Span)
	assert.InDeltaSlice(t, []float64{8, 8}, c.CellM[:], 0.1)
	assert.Nil(t, c.Tiles, "all of it")

	wide := gentle(t, 768, 256, 1, nil)
	g := gridOf(t, 768, 256, 1, func(c, r int) float64 {
		if c < 256 {
			c, r = c/8*8, r/8*8
		}
		return float64(wide.Z[r*wide.Stride+c]) + float64(wide.Z0)
	})
	look, err := NewLook(t.Context(), g)
	require.NoError(t, err)
	c, drawn = look.Coarser()
	require.True(t, drawn)
	require.Len(t, c.Tiles, 1, "a third of it")
	assert.Equal(t, [4]int{0, 0, 256, 256}, [4]int{c.Tiles[0].Col0, c.Tiles[0].Row0, c.Tiles[0].Col1, c.Tiles[0].Row1})

	_, drawn = lookAtBlocks(t, 0).Coarser()
	assert.False(t, drawn)
	_, drawn = (*Look)(nil).Coarser()
	assert.False(t, drawn)
}

func TestStairsAndSurfacesOfALook(t *testing.T) {
	look := func(change func(h float64, c, r int) float64) *Look {
		l, err := NewLook(t.Context(), gentle(t, 256, 256, 1, change))
		require.NoError(t, err)
		return l
	}
	whole := look(func(h float64, _, _ int) float64 { return math.Round(h) })
	stairs, stepped := whole.Stairs()
	require.True(t, stepped)
	assert.Equal(t, 1.0, stairs.QuantumM)
	high, err := whole.SurfaceM(t.Context())
	require.NoError(t, err)
	assert.Zero(t, high)

	trees := look(func(h float64, c, r int) float64 {
		if c%6 < 2 && r%6 < 2 {
			return h + 8
		}
		return h
	})
	_, stepped = trees.Stairs()
	assert.False(t, stepped)
	high, err = trees.SurfaceM(t.Context())
	require.NoError(t, err)
	assert.Equal(t, 1.5, high, "what counts as jutting out at cells of 1 m")

	_, err = (&Look{}).SurfaceM(t.Context())
	assert.ErrorContains(t, err, "nobody has looked")
	done, end := context.WithCancel(t.Context())
	end()
	_, err = look(nil).SurfaceM(done)
	assert.ErrorIs(t, err, context.Canceled)
}
