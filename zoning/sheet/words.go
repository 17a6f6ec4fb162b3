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

// nameOf is what a map is of: its lot's name, or how many lots it holds.
func nameOf(zm *zoning.ZoneMap) string {
	if len(zm.Lots) != 1 {
		return grouped(float64(len(zm.Lots)), 0) + " lots"
	}
	if name := text.OneLine(zm.Lots[0].Lot); name != "" {
		return name
	}
	return "Parcel"
}

// acresText writes acres with one decimal, two on a map of several lots. Ground
// too small to show is not written as none.
func (t totals) acresText(acres float64) string {
	decimals := 1
	if t.lots > 1 {
		decimals = 2
	}
	least := math.Pow(10, -float64(decimals))
	if acres > 0 && acres < least/2 {
		return "<" + strconv.FormatFloat(least, 'f', decimals, 64)
	}
	return grouped(acres, decimals)
}

// shareText writes a part of the parcel in whole percent.
func (t totals) shareText(acres float64) string {
	pct := 100 * acres / t.acres
	switch {
	case !(acres > 0) || pct != pct:
		return "0%"
	case pct < 0.5:
		return "<1%"
	case pct > 99.5 && acres < t.acres*(1-1e-9):
		return ">99%"
	}
	return strconv.FormatFloat(pct, 'f', 0, 64) + "%"
}

// limitText writes a limit in percent with the decimals that it has, at most
// four: a smaller limit is not written as none.
func limitText(pct float64) string {
	if pct > 0 && pct < 0.5e-4 {
		return "<0.0001%"
	}
	return strings.TrimRight(strings.TrimRight(strconv.FormatFloat(pct, 'f', 4, 64), "0"), ".") + "%"
}

// slopeText writes a measured slope in percent.
func slopeText(pct float64) string {
	if pct != pct {
		return "-"
	}
	return strconv.FormatFloat(pct, 'f', 1, 64) + "%"
}

// grouped writes a number with commas between thousands.
func grouped(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	whole, rest, _ := strings.Cut(s, ".")
	for i := len(whole) - 3; i > 0 && whole[i-1] != '-'; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	if rest == "" {
		return whole
	}
	return whole + "." + rest
}

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
	unit := map[string]string{"m": "metres", "ft": "international feet", "us-ft": "US survey feet"}[s.Unit]
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
