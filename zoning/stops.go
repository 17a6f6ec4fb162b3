package zoning

import (
	"fmt"
	"slices"
	"strings"

	"github.com/acreband/acreband/terrain/setting"
)

// Words that warnings begin with where they make an answer void.
const (
	screeningOnly = "screening only"
	raisedLimit   = "RAISED"
)

// Stops are what makes a map's answer void until it is settled, in words, the gravest first:
// cells too coarse for machines, a unit assumed, ways in or all but slope not asked, limits
// raised. Nil where nothing does.
func (m *ZoneMap) Stops() []string {
	out := m.warningsThat(screeningOnly)
	if s := m.assumedUnits(); s != "" {
		out = append(out, s)
	}
	switch {
	case slices.Contains(m.Cautions, BySlopeAlone):
		out = append(out, "slope alone was asked: turning, width, access routes, growth and soft ground are not checked")
	case !m.Access.Checked:
		out = append(out, m.accessStop())
	}
	return append(out, m.warningsThat(raisedLimit)...)
}

// warningsThat are the warnings of a map that begin with a word.
func (m *ZoneMap) warningsThat(word string) (out []string) {
	for _, w := range m.Warnings {
		if strings.HasPrefix(w, word) {
			out = append(out, w)
		}
	}
	return out
}

// assumedUnits says of which heights nobody said the unit; "" where all are known.
func (m *ZoneMap) assumedUnits() string {
	for _, s := range m.Sources {
		if s.UnitFrom == "assumed" {
			return fmt.Sprintf("heights are taken to be in %s: the elevation does not say (%s)", UnitWords(s.Unit), setting.Name("elevation-unit"))
		}
	}
	return ""
}

// UnitWords is a unit of heights in words: "m" is meters.
func UnitWords(unit string) string {
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
func (m *ZoneMap) accessStop() string {
	words := "access is not checked"
	switch n := len(m.Access.Pockets); {
	case n == 1:
		words += ", and a piece is cut off"
	case n > 1:
		words += fmt.Sprintf(", and %d pieces are cut off", n)
	}
	switch {
	case slices.Contains(m.Cautions, AccessNotChecked):
		words += ": give " + setting.Name("staging")
	case slices.Contains(m.Cautions, NoWaysAsked):
		words += ", nor turning, width, reach and drop-offs: the cells are too coarse"
	}
	return words
}
