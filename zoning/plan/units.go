package plan

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"github.com/acreband/acreband/terrain/measure"
)

// Range is a figure as its owner knows it: the lowest and highest that are credible
// and the one that is likeliest. A figure without a range has all three alike.
type Range struct{ Low, Likely, High float64 }

// Rate is a machine's acres by the productive hour, or by the whole day of work.
type Rate struct {
	Range
	PerDay bool
}

// Knot is a point of a [Curve].
type Knot struct{ At, Factor float64 }

// Curve is a factor that changes along something, such as slope: linear between
// its knots, level beyond them. None is 1 everywhere.
type Curve []Knot

// At returns the factor at x.
func (c Curve) At(x float64) float64 {
	if len(c) == 0 {
		return 1
	}
	for i, k := range c {
		if x > k.At {
			continue
		}
		if i == 0 {
			return k.Factor
		}
		before := c[i-1]
		return before.Factor + (k.Factor-before.Factor)*(x-before.At)/(k.At-before.At)
	}
	return c[len(c)-1].Factor
}

// unit is how a figure is written.
type unit struct {
	before, after string  // what stands around the number
	example       string  // a value with its unit
	scale         float64 // from the number written to the number kept
	most          float64 // the greatest number kept
	zero          bool    // whether it may be zero
	also          spelling
}

// spelling is how a figure is written in the other system of units, with the scale of that; the
// zero value is none.
type spelling struct {
	after, example string
	scale          float64
}

// in is the unit as it is asked for in a system. It reads both.
func (u unit) in(system measure.Units) unit {
	if system == measure.US || u.also.after == "" {
		return u
	}
	us := spelling{u.after, u.example, u.scale}
	u.after, u.example, u.scale, u.also = u.also.after, u.also.example, u.also.scale, us
	return u
}

const kmPerMile = measure.MetresPerMile / 1000

var (
	acresPerHour = unit{after: "ac/h", example: "0.8ac/h", scale: 1, most: 100, also: spelling{"ha/h", "0.3ha/h", measure.AcresPerHectare}}
	acresPerDay  = unit{after: "ac/day", example: "6ac/day", scale: 1, most: 1000, also: spelling{"ha/day", "2.5ha/day", measure.AcresPerHectare}}
	perHour      = unit{before: "$", after: "/h", example: "$95/h", scale: 1, most: 1e5, zero: true}
	perMile      = unit{before: "$", after: "/mi", example: "$4.50/mi", scale: 1, most: 1e4, zero: true, also: spelling{"/km", "$2.80/km", kmPerMile}}
	perAcre      = unit{before: "$", after: "/ac", example: "$3500/ac", scale: 1, most: 1e6, zero: true, also: spelling{"/ha", "$8500/ha", 1 / measure.AcresPerHectare}}
	money        = unit{before: "$", example: "$2,500", scale: 1, most: 1e9, zero: true}
	pounds       = unit{after: "lb", example: "45000lb", scale: 1, most: 1e6, also: spelling{"kg", "20000kg", 1 / measure.KgPerPound}}
	feet         = unit{after: "ft", example: "8.5ft", scale: 1, most: 1000, also: spelling{"m", "2.6m", 1 / measure.MetresPerFoot}}
	inches       = unit{after: "in", example: "4in", scale: 1, most: 1000, zero: true, also: spelling{"cm", "10cm", 12 / (100 * measure.MetresPerFoot)}}
	percent      = unit{after: "%", example: "65%", scale: 0.01, most: 1}
	lossPercent  = unit{after: "%", example: "15%", scale: 0.01, most: 0.9, zero: true}
	addPercent   = unit{after: "%", example: "12%", scale: 0.01, most: 5, zero: true}
	slopePercent = unit{after: "%", example: "20%", scale: 1, most: 200, zero: true}
	miles        = unit{after: "mi", example: "30mi", scale: 1, most: 5000, zero: true, also: spelling{"km", "50km", 1 / kmPerMile}}
	milesPerHour = unit{after: "mph", example: "2mph", scale: 1, most: 100, also: spelling{"km/h", "3km/h", 1 / kmPerMile}}
	hours        = unit{after: "h", example: "1.5h", scale: 1, most: 1000, zero: true}
	dayHours     = unit{after: "h", example: "10h", scale: 1, most: 24}
	days         = unit{after: "days", example: "20days", scale: 1, most: 10000}
	leastDays    = unit{after: "days", example: "0.5day", scale: 1, most: 100, zero: true}
	weekDays     = unit{after: "days", example: "5days", scale: 1, most: 7}
)

