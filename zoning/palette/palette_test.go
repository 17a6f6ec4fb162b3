package palette_test

import (
	"image/color"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

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

// lab is a colour of sRGB in CIELAB under D65 (IEC 61966-2-1; CIE 15).
func lab(c color.RGBA) [3]float64 {
	lin := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	r, g, b := lin(c.R), lin(c.G), lin(c.B)
	f := func(v float64) float64 {
		if v > 216.0/24389 {
			return math.Cbrt(v)
		}
		return (24389.0/27*v + 16) / 116
	}
	x := f((0.4124*r + 0.3576*g + 0.1805*b) / 0.95047)
	y := f(0.2126*r + 0.7152*g + 0.0722*b)
	z := f((0.0193*r + 0.1192*g + 0.9505*b) / 1.08883)
	return [3]float64{116*y - 16, 500 * (x - y), 200 * (y - z)}
}

// Where nothing but colour tells zones apart, any two differ by more than ten
// times the least that eyes see, 2.3 in CIELAB (Mahy and others 1994), in a fleet
// of as many machines as there are colours; in a larger one by more than that.
func TestFlatColoursDiffer(t *testing.T) {
	assert.InDelta(t, 53.24, lab(color.RGBA{255, 0, 0, 255})[0], 0.01, "red of sRGB, a published value")
	for machines, least := range map[int]float64{1: 23, 3: 23, len(palette.MachineColours): 23, 14: 6} {
		for a := range machines + palette.Rest {
			for b := range a {
				fa, _ := palette.Flat(a, machines)
				fb, _ := palette.Flat(b, machines)
				p, q := lab(fa), lab(fb)
				d := math.Sqrt((p[0]-q[0])*(p[0]-q[0]) + (p[1]-q[1])*(p[1]-q[1]) + (p[2]-q[2])*(p[2]-q[2]))
				assert.Greater(t, d, least, "bands %d and %d of %d machines", a, b, machines)
			}
		}
	}
}

func TestFlatColoursArePublished(t *testing.T) {
	for i, want := range []color.RGBA{palette.SkyBlue, palette.Orange, palette.ReddishPurple, palette.BluishGreen, palette.Vermillion, palette.Blue, palette.Yellow} {
		fill, _ := palette.Flat(i, 7)
		assert.Equal(t, want, fill)
	}
	for i := range 14 + palette.Rest {
		fill, line := palette.Flat(i, 14)
		assert.GreaterOrEqual(t, contrast(fill, line), 3.0, "WCAG 2.2, 1.4.11: lines stand out on band %d", i)
	}
}

// The palette as published: Okabe and Ito 2008, table of colours in RGB.
func TestPaletteIsOkabeAndIto(t *testing.T) {
	for c, rgb := range map[color.RGBA][3]uint8{
		palette.Orange: {230, 159, 0}, palette.SkyBlue: {86, 180, 233}, palette.BluishGreen: {0, 158, 115}, palette.Yellow: {240, 228, 66},
		palette.Blue: {0, 114, 178}, palette.Vermillion: {213, 94, 0}, palette.ReddishPurple: {204, 121, 167},
	} {
		assert.Equal(t, rgb, [3]uint8{c.R, c.G, c.B})
	}
}

// Bands from gentle to steep never run green, yellow, red, nor yellow, orange,
// red, purple: colours name machines.
func TestColoursAreNoRamp(t *testing.T) {
	for _, ramp := range [][]color.RGBA{
		{palette.BluishGreen, palette.Yellow, palette.Vermillion}, {palette.BluishGreen, palette.Yellow, palette.Orange}, {palette.BluishGreen, palette.Orange, palette.Vermillion},
		{palette.Yellow, palette.Orange, palette.Vermillion}, {palette.Yellow, palette.Orange, palette.ReddishPurple}, {palette.Orange, palette.Vermillion, palette.ReddishPurple},
	} {
		found := 0
		for _, c := range append(palette.MachineColours[:], palette.MachineColours[:]...) {
			if found < len(ramp) && c.Colour == ramp[found] {
				found++
			} else if found > 0 {
				found = 0
			}
		}
		assert.Less(t, found, len(ramp))
	}
}
