package drawing

import (
	"bytes"
	"image/color"
	"testing"
)

// The paths of a page are drawn in the same memory: what one leaves there may not show in another,
// be it larger, smaller, drawn by the rasterizer's other arithmetic (above 512 pixels) or empty.
func TestPathsDrawnInTheSameMemory(t *testing.T) {
	square := func(left, top, side float64) [][]Point {
		return [][]Point{Box{left, top, left + side, top + side}.Ring()}
	}
	red, blue := Solid(color.RGBA{200, 0, 0, 255}), Solid(color.RGBA{0, 0, 200, 255})
	paths := []Path{
		{Lines: square(10.3, 10.3, 600), Closed: true, Stroke: red, Width: 3},
		{Lines: square(100.5, 100.5, 40), Closed: true, Fill: blue},
		{Stroke: red, Width: 2},
		{Lines: square(30.7, 20.2, 540), Closed: true, Stroke: blue, Width: 1, Dash: []float64{7, 5}},
		{Lines: square(200.2, 300.8, 90), Closed: true, Stroke: red, Width: 8},
	}
	together := Page{Width: 640, Height: 640}
	for _, p := range paths {
		together.Add(p)
	}
	got := Pixels(together, 1)

	// Drawn alone, each onto white: no two of them have a pixel in common.
	want := Pixels(Page{Width: 640, Height: 640}, 1)
	for _, p := range paths {
		alone := Pixels(Page{Width: 640, Height: 640, Shapes: []Shape{p}}, 1)
		for i := 0; i < len(alone.Pix); i += 4 {
			if px := alone.Pix[i : i+4]; !bytes.Equal(px, []byte{255, 255, 255, 255}) {
				copy(want.Pix[i:], px)
			}
		}
	}
	if !bytes.Equal(got.Pix, want.Pix) {
		t.Error("paths of a page change each other's pixels")
	}
}
