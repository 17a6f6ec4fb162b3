package sheet

import (
	"fmt"
	"image/color"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain/relief"
	"github.com/acreband/acreband/zoning/palette"
)

// luminance is the relative luminance of WCAG 2.2 (W3C Recommendation, 5 October
// 2023), section "relative luminance".
func luminance(c color.RGBA) float64 {
	linear := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}

// contrast is the contrast ratio of WCAG 2.2, 1 to 21.
func contrast(a, b color.RGBA) float64 {
	la, lb := luminance(a), luminance(b)
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

func TestContrastFormula(t *testing.T) {
	// WCAG 2.2: black on white is 21:1. #767676 on white is the usual example
	// of the lightest grey that passes 4.5:1 (from memory).
	assert.InDelta(t, 21, contrast(palette.Black, palette.Paper), 1e-9)
	assert.InDelta(t, 4.54, contrast(color.RGBA{0x76, 0x76, 0x76, 0xFF}, palette.Paper), 0.005)
}

// Success criterion 1.4.3 of WCAG 2.2 asks 4.5:1 of text.
func TestTextContrast(t *testing.T) {
	for n := 1; n <= mostMachines; n++ {
		p := paintsFor(n)
		for _, c := range []color.RGBA{palette.Ink, palette.SoftInk} {
			assert.GreaterOrEqual(t, contrast(p.colours[p.nearest(c)], p.colours[0]), 4.5)
		}
		// Names of lots stand on washed ground of any colour.
		b := p.brush(palette.Paper)
		for under := range p.colours {
			washed := p.colours[b.over(uint8(under), cover(washStrength))]
			assert.GreaterOrEqual(t, contrast(palette.Ink, washed), 4.5)
		}
	}
}

// Success criterion 1.4.11 asks 3:1 of graphics needed to understand content.
// Tints let the relief show through and cannot reach it between themselves;
// hatching and the lines between zones carry it.
func TestHatchAndLinesStandOut(t *testing.T) {
	for _, n := range []int{1, 3, mostMachines} {
		p := paintsFor(n)
		for b := range n + 2 {
			for lit := 0.0; lit <= 1; lit += 0.05 {
				tint, hatch := p.ground(b+1, lit, 0), p.ground(b+1, lit, inkSteps-1)
				what := fmt.Sprintf("band %d of %d machines at brightness %.2f", b, n, lit)
				// Ground turned to the light, level, and half into shadow.
				if lit > 0.3 {
					assert.GreaterOrEqual(t, contrast(hatch, tint), 3.0, "hatching, "+what)
				}
				assert.GreaterOrEqual(t, contrast(palette.Ink, tint), 3.0, "lines, "+what)
			}
		}
	}
	assert.GreaterOrEqual(t, contrast(palette.Ink, palette.Paper), 3.0, "the boundary and its casing")
}

// Neighbours in fleet order differ in lightness, so that they differ in print
// without colour even where a zone is smaller than its hatching.
// Level ground as painted is up to half a step of relief off its tint.
func TestNeighboursDifferInLightness(t *testing.T) {
	for n := 1; n <= mostMachines; n++ {
		p := paintsFor(n)
		apart := func(a, b int) {
			r := contrast(p.ground(a+1, relief.FlatLit, 0), p.ground(b+1, relief.FlatLit, 0))
			assert.GreaterOrEqual(t, r, 1.13, "bands %d and %d of %d machines", a, b, n)
		}
		for b := range n - 1 {
			apart(b, b+1)
		}
		apart(n-1, n+palette.ForNone)
		apart(n+palette.ForNone, n+palette.Unknown)
		// What a crew leaves lies side by side, as planned.
		apart(n+palette.NeedsMachine, n+palette.WaitsDry)
		apart(n+palette.NeedsMachine, n+palette.ForNone)
		apart(n+palette.WaitsDry, n+palette.Unknown)
	}
}

// Colours that have come round are not taken for those they repeat: with 14
// machines the eighth once looked like the first wherever a zone was too small
// for its hatching.
func TestColoursThatComeRoundDiffer(t *testing.T) {
	for n := len(palette.MachineColours) + 1; n <= mostMachines; n++ {
		p := paintsFor(n)
		for b := len(palette.MachineColours); b < n; b++ {
			first, again := p.ground(b-len(palette.MachineColours)+1, relief.FlatLit, 0), p.ground(b+1, relief.FlatLit, 0)
			assert.GreaterOrEqual(t, contrast(first, again), 1.2, "machine %d of %d", b+1, n)
			assert.NotEqual(t, palette.Paper, again)
		}
	}
}
