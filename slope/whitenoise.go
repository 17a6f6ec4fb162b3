package slope

import (
	"cmp"
	"math"
	"slices"

	"github.com/acreband/acreband/terrain"
)

// Tiles by which noise from cell to cell is told, how many of them are looked at, about, and
// how many say something.
const (
	noiseTile  = 16
	noiseTiles = 256
	leastTiles = 4
	// leastBendGrowth is how much the mean square bend of ground grows at least as its span
	// doubles: on lidar ground 3 to 11 from one cell to two was measured. That of noise does
	// not grow.
	leastBendGrowth = 3
)

// WhiteNoiseM returns the standard deviation, in metres, of what differs from cell to cell
// in the heights without being ground: independent errors, which bend the line over two cells
// as much as that over four, where ground bends three times as much. It is that of the smoother
// half of the grid's tiles, so that no roof or boulder counts. What remains is ground that is
// as rough as noise; on lidar without noise 0 was found, and with 0.04 m of it 0.032 to 0.037. It is 0
// where the grid is too small to say.
func WhiteNoiseM(g *terrain.Grid) float64 {
	type tile struct{ bend, noise float64 } // mean squares, as of independent heights
	var tiles []tile
	every := max(1, int(math.Sqrt(float64(g.Cols/noiseTile*(g.Rows/noiseTile))/noiseTiles)))
	for r := 0; r+noiseTile <= g.Rows; r += every * noiseTile {
		for c := 0; c+noiseTile <= g.Cols; c += every * noiseTile {
			if near, far, ok := tileBends(g, c, r); ok {
				tiles = append(tiles, tile{near, (leastBendGrowth*near - far) / (leastBendGrowth - 1)})
			}
		}
	}
	if len(tiles) < leastTiles {
		return 0
	}
	slices.SortFunc(tiles, func(a, b tile) int { return cmp.Compare(a.bend, b.bend) })
	smooth := tiles[:(len(tiles)+1)/2]
	slices.SortFunc(smooth, func(a, b tile) int { return cmp.Compare(a.noise, b.noise) })
	return math.Sqrt(max(smooth[len(smooth)/2].noise, 0))
}

// tileBends are the mean squares of second differences over two cells and over four in a
// tile, along rows and columns, over the 6 that independent heights of variance 1 make. ok is
// false where less than half of it is known.
func tileBends(g *terrain.Grid, col, row int) (near, far float64, ok bool) {
	n := 0
	for r := row + 2; r < row+noiseTile-2; r++ {
		up2, up, mid, down, down2 := g.Line(r-2), g.Line(r-1), g.Line(r), g.Line(r+1), g.Line(r+2)
		for c := col + 2; c < col+noiseTile-2; c++ {
			z := 2 * float64(mid[c])
			x1, y1 := float64(mid[c-1])-z+float64(mid[c+1]), float64(up[c])-z+float64(down[c])
			x2, y2 := float64(mid[c-2])-z+float64(mid[c+2]), float64(up2[c])-z+float64(down2[c])
			if one, two := x1*x1+y1*y1, x2*x2+y2*y2; one+two == one+two {
				near, far, n = near+one, far+two, n+1
			}
		}
	}
	return near / float64(12*n), far / float64(12*n), n > noiseTile*noiseTile/2
}
