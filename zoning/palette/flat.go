package palette

import (
	"image/color"
)

// Flat are the colours of a band, in a fleet of so many machines, for
// maps that other programs draw: of its ground, and of its outline and any marks
// on it. Where neither relief nor hatching is sure to be drawn, colours have their
// full strength: tinted, blue and sky blue could be told apart by hatching only.
func Flat(band, machines int) (fill, line color.RGBA) {
	g := GroundOf(band, machines)
	switch {
	case band == machines+NoGo: // whose bars would tell it from unknown ground
		return SoftInk, Paper
	case band == machines+NeedsMachine:
		return Tan, Ink
	case band == machines+WaitsDry:
		return PaleTeal, Ink
	case band >= machines:
		return g.Tint, Ink
	}
	c := MachineColours[band%len(MachineColours)]
	return Lit(c.Colour, g.Lift), Ink
}
