package sheet

import "image/color"

// The palette of Okabe and Ito 2008 (Color Universal Design: how to make
// figures and presentations that are friendly to colorblind people), told apart
// with any common form of colour blindness.
var (
	skyBlue       = color.RGBA{0x56, 0xB4, 0xE9, 0xFF}
	orange        = color.RGBA{0xE6, 0x9F, 0x00, 0xFF}
	reddishPurple = color.RGBA{0xCC, 0x79, 0xA7, 0xFF}
	bluishGreen   = color.RGBA{0x00, 0x9E, 0x73, 0xFF}
	vermillion    = color.RGBA{0xD5, 0x5E, 0x00, 0xFF}
	blue          = color.RGBA{0x00, 0x72, 0xB2, 0xFF}
	yellow        = color.RGBA{0xF0, 0xE4, 0x42, 0xFF}
)

// machineColours are given to machines in fleet order. The order is neither
// green to red nor a ramp: a colour says which machine, not how dangerous. From
// the eighth machine on they come round again, lighter or darker and under other
// hatching.
//
// strength is how much of a colour lies over the relief. It sets neighbours in
// the order apart in lightness too, for printers without colour. again is the
// lift of a colour that has come round: the lightest go darker, for they cannot
// go lighter, and the others lighter, for lines must stand out on them.
var machineColours = [...]struct {
	colour          color.RGBA
	strength, again float64
}{
	{skyBlue, 0.45, 0.85}, {orange, 0.70, 1.2}, {reddishPurple, 0.75, 1.2}, {bluishGreen, 0.45, 1.2},
	{vermillion, 0.58, 1.2}, {blue, 0.36, 1.22}, {yellow, 0.60, 0.85},
}

var (
	paper     = color.RGBA{0xFF, 0xFF, 0xFF, 0xFF}
	ink       = color.RGBA{0x1A, 0x1A, 0x1A, 0xFF} // text, boundary
	softInk   = color.RGBA{0x4A, 0x4A, 0x4A, 0xFF} // text of second rank
	hairline  = color.RGBA{0xB8, 0xB8, 0xB8, 0xFF}
	farGround = color.RGBA{0xEC, 0xEC, 0xEC, 0xFF} // level, outside the parcel
	noMachine = color.RGBA{0xA0, 0xA0, 0xA0, 0xFF}
	black     = color.RGBA{0, 0, 0, 0xFF}
)

// ground is how a kind of ground is drawn: its tint on level ground, the tint
// where relief has a void, and the ink of its hatching.
type ground struct {
	tint, bare, hatch color.RGBA
	lift              float64 // multiplies the brightness of relief; 0 where none shades it
}

var outside = ground{tint: farGround, bare: paper, hatch: farGround, lift: 1}

// hatchShare is what remains of a zone's colour in the ink of its hatching.
const hatchShare = 0.34

// groundOf returns how a band is drawn, in a fleet of n machines.
func groundOf(band, n int) ground {
	switch {
	case band < n:
		c := machineColours[band%len(machineColours)]
		tint, lift := mix(paper, c.colour, c.strength), 1.0
		if band >= len(machineColours) {
			lift = c.again
		}
		return ground{tint, lit(tint, lift), mix(black, c.colour, hatchShare), lift}
	case band == n:
		return ground{noMachine, noMachine, ink, 1}
	} // unknown, and no-go
	return ground{paper, paper, ink, 0}
}

// Relief multiplies a tint, so that colour stays pure in shadow; ground turned
// to the light is lightened. Level ground keeps about its tint.
const (
	deepestShade = 0.58 // of ground turned away from the light
	shadeGain    = 0.58
	highlight    = 2.0  // white added to ground brighter than its tint
	zoneRelief   = 0.85 // strength of relief under zones
	fadedRelief  = 0.60 // and outside the parcel
)

// shade is the colour of ground without hatching, where relief has a brightness.
func (g ground) shade(brightness, strength float64) color.RGBA {
	if g.lift == 0 {
		return g.tint
	}
	return lit(g.tint, g.lift*reliefLight(brightness, strength))
}

// shaded is a colour as relief of a brightness makes it, at a strength.
func shaded(c color.RGBA, brightness, strength float64) color.RGBA {
	return lit(c, reliefLight(brightness, strength))
}

// reliefLight is the light that falls on relief; 1 leaves a colour as it is.
func reliefLight(brightness, strength float64) float64 {
	return 1 + strength*(deepestShade+shadeGain*brightness-1)
}

// lit is a colour in a light.
func lit(c color.RGBA, light float64) color.RGBA {
	if light > 1 {
		return mix(c, paper, highlight*(light-1))
	}
	return mix(black, c, light)
}

// mix is a with a share of b in it.
func mix(a, b color.RGBA, share float64) color.RGBA {
	f := func(a, b uint8) uint8 { return uint8(float64(a)*(1-share) + float64(b)*share + 0.5) }
	return color.RGBA{f(a.R, b.R), f(a.G, b.G), f(a.B, b.B), 0xFF}
}
