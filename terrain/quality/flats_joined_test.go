package quality

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// Cells of one height are one flat where they touch by a side; at a corner, or with others
// between, they are two. A cell unlike all beside it is in none.
func TestFlatsAreJoinedBySidesAlone(t *testing.T) {
	for name, c := range map[string]struct {
		rows    [][]float32
		patches []int32 // cells of each, in reading order
	}{
		"none alike":            {[][]float32{{1, 2}, {3, 4}}, nil},
		"along a row":           {[][]float32{{1, 5, 5}, {2, 3, 4}}, []int32{2}},
		"down a column":         {[][]float32{{5, 1}, {5, 2}, {5, 3}}, []int32{3}},
		"down the last two":     {[][]float32{{1, 2}, {3, 5}, {4, 5}}, []int32{2}},
		"at a corner":           {[][]float32{{5, 5, 1, 2}, {3, 4, 5, 5}}, []int32{2, 2}},
		"at the other corner":   {[][]float32{{1, 2, 5, 5}, {5, 5, 3, 4}}, []int32{2, 2}},
		"two before":            {[][]float32{{5, 5, 1, 2, 7, 7}, {3, 4, 6, 8, 5, 5}}, []int32{2, 2, 2}},
		"round a hole":          {[][]float32{{5, 5, 5}, {5, 1, 5}, {5, 5, 5}}, []int32{8}},
		"joined from below":     {[][]float32{{5, 1, 5}, {5, 2, 5}, {5, 5, 5}}, []int32{7}},
		"another height beside": {[][]float32{{5, 5, 7, 7}, {7, 7, 5, 5}}, []int32{2, 2, 2, 2}},
		"lone cells":            {[][]float32{{5, 1, 5}, {2, 5, 3}, {5, 4, 5}}, nil},
	} {
		var z []float32
		for _, row := range c.rows {
			z = append(z, row...)
		}
		g, err := terrain.NewGrid(z, len(c.rows[0]), len(c.rows), 1, 1)
		require.NoError(t, err)
		runs := findFlats(g, nil)
		var got []int32
		for _, n := range runs.cells() {
			if n > 0 {
				got = append(got, n)
			}
		}
		assert.Equal(t, c.patches, got, name)
	}
}
