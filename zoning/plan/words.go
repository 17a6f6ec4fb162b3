package plan

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning/text"
)

// wording is how areas are written: whole where the cells are too coarse for a tenth of an acre.
type wording struct {
	units measure.Units
	whole bool
}

func (p *Plan) wording() wording { return wording{p.Units, p.WholeAcres} }

// acresText writes acres with one decimal, or none; ground too small to show is not none.
func acresText(w wording, acres float64) string {
	if w.whole {
		return text.Acres(w.units.Area(acres), 0)
	}
	return text.Acres(w.units.Area(acres), w.units.Decimals(1))
}

// areaText writes acres with the word behind them.
func areaText(w wording, acres float64) string { return acresText(w, acres) + " " + w.units.Areas() }

// perAreaText writes dollars for each acre as those for each acre or hectare.
func perAreaText(u measure.Units, usd float64) string { return moneyText(u.PerArea(usd)) }

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

// widthText writes feet of a load or a gate: as they were given, or in meters to the centimeter.
func widthText(u measure.Units, ft float64) string {
	if u == measure.Metric {
		return fmt.Sprintf("%.2f m", ft*measure.MetresPerFoot)
	}
	return fmt.Sprintf("%g ft", ft)
}

// weightText writes pounds of a load or a bridge.
func weightText(u measure.Units, lb float64) string {
	return text.Grouped(u.Pounds(lb*measure.KgPerPound), 0) + " " + u.ShortWeight()
}
