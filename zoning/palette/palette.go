package palette

import "image/color"

// The palette of Okabe and Ito 2008 (Color Universal Design: how to make
// figures and presentations that are friendly to colorblind people), told apart
// with any common form of colour blindness.
var (
	SkyBlue       = color.RGBA{0x56, 0xB4, 0xE9, 0xFF}
	Orange        = color.RGBA{0xE6, 0x9F, 0x00, 0xFF}
	ReddishPurple = color.RGBA{0xCC, 0x79, 0xA7, 0xFF}
	BluishGreen   = color.RGBA{0x00, 0x9E, 0x73, 0xFF}
	Vermillion    = color.RGBA{0xD5, 0x5E, 0x00, 0xFF}
	Blue          = color.RGBA{0x00, 0x72, 0xB2, 0xFF}
	Yellow        = color.RGBA{0xF0, 0xE4, 0x42, 0xFF}
)

// Ground that no machine works, where nothing but colour tells it apart.
var (
	Tan      = color.RGBA{0xD2, 0xB4, 0x8C, 0xFF} // needs a machine not brought
	PaleTeal = color.RGBA{0x8F, 0xD3, 0xCB, 0xFF} // waits for dry ground
)

// Bands that are no machine's, counted from the number of machines on: in the order of
// the bands of a fleet.
const (
	NeedsMachine = iota
	WaitsDry
	ForNone
	Unknown
	NoGo
	Rest // how many there are
)

// MachineColours are given to machines in fleet order. The order is neither
// green to red nor a ramp: a colour says which machine, not how dangerous. From
// the eighth machine on they come round again, lighter or darker and under other
// hatching.
//
// strength is how much of a colour lies over the relief. It sets neighbours in
// the order apart in lightness too, for printers without colour. again is the
// lift of a colour that has come round: the lightest go darker, for they cannot
// go lighter, and the others lighter, for lines must stand out on them.
var MachineColours = [...]struct {
	Colour          color.RGBA
	strength, Again float64
}{
	{SkyBlue, 0.40, 0.85}, {Orange, 0.70, 1.2}, {ReddishPurple, 0.75, 1.2}, {BluishGreen, 0.37, 1.24},
	{Vermillion, 0.58, 1.2}, {Blue, 0.36, 1.22}, {Yellow, 0.60, 0.85},
}

var (
	Paper      = color.RGBA{0xFF, 0xFF, 0xFF, 0xFF}
	Ink        = color.RGBA{0x1A, 0x1A, 0x1A, 0xFF} // text, boundary
	SoftInk    = color.RGBA{0x4A, 0x4A, 0x4A, 0xFF} // text of second rank
	Hairline   = color.RGBA{0xB8, 0xB8, 0xB8, 0xFF}
	FarGround  = color.RGBA{0xEC, 0xEC, 0xEC, 0xFF} // level, outside the parcel
	NoMachine  = color.RGBA{0xA0, 0xA0, 0xA0, 0xFF}
	lightGrey  = color.RGBA{0xC8, 0xC8, 0xC8, 0xFF}
	palestGrey = color.RGBA{0xE4, 0xE4, 0xE4, 0xFF}
	Black      = color.RGBA{0, 0, 0, 0xFF}
)

// Ground is how a kind of ground is drawn: its tint on level ground, the tint
// where relief has a void, and the ink of its hatching.
type Ground struct {
	Tint, Bare, Hatch color.RGBA
	Lift              float64 // multiplies the brightness of relief; 0 where none shades it
}

var Outside = Ground{Tint: FarGround, Bare: Paper, Hatch: FarGround, Lift: 1}

// hatchShare is what remains of a zone's colour in the ink of its hatching.
const hatchShare = 0.34

// GroundOf returns how a band is drawn, in a fleet of n machines.
func GroundOf(band, n int) Ground {
	switch {
	case band < n:
		c := MachineColours[band%len(MachineColours)]
		tint, lift := Mix(Paper, c.Colour, c.strength), 1.0
		if band >= len(MachineColours) {
			lift = c.Again
		}
		return Ground{tint, Lit(tint, lift), Mix(Black, c.Colour, hatchShare), lift}
	case band == n+NeedsMachine:
		return Ground{lightGrey, lightGrey, Ink, 0}
	case band == n+WaitsDry:
		return Ground{palestGrey, palestGrey, Ink, 0}
	case band == n+ForNone:
		return Ground{NoMachine, NoMachine, Ink, 1}
	} // unknown, and no-go
	return Ground{Paper, Paper, Ink, 0}
}

// Relief multiplies a tint, so that colour stays pure in shadow; ground turned
// to the light is lightened. Level ground keeps about its tint.
const (
	deepestShade = 0.58 // of ground turned away from the light
	shadeGain    = 0.58
	highlight    = 2.0  // white added to ground brighter than its tint
	ZoneRelief   = 0.85 // strength of relief under zones
	FadedRelief  = 0.60 // and outside the parcel
)

// Shade is the colour of ground without hatching, where relief has a brightness.
func (g Ground) Shade(brightness, strength float64) color.RGBA {
	if g.Lift == 0 {
		return g.Tint
	}
	return Lit(g.Tint, g.Lift*ReliefLight(brightness, strength))
}

// Shaded is a colour as relief of a brightness makes it, at a strength.
func Shaded(c color.RGBA, brightness, strength float64) color.RGBA {
	return Lit(c, ReliefLight(brightness, strength))
}

// ReliefLight is the light that falls on relief; 1 leaves a colour as it is.
func ReliefLight(brightness, strength float64) float64 {
	return 1 + strength*(deepestShade+shadeGain*brightness-1)
}

// Lit is a colour in a light.
func Lit(c color.RGBA, light float64) color.RGBA {
	if light > 1 {
		return Mix(c, Paper, highlight*(light-1))
	}
	return Mix(Black, c, light)
}

// Mix is a with a share of b in it.
func Mix(a, b color.RGBA, share float64) color.RGBA {
	f := func(a, b uint8) uint8 { return uint8(float64(a)*(1-share) + float64(b)*share + 0.5) }
	return color.RGBA{f(a.R, b.R), f(a.G, b.G), f(a.B, b.B), 0xFF}
}
