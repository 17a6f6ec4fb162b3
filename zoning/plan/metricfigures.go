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

// writtenIn are the units that have a spelling in metric, by what stands behind a figure of theirs.
var writtenIn = func() map[string]unit {
	out := map[string]unit{}
	for _, u := range []unit{acresPerHour, acresPerDay, perAcre, perMile, miles, milesPerHour, pounds, feet, inches} {
		out[u.after] = u
	}
	return out
}()

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
		u := writtenIn[part[3]]
		return part[1] + threeFigures(v*u.scale/u.also.scale) + u.also.after
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
