package drawing

import (
	"image/color"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Shapes that reach beyond the page on any side are cut there; a line along the page's edge
// once ended the program.
func TestShapesBeyondThePageAreCut(t *testing.T) {
	p := Page{Width: 10, Height: 8}
	black := color.RGBA{0, 0, 0, 0xFF}
	p.Add(
		Path{Lines: [][]Point{{{-5, 2}, {30, 2}}}, Stroke: Solid(black), Width: 2},
		Path{Lines: [][]Point{Box{-4, 6, 2, 30}.Ring()}, Closed: true, Fill: Solid(black)},
		Path{Lines: [][]Point{Box{40, 40, 50, 50}.Ring()}, Closed: true, Fill: Solid(black)},
		Path{Lines: [][]Point{Box{-40, -40, -30, 60}.Ring()}, Closed: true, Fill: Solid(black)},
	)
	img := Pixels(p, 1)
	for x := range 10 {
		for y := range 8 {
			want := color.RGBA{0xFF, 0xFF, 0xFF, 0xFF}
			if y == 1 || y == 2 || y >= 6 && x < 2 {
				want = black
			}
			assert.Equal(t, want, img.RGBAAt(x, y), "%d, %d", x, y)
		}
	}
}
