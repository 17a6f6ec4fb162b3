package sheet

import (
	"fmt"
	"slices"
	"strings"

	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/text"
)

// Words that warnings begin with where they make an answer void.
const (
	screeningOnly = "screening only"
	raisedLimit   = "RAISED"
)

// Stops are what makes a map's answer void until it is settled, the gravest first: cells
// too coarse for machines, a unit assumed, ways in or all but slope not asked, limits raised.
func Stops(zm *zoning.ZoneMap) []string {
	out := warningsThat(zm, screeningOnly)
	if s := assumedUnits(zm); s != "" {
		out = append(out, s)
	}
	switch {
	case slices.Contains(zm.Cautions, zoning.BySlopeAlone):
		out = append(out, "slope alone was asked: turning, width, ways in, growth and soft ground are not checked")
	case !zm.Access.Checked:
		out = append(out, accessStop(zm))
	}
	return append(out, warningsThat(zm, raisedLimit)...)
}

// warningsThat are the warnings of a map that begin with a word.
func warningsThat(zm *zoning.ZoneMap, word string) (out []string) {
	for _, w := range zm.Warnings {
		if strings.HasPrefix(w, word) {
			out = append(out, text.OneLine(w))
		}
	}
	return out
}

// assumedUnits says of which heights nobody said the unit; "" where all are known.
func assumedUnits(zm *zoning.ZoneMap) string {
	for _, s := range zm.Sources {
		if s.UnitFrom == "assumed" {
			return fmt.Sprintf("heights are taken to be in %s: the elevation does not say (%s)", unitText(s.Unit), setting.Name("elevation-unit"))
		}
	}
	return ""
}

// unitText is a unit of heights in words.
func unitText(unit string) string {
	switch unit {
	case "m":
		return "meters"
	case "ft":
		return "feet"
	case "us-ft":
		return "US survey feet"
	}
	return unit
}

// accessStop says that nobody asked how machines get to the ground, and what to do where
// that helps.
func accessStop(zm *zoning.ZoneMap) string {
	words := "access is not checked"
	switch n := len(zm.Access.Pockets); {
	case n == 1:
		words += ", and a piece is cut off"
	case n > 1:
		words += fmt.Sprintf(", and %s pieces are cut off", grouped(float64(n), 0))
	}
	switch {
	case slices.Contains(zm.Cautions, zoning.AccessNotChecked):
		words += ": give " + setting.Name("staging")
	case slices.Contains(zm.Cautions, zoning.NoWaysAsked):
		words += ", nor turning, width, reach and drop-offs: the cells are too coarse"
	}
	return words
}
