package quality

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// A seam is told between the line before it and the next one.
func TestASeamIsToldBetweenItsTwoLines(t *testing.T) {
	g := rising(t, 256, level(100, map[int]float64{49: 0.3}), 0, 0, 1, 1)
	bothWays(t, g, func(found []seam, along string) {
		require.Len(t, found, 1)
		require.Equal(t, 49, found[0].At)
	})
	for along, g := range map[string]*terrain.Grid{"rows": g, "columns": transposed(t, g)} {
		words := ""
		for _, d := range must(Doubts(g, false)) {
			if d.Kind == DoubtSeam {
				words = d.Words
			}
		}
		assert.Contains(t, words, "between "+along+" 49 and 50")
	}
}

// The last row is a rim too.
func TestTheRimAtTheLastRow(t *testing.T) {
	g := gridOf(t, 4, 2, 1, func(c, r int) float64 { return 100 + 5*float64(r) })
	assert.Equal(t, 5.0, rimStep(g, 0))
}

// The longer side of a cell says how high a bump is, whichever side that is: three
// quarters of 4 m.
func TestABumpIsMeasuredByTheLongerSide(t *testing.T) {
	for _, side := range [][2]float64{{4, 1}, {1, 4}} {
		g := must(terrain.NewGrid(make([]float32, 16), 4, 4, side[0], side[1]))
		s, found := surfaceOf(g)
		assert.False(t, found)
		assert.Equal(t, 3.0, s.BumpM, side)
	}
}

// Patches of a window are those of another one only when both its sides are alike.
func TestPatchesAreOnAWindowOfTheirSize(t *testing.T) {
	p := &Patches{cols: 4, rows: 3}
	for _, c := range []struct {
		cols, rows int
		on         bool
	}{{4, 3, true}, {4, 5, false}, {5, 3, false}, {3, 4, false}} {
		g := must(terrain.NewGrid(make([]float32, c.cols*c.rows), c.cols, c.rows, 1, 1))
		assert.Equal(t, c.on, p.On(g), c)
	}
}

// Cells of more than 5 m on either side are not asked for tree tops: ground itself bends as much.
func TestOneLongSideIsTooCoarseForASurface(t *testing.T) {
	for side, asked := range map[[2]float64]bool{{5, 1}: true, {1, 5}: true, {6, 1}: false, {1, 6}: false} {
		z := make([]float32, 144)
		for i := range z {
			z[i] = float32(100 * ((i + i/12) % 2))
		}
		_, found := findSurface(must(terrain.NewGrid(z, 12, 12, side[0], side[1])), Stairs{}, false, nil)
		assert.Equal(t, asked, found, side)
	}
}
