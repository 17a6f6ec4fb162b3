package flow

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A cell of a flat between two that drain either way goes to the first of them, the ways
// being east, south, west and north and then the corners.
func TestAFlatCellBetweenTwoOutletsTakesTheFirstWay(t *testing.T) {
	g := listed(t, [][]float64{
		{9, 9, 9, 9, 9, 9, 9},
		{9, 4, 5, 5, 5, 4, 9},
		{9, 9, 9, 9, 9, 9, 9},
	})
	r := newRouting(g, nil, nil)
	low := r.descend()
	r.settle(low)
	assert.Equal(t, []uint8{west, east, east}, r.dir[7+2:7+5])
	down := listed(t, [][]float64{{9, 9, 9}, {9, 4, 9}, {9, 5, 9}, {9, 5, 9}, {9, 5, 9}, {9, 4, 9}, {9, 9, 9}})
	r = newRouting(down, nil, nil)
	r.settle(r.descend())
	assert.Equal(t, []uint8{north, south, south}, []uint8{r.dir[2*3+1], r.dir[3*3+1], r.dir[4*3+1]})
}

// Beside a step to a corner the lower of the two cells is marked, of equals the one in the
// row of the start; of a void and another the other, of two voids the start.
func TestTheCellBesideAStepToACorner(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		along, across float64
		marked        string
	}{{4, 6, "along"}, {6, 4, "across"}, {5, 5, "along"}, {nan, 6, "across"}, {6, nan, "along"}, {nan, nan, "start"}} {
		for _, way := range []uint8{southEast, southWest, northWest, northEast} {
			g := gridOf(t, 5, 5, 1, 1, func(col, row int) float64 {
				switch {
				case col == 2+stepCols[way] && row == 2:
					return c.along
				case col == 2 && row == 2+stepRows[way]:
					return c.across
				case col == 2 && row == 2:
					return 3
				}
				return 2
			})
			r := newRouting(g, nil, nil)
			r.descend()
			want := 2*5 + 2
			switch c.marked {
			case "along":
				want += stepCols[way]
			case "across":
				want += 5 * stepRows[way]
			}
			assert.EqualValues(t, want, r.beside(2*5+2, way), "%+v, way %d", c, way)
		}
	}
}
