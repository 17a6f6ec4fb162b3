package page

import (
	"strings"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning/site"
)

// unitsOf is a system of units, for what the page itself draws and counts: the line that is being
// drawn, the bars of scale.
type unitsOf struct {
	Key       string  `json:"key"`
	Area      string  `json:"area"` // acre
	Areas     string  `json:"areas"`
	ShortArea string  `json:"shortArea"`
	AreaM2    float64 `json:"areaM2"`
	Decimals  int     `json:"decimals"` // of an area
	Length    string  `json:"length"`   // ft
	LengthM   float64 `json:"lengthM"`
	TenthsM   float64 `json:"tenthsM"` // below it lengths have a tenth; 0 where none has
	Long      string  `json:"long"`    // mi
	LongM     float64 `json:"longM"`
	PerArea   string  `json:"perArea"` // /ac
	Around    string  `json:"around"`  // the keep-clear distance that stands in its field
}

// aroundM is 50 ft.
const aroundM = 50 * measure.MetresPerFoot

// bothUnits are the systems, that of the US first.
func bothUnits() (out []unitsOf) {
	for _, u := range []measure.Units{measure.US, measure.Metric} {
		tenthsM := 0.0
		if u == measure.Metric {
			tenthsM = measure.TenthsBelowM
		}
		out = append(out, unitsOf{
			Key: u.String(), Area: u.OneArea(), Areas: u.Areas(), ShortArea: u.ShortArea(), AreaM2: u.Acres(1) * terrain.SquareMetresPerAcre, Decimals: u.Decimals(1),
			Length: u.ShortLength(), LengthM: 1 / u.Feet(1), TenthsM: tenthsM, Long: u.ShortLongLength(), LongM: 1 / u.Miles(1), PerArea: perArea(u),
			Around: strings.ReplaceAll(u.AtLeast(aroundM), " ", ""),
		})
	}
	return out
}

// put says how far each place that was put on the page keeps machines off.
func (t *tally) put(features []site.Feature) []string {
	out := []string{}
	for _, f := range features {
		words := ""
		switch {
		case f.Setback.Rule != nil:
			words = f.Setback.Rule.Key
		case f.Setback.WidthM > 0:
			words = t.units.AtLeast(f.Setback.WidthM)
		}
		out = append(out, words)
	}
	return out
}
