package plan

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"github.com/acreband/acreband/terrain/measure"
)

// writtenFigure is a figure as a fleet file has it, with a unit that metric readers do not work in.
var writtenFigure = regexp.MustCompile(`(\$?)(\d[\d,]*(?:\.\d+)?)(ac/h|ac/day|/ac|/mi|mi|mph|lb|ft|in)\b`)

// metricOf is, by the unit of a written figure, what stands there in metric and how many of that one is.
var metricOf = map[string]struct {
	unit  string
	times float64
}{
	"ac/h": {"ha/h", 1 / measure.AcresPerHectare}, "ac/day": {"ha/day", 1 / measure.AcresPerHectare}, "/ac": {"/ha", measure.AcresPerHectare},
	"/mi": {"/km", 1000 / measure.MetresPerMile}, "mi": {"km", measure.MetresPerMile / 1000}, "mph": {"km/h", measure.MetresPerMile / 1000},
	"lb": {"kg", measure.KgPerPound}, "ft": {"m", measure.MetresPerFoot}, "in": {"cm", 100 * measure.MetresPerFoot / 12},
}

// inUnits is a value of a fleet file as it was written, by which its owner finds it there; for metric
// readers in their units too, in brackets.
func inUnits(u measure.Units, written string) string {
	if u != measure.Metric {
		return written
	}
	turned := writtenFigure.ReplaceAllStringFunc(written, func(figure string) string {
		part := writtenFigure.FindStringSubmatch(figure)
		v, err := strconv.ParseFloat(strings.ReplaceAll(part[2], ",", ""), 64)
		if err != nil {
			return figure
		}
		to := metricOf[part[3]]
		return part[1] + threeFigures(v*to.times) + to.unit
	})
	if turned == written {
		return written
	}
	return written + " (" + turned + ")"
}

// threeFigures writes a number with three figures, a larger one whole.
func threeFigures(v float64) string {
	if v == 0 {
		return "0"
	}
	decimals := max(0, 2-int(math.Floor(math.Log10(math.Abs(v)))))
	scale := math.Pow(10, float64(decimals))
	return strconv.FormatFloat(math.Round(v*scale)/scale, 'f', -1, 64)
}
