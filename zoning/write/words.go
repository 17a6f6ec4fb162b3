package write

import (
	"fmt"
	"strings"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/text"
)

// title is what a map is of.
func title(zm *zoning.ZoneMap) string {
	of := fmt.Sprintf("%d lots", len(zm.Lots))
	if len(zm.Lots) == 1 {
		of = lotName(zm.Lots[0].Lot)
	}
	return "Zones of " + of + ", " + zm.View.Words()
}

func lotName(name string) string {
	if strings.TrimSpace(name) == "" {
		return "the parcel"
	}
	return name
}

func joined(all []string) string { return strings.Join(all, "; ") }

// Remarks are what goes with a map's figures into every file: its warnings and
// what was assumed, its cautions and those of the fleet's machines. No map has none.
func Remarks(zm *zoning.ZoneMap) []string {
	if zm == nil {
		return nil
	}
	var all []string
	for _, w := range zm.Warnings {
		all = append(all, "Warning: "+w)
	}
	for _, a := range zm.Assumed {
		all = append(all, "Assumed: "+a)
	}
	all = append(all, zm.Cautions...)
	for _, m := range zm.Fleet {
		if m.Caution != "" {
			all = append(all, m.Name+": "+m.Caution)
		}
	}
	return all
}

// zoneWords says in sentences what a zone's figures are; decimals are those of its acres.
func zoneWords(zm *zoning.ZoneMap, z zoneOf) []string {
	acres := func(v float64) string { return areaText(zm, v) }
	words := []string{acres(z.zone.Acres)}
	if z.zone.SlopeMeanPct == z.zone.SlopeMeanPct {
		words = append(words, fmt.Sprintf("Slope: mean %s, greatest %s", text.SlopePct(z.zone.SlopeMeanPct), text.SlopePct(z.zone.SlopeMaxPct)))
	}
	m := z.machine
	if m == nil {
		return words
	}
	words = append(words, "Limit: "+text.LimitPct(m.SteepestPct()))
	if s := z.zone.SureAcres; s == s {
		words = append(words, fmt.Sprintf("Surely within it: %s; walk %s first", acres(s), acres(z.zone.Acres-s-z.zone.SightAcres)))
		if z.zone.SightAcres > 0 {
			words = append(words, "Sight from toe or crest, too steep to walk: "+acres(z.zone.SightAcres))
		}
	}
	if m.ProcedureAbovePct > 0 {
		words = append(words, fmt.Sprintf("Written procedure, above %s: %s", text.LimitPct(m.ProcedureAbovePct), acres(z.zone.ProcedureAcres)))
	}
	if m.TetherAbovePct > 0 {
		words = append(words, fmt.Sprintf("Tether, above %s: %s", text.LimitPct(m.TetherAbovePct), acres(z.zone.TetherAcres)))
	}
	if m.Caution != "" {
		words = append(words, m.Caution)
	}
	return words
}

// planning stands beside the figures of every zone.
const planning = "Planning value. Check the ground first; the machine's manual governs."

// areaText writes acres in a map's units, with the word behind them.
func areaText(zm *zoning.ZoneMap, acres float64) string {
	return text.Acres(zm.Units.Area(acres), zm.Units.Decimals(zm.AcreDecimals())) + " " + zm.Units.Areas()
}
