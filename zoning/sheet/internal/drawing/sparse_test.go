package drawing

import (
	"image"
	"image/color"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/image/vector"
)

// The same lines in the plain rasterizer, whose pixels are asked for to the last bit: long and short ones, level,
// upright and beyond the box on each side, one ring over another, in colours of any opacity. One
// sparse draws all of them, so that none may leave a trace for the next.
func TestSparseDrawsWhatThePlainRasterizerDraws(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	largest := image.Pt(601, 603)
	var s sparse
	for round := range 60 {
		// One side above 512, or the plain one counts in whole numbers; areas that four divides and others.
		box := image.Pt(513+random.IntN(88), 1+random.IntN(603))
		if round%2 == 0 {
			box = image.Pt(1+random.IntN(601), 513+random.IntN(90))
		}
		plain := vector.NewRasterizer(box.X, box.Y)
		s.reset(box, largest)
		reach := []float64{3, 40, 900}[round%3]
		for range 1 + random.IntN(20) {
			x, y := random.Float64()*float64(box.X), random.Float64()*float64(box.Y)
			for corner := range 3 + random.IntN(5) {
				px, py := float32(x+reach*(random.Float64()-0.5)), float32(y+reach*(random.Float64()-0.5))
				switch random.IntN(6) {
				case 0:
					px = float32(int(px))
				case 1:
					py = float32(int(py))
				}
				for _, to := range []pen{plain, &s} {
					if corner == 0 {
						to.MoveTo(px, py)
					} else {
						to.LineTo(px, py)
					}
				}
			}
			plain.ClosePath()
			s.ClosePath()
		}
		paint := color.NRGBA{uint8(random.Uint32()), uint8(random.Uint32()), uint8(random.Uint32()), uint8(random.Uint32())}
		if round%4 == 0 {
			paint.A = 0xFF
		}
		at := image.Pt(random.IntN(3), random.IntN(3))
		want := image.NewRGBA(image.Rectangle{Max: box.Add(image.Pt(4, 4))})
		for i := range want.Pix {
			want.Pix[i] = uint8(random.Uint32())
		}
		got := image.NewRGBA(want.Rect)
		copy(got.Pix, want.Pix)
		plain.Draw(want, image.Rectangle{at, at.Add(box)}, image.NewUniform(paint), image.Point{})
		s.draw(got, at, paint)
		for i := range want.Pix {
			if want.Pix[i] != got.Pix[i] {
				require.Equal(t, want.Pix[i], got.Pix[i], "round %d, box %v, byte %d", round, box, i)
			}
		}
	}
	for i, turn := range s.turns[:cap(s.turns)] {
		require.Zero(t, turn, "left at %d", i)
	}
}