// number reads one value with its unit, of either system.
func (u unit) number(s string) (float64, error) {
	s = strings.TrimSpace(s)
	if u.also.after != "" && strings.HasSuffix(s, u.also.after) {
		u.after, u.example, u.scale = u.also.after, u.also.example, u.also.scale
	}
	body, front := strings.CutPrefix(s, u.before)
	body, back := strings.CutSuffix(body, u.after)
	if one, ok := strings.CutSuffix(u.after, "days"); ok && !back {
		body, back = strings.CutSuffix(body, one+"day")
	}
	digits := strings.ReplaceAll(strings.TrimSpace(body), ",", "")
	v, err := strconv.ParseFloat(digits, 64)
	cure := "write it with its unit, such as " + u.example
	switch {
	case !front || !back:
		if _, err := strconv.ParseFloat(s, 64); err == nil {
			return 0, &Error{fmt.Sprintf("%q has no unit", s), cure}
		}
		return 0, &Error{fmt.Sprintf("%q is not in the unit that is wanted", s), cure}
	case err != nil || strings.Trim(digits, "0123456789.") != "":
		return 0, &Error{fmt.Sprintf("%q is not a number of zero or more", s), cure}
	case v == 0 && !u.zero:
		return 0, &Error{fmt.Sprintf("%q must be above zero", s), cure}
	}
	v *= u.scale
	if !atMost(v, u.most) {
		return 0, &Error{fmt.Sprintf("%q is out of range", s),
			fmt.Sprintf("write at most %s%.6g%s", u.before, u.most/u.scale, u.after)}
	}
	return v, nil
}

// values reads one figure, or low, likely and high with a comma and a space
// between.
func (u unit) values(s string) (Range, error) {
	parts := strings.Split(s, ", ")
	if len(parts) != 1 && len(parts) != 3 {
		return Range{}, &Error{fmt.Sprintf("%q is neither one figure nor three", s),
			fmt.Sprintf("write the likeliest, such as %s, or low, likely and high with commas and spaces between", u.example)}
	}
	var v [3]float64
	for i := range v {
		var err error
		if v[i], err = u.number(parts[min(i, len(parts)-1)]); err != nil {
			return Range{}, err
		}
	}
	if v[0] > v[1] || v[1] > v[2] {
		return Range{}, &Error{fmt.Sprintf("%q does not rise from low to likely to high", s), "write the lowest figure first"}
	}
	return Range{v[0], v[1], v[2]}, nil
}

// curve reads a table such as "100% at 10%, 60% at 30%", along x in unit u.
func (u unit) curve(s string) (Curve, error) {
	cure := fmt.Sprintf("write a table that rises, such as 100%% at %s, or more points with commas and spaces between", u.example)
	var c Curve
	for part := range strings.SplitSeq(s, ", ") {
		factor, at, ok := strings.Cut(part, " at ")
		if !ok {
			return nil, &Error{fmt.Sprintf("%q is not a table of factors", s), cure}
		}
		f, err := percent.number(factor)
		if err != nil {
			return nil, err
		}
		x, err := u.number(at)
		if err != nil {
			return nil, err
		}
		if len(c) > 0 && x <= c[len(c)-1].At {
			return nil, &Error{fmt.Sprintf("%q does not rise", s), cure}
		}
		c = append(c, Knot{x, f})
	}
	return c, nil
}

// rate reads acres an hour or acres a day.
func rate(s string) (Rate, error) {
	if strings.Contains(s, "day") {
		r, err := acresPerDay.values(s)
		return Rate{r, true}, err
	}
	r, err := acresPerHour.values(s)
	return Rate{r, false}, err
}

// count reads a whole number of things.
func count(s string, most int) (int, error) {
	n, err := strconv.Atoi(s)
	if err != nil || n < 0 || n > most {
		return 0, &Error{fmt.Sprintf("%q is not a whole number from 0 to %d", s, most), "write how many there are, such as 1"}
	}
	return n, nil
}

// date reads a day written as in ISO 8601.
func date(s string) (time.Time, error) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return t, &Error{fmt.Sprintf("%q is not a date", s), "write year, month and day, such as 2026-03-02"}
	}
	return t, nil
}
