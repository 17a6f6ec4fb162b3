package quality

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Each band is judged by its own lines, the last one of a narrower grid too: blocks of five
// cells but on one band or two of four, along the rows and down the columns.
func TestABandIsJudgedByItsOwnLines(t *testing.T) {
	for _, across := range []int{256, 202} {
		for one := range 4 {
			for other := range 4 {
				name := fmt.Sprintf("%d cells, rough at %d and %d", across, one, other)
				g := gridOf(t, across, 200, 2, func(c, r int) float64 {
					if b := c / 64; b == one || b == other {
						return 100 + 0.01*float64(r*r%31)
					}
					return 100 + 3*float64(r/5%7)
				})
				for _, down := range []bool{true, false} {
					if !down {
						g = transposed(t, g)
					}
					k, ok := period(g, 0, 0, g.Cols, g.Rows, 1, down, quietBlocks, leastBlock)
					require.Equal(t, one == other, ok, "%s", name)
					if ok {
						assert.Equal(t, 5.0, k, name)
					}
				}
			}
		}
	}
}

// Lines are uneven against those across where there are two stretches of them, 64 cells:
// of fewer nothing is known.
func TestUnevenLinesWantEnoughAcross(t *testing.T) {
	for rows, stripes := range map[int]bool{63: false, 64: true} {
		found := findSeams(rising(t, 128, level(rows-1, nil), 0.1, 0, 1, 1), nil)
		assert.Len(t, found, int(over(stripes)), "%d rows", rows)
	}
}
