package sheet

import (
	"image/color"

	"github.com/acreband/acreband/zoning"
)

// FlatColours are the colours of a band, in a fleet of so many machines, for
// maps that other programs draw: of its ground, and of its outline and any marks
// on it. Where neither relief nor hatching is sure to be drawn, colours have their
// full strength: tinted, blue and sky blue could be told apart by hatching only.
func FlatColours(band, machines int) (fill, line color.RGBA) {
	g := groundOf(band, machines)
	switch {
	case band == machines+2: // no-go, whose bars would tell it from unknown ground
		return softInk, paper
	case band >= machines:
		return g.tint, ink
	}
	c := machineColours[band%len(machineColours)]
	return lit(c.colour, g.lift), ink
}

// Facts are the elevation used, how slope was taken from it, how good heights and
// boundary are, and what was assumed, as the picture says them.
func Facts(zm *zoning.ZoneMap) []string { return factsOf(totalsOf(zm), zm) }

// Name is what a map is of: its lot's name, or how many lots it holds.
func Name(zm *zoning.ZoneMap) string { return nameOf(zm) }
