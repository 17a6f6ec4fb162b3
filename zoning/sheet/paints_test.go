package sheet

import (
	"fmt"
	"image"
	"image/color"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/relief"
	"github.com/acreband/acreband/zoning/palette"
)

const mostMachines = 14

// ground is the colour that a kind of ground is painted in, at a brightness of
// its relief and under a step of hatching.
func (p *paints) ground(kind int, lit float64, ink int) color.RGBA {
	return p.colours[p.kinds[kind].colours[shadeAt(float32(lit))*inkSteps+ink]]
}

// apartBy is the largest difference of red, green or blue.
func apartBy(a, b color.RGBA) int {
	return max(abs(int(a.R)-int(b.R)), abs(int(a.G)-int(b.G)), abs(int(a.B)-int(b.B)))
}

// A PNG palette holds at most 256 colours (W3C PNG, third edition, section 11.2.2).
func TestPaintsFitAPalette(t *testing.T) {
	for n := 1; n <= mostMachines; n++ {
		p := paintsFor(n)
		assert.LessOrEqual(t, len(p.colours), 256, "%d machines", n)
		assert.Equal(t, n+1+palette.Rest, len(p.kinds), "outside, the machines, what none of them works")
		assert.Equal(t, palette.Paper, p.colours[0], "an image begins as paper")
		seen := map[color.RGBA]bool{}
		for i, c := range p.colours {
			assert.EqualValues(t, 0xFF, c.A)
			assert.Equal(t, c, p.palette()[i])
			seen[c] = true
		}
		assert.GreaterOrEqual(t, len(seen), len(p.colours)-1, "no place is wasted")
		for _, c := range []color.RGBA{palette.Paper, palette.Ink, palette.SoftInk} {
			assert.Equal(t, c, p.colours[p.nearest(c)])
		}
		assert.LessOrEqual(t, apartBy(palette.Hairline, p.colours[p.nearest(palette.Hairline)]), 3)
	}
}

// Relief runs smoothly: no shade is farther from the next, or from what was
// meant, than an eye passes over. Side by side, steps of about 1% in brightness
// begin to be seen, 2 or 3 of 255 (common practice, no source); hatching hides
// larger ones.
func TestReliefRunsSmoothly(t *testing.T) {
	for _, c := range []struct {
		machines         int
		bare, tint, grey float64 // largest step outside the lots, in tints, in close hatching
	}{{1, 2, 3, 4}, {3, 2, 3, 4}, {5, 3, 4, 6}, {mostMachines, 3, 7, 9}} {
		p := paintsFor(c.machines)
		for k := range p.kinds {
			g, strength, most := palette.Outside, palette.FadedRelief, c.bare
			if k > 0 {
				g, strength, most = palette.GroundOf(k-1, c.machines), palette.ZoneRelief, c.tint
			}
			if k-1 == c.machines+palette.ForNone {
				most = c.grey
			}
			for s := range 1000 {
				lit := float64(s) / 999
				what := fmt.Sprintf("kind %d of %d machines at brightness %.3f", k, c.machines, lit)
				got := p.ground(k, lit, 0)
				assert.LessOrEqual(t, apartBy(g.Shade(lit, strength), got), 8, what)
				assert.InDelta(t, luma(g.Shade(lit, strength)), luma(got), most+1e-6, what)
				assert.InDelta(t, luma(p.ground(k, max(lit-1.0/999, 0), 0)), luma(got), most+1e-6, what)
			}
		}
	}
}

// Hatching runs from the ground to its ink, darker with every step.
func TestHatchingRunsToItsInk(t *testing.T) {
	for _, n := range []int{1, 3, mostMachines} {
		p := paintsFor(n)
		for k := 1; k < len(p.kinds); k++ {
			g, most := palette.GroundOf(k-1, n), 25
			if g.Lift > 1 { // its rims are mixed from the ramp of the tint it repeats
				most = 32
			}
			for lit := 0.0; lit <= 1; lit += 0.1 {
				tint := p.ground(k, lit, 0)
				for i := 1; i < inkSteps; i++ {
					c := p.ground(k, lit, i)
					want := palette.Mix(tint, g.Hatch, float64(i)/(inkSteps-1))
					assert.LessOrEqual(t, apartBy(want, c), most, "kind %d of %d machines, brightness %.1f, ink %d", k, n, lit, i)
					assert.Less(t, luminance(c), luminance(p.ground(k, lit, i-1)))
				}
				assert.Equal(t, g.Hatch, p.ground(k, lit, inkSteps-1))
			}
		}
	}
}

// What a brush leaves is near the true mix of its colour and the ground: within
// 18 of 255 in brightness, less than two steps of cover, and 50 in any of red,
// green and blue. Mixes are one pixel wide, on the rims of lines and letters.
func TestBrushMixes(t *testing.T) {
	for _, n := range []int{1, 3, mostMachines} {
		p := paintsFor(n)
		for _, c := range []color.RGBA{palette.Paper, palette.Ink, palette.SoftInk} {
			b := p.brush(c)
			for under, tint := range p.colours {
				require.EqualValues(t, under, b.over(uint8(under), 0))
				require.Equal(t, c, p.colours[b.over(uint8(under), covers)])
				for by := range covers {
					want, got := palette.Mix(tint, c, float64(by)/covers), p.colours[b.over(uint8(under), by)]
					require.LessOrEqual(t, apartBy(want, got), 50, "%v over %v by %d/%d", c, tint, by, covers)
					require.InDelta(t, luma(want), luma(got), 18, "%v over %v by %d/%d", c, tint, by, covers)
					if tint.R == tint.G && tint.G == tint.B {
						require.True(t, got.R == got.G && got.G == got.B, "%v over %v by %d/%d is not grey", c, tint, by, covers)
					}
				}
			}
		}
	}
}

// Text on paper keeps its greys: 17 steps of cover, within 4 of 255.
func TestTextIsSmooth(t *testing.T) {
	for _, n := range []int{1, 3, mostMachines} {
		p := paintsFor(n)
		for _, c := range []color.RGBA{palette.Ink, palette.SoftInk} {
			b := p.brush(c)
			for by := range covers + 1 {
				want := palette.Mix(palette.Paper, c, float64(by)/covers)
				require.LessOrEqual(t, apartBy(want, p.colours[b.over(0, by)]), 4, "%v by %d/%d", c, by, covers)
			}
		}
	}
}

// luma is how bright a colour looks, 0 to 255 (ITU-R BT.601).
func luma(c color.RGBA) float64 { return 0.299*float64(c.R) + 0.587*float64(c.G) + 0.114*float64(c.B) }

// A swatch is what level ground is: hatching and tint, framed in ink.
func TestSwatchIsLevelGround(t *testing.T) {
	p := paintsFor(3)
	img := image.NewPaletted(image.Rect(0, 0, 80, 60), p.palette())
	box := image.Rect(5, 6, 5+swatchWidth, 6+swatchTall)
	p.sample(img, box, 1)
	require.Greater(t, swatchWidth, tileSide, "the tile comes round")
	for y := range 60 {
		for x := range 80 {
			at, want := image.Pt(x, y), palette.Paper
			if at.In(box) {
				want = palette.Ink
			}
			if at.In(box.Inset(1)) {
				u, v := (x-5)%tileSide, (y-6)%tileSide
				want = p.ground(2, relief.FlatLit, int(patternOf(1, 3).tile()[v*tileSide+u]))
			}
			assert.Equal(t, want, img.At(x, y), "%v", at)
		}
	}
}
