package quality

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

func TestFlatAtEdge(t *testing.T) {
	const n = 7
	flat := func(c0, r0, c1, r1 int) bool {
		z := make([]float32, n*n)
		for i := range z {
			z[i] = float32(i * i)
		}
		for r := r0; r < r1; r++ {
			for c := c0; c < c1; c++ {
				z[r*n+c] = -1
			}
		}
		g, err := terrain.NewGrid(z, n, n, 1, 1)
		require.NoError(t, err)
		return flatAtEdge(g)
	}
	assert.False(t, flat(0, 0, 0, 0))
	assert.False(t, flat(1, 1, n-1, n-1), "within")
	for _, at := range [][2]int{{2, 0}, {2, n - 2}} {
		assert.True(t, flat(at[0], at[1], at[0]+3, at[1]+2), "north and south")
		assert.True(t, flat(at[1], at[0], at[1]+2, at[0]+3), "west and east")
		assert.False(t, flat(at[0], at[1], at[0]+2, at[1]+2), "two by two")
	}
	assert.False(t, flat(2, 0, 5, 1), "one row")
}
