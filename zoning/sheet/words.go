package sheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/text"
)

// caution stands on every picture.
const caution = "Planning values. Verify on foot; the machine's manual governs."

// Name is what a map is of: its lot's name, or how many lots it holds.
func Name(zm *zoning.ZoneMap) string {
	if zm == nil {
		return "0 lots"
	}
	if len(zm.Lots) != 1 {
		return grouped(float64(len(zm.Lots)), 0) + " lots"
	}
	if name := text.OneLine(zm.Lots[0].Lot); name != "" {
		return name
	}
	return "Parcel"
}

func (t totals) acresText(acres float64) string {
	return text.Acres(t.units.Area(acres), t.units.Decimals(t.decimals))
}

// areaText writes acres with the word behind them.
func (t totals) areaText(acres float64) string { return t.acresText(acres) + " " + t.units.Areas() }

// shortAreaText writes acres with the sign of their unit behind them.
func (t totals) shortAreaText(acres float64) string {
	return t.acresText(acres) + " " + t.units.ShortArea()
}

// perAreaText writes dollars for each acre as those for each acre or hectare.
func (t totals) perAreaText(usd float64) string { return dollars(t.units.PerArea(usd)) }

// roundedText says why acres are whole, and that their sum is of what was not rounded; "" where
// they have decimals.
func (t totals) roundedText() string {
	if t.decimals > 0 {
		return ""
	}
	return "whole, since the elevation's cells carry no tenth; rounded parts may miss their sum by " + t.units.AnArea() + " or two"
}

func (t totals) shareText(acres float64) string { return text.Share(acres, t.acres) }

// elevationText says what the slopes were read from.
func elevationText(sources []terrain.Source) string {
	if len(sources) == 0 {
		return "heights in m, source not named"
	}
	lowest, highest := math.Inf(1), math.Inf(-1)
	var units []string
	for _, s := range sources {
		lowest = min(lowest, s.CellM[0], s.CellM[1])
		highest = max(highest, s.CellM[0], s.CellM[1])
		unit := heightsText(s)
		if len(units) == 0 || units[len(units)-1] != unit {
			units = append(units, unit)
		}
	}
	cells := lengthText(lowest) + " m cells"
	if lengthText(lowest) != lengthText(highest) {
		cells = lengthText(lowest) + " to " + lengthText(highest) + " m cells"
	}
	if len(sources) == 1 {
		c := sources[0].CellM
		cells = fmt.Sprintf("cells %s × %s m", lengthText(c[0]), lengthText(c[1]))
	}
	return cells + ", " + strings.Join(units, "; ")
}

// heightsText names a vertical unit and how it is known.
func heightsText(s terrain.Source) string {
	unit := map[string]string{"m": "meters", "ft": "international feet", "us-ft": "US survey feet"}[s.Unit]
	if unit == "" {
		unit = s.Unit
	}
	switch s.UnitFrom {
	case "":
		return "heights in " + unit
	}
	return "heights in " + unit + " (" + s.UnitFrom + ")"
}

func lengthText(m float64) string {
	if m >= 99.95 {
		return strconv.FormatFloat(m, 'f', 0, 64)
	}
	return strconv.FormatFloat(m, 'f', 1, 64)
}

func limitText(pct float64) string           { return text.LimitPct(pct) }
func slopeText(pct float64) string           { return text.SlopePct(pct) }
func grouped(v float64, decimals int) string { return text.Grouped(v, decimals) }
