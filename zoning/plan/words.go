package plan

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/acreband/acreband/zoning/text"
)

// acresText writes acres with one decimal; ground too small to show is not none.
func acresText(acres float64) string {
	if acres > 0 && acres < 0.05 {
		return "<0.1"
	}
	return text.Grouped(acres, 1)
}

// moneyText writes whole dollars.
func moneyText(usd float64) string { return text.Grouped(usd, 0) }

// roundMoney writes dollars to three digits: a range is known no better.
func roundMoney(usd float64) string {
	if !(usd >= 1000) {
		return moneyText(usd)
	}
	unit := math.Pow(10, math.Floor(math.Log10(usd))-2)
	return moneyText(math.Round(usd/unit) * unit)
}

// percentText writes a share in percent, with a decimal where it has one.
func percentText(share float64) string {
	return strings.TrimSuffix(strconv.FormatFloat(100*share, 'f', 1, 64), ".0") + "%"
}

// crewText names a crew.
func crewText(crew []Brought) string {
	var names []string
	for _, b := range crew {
		if b.Count > 1 {
			names = append(names, fmt.Sprintf("%d × %s", b.Count, b.Name))
		} else {
			names = append(names, b.Name)
		}
	}
	if len(names) == 0 {
		return "no machine"
	}
	return strings.Join(names, ", ")
}
