package sheet

import (
	"image"
	"image/color"
	"testing"

	"github.com/stretchr/testify/require"
)

// Every pixel gets the paint nearest to its colour, though many more colours are asked for
// than the table by hash holds, and again and again.
func TestIndexedTakesTheNearestPaintOfEveryColour(t *testing.T) {
	p := paintsFor(4)
	img := image.NewRGBA(image.Rect(0, 0, 200, 200))
	for i := range 200 * 200 {
		n := i * 7919 % 20011
		img.SetRGBA(i%200, i/200, color.RGBA{uint8(n), uint8(n >> 4), uint8(n >> 7), 255})
	}
	out := p.indexed(img)
	for i := range 200 * 200 {
		require.Equal(t, p.nearest(img.RGBAAt(i%200, i/200)), out.Pix[i], "pixel %d", i)
	}
}
