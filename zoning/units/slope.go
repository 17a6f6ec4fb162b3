package units

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Slope reads a slope, "35%" or "19.3deg", in percent: 100 · tan(angle) for
// degrees, rounded to 1e-9 percent, so that 45deg is 100% exactly. Zero is a
// slope, 90deg or more is none.
func Slope(s string) (pct float64, err error) {
	s = strings.TrimSpace(s)
	number, unit := s, ""
	for _, u := range []string{"%", "deg"} {
		if before, ok := strings.CutSuffix(s, u); ok {
			number, unit = strings.TrimRight(before, " \t"), u
		}
	}

	v, err := strconv.ParseFloat(number, 64)
	switch {
	case s == "":
		return 0, slopeError("the slope is empty")
	case err != nil && !errors.Is(err, strconv.ErrRange):
		return 0, slopeError("%q is not a slope", s)
	case math.IsNaN(v) || math.IsInf(v, 0):
		return 0, slopeError("%q is not a finite number", s)
	case strings.HasPrefix(number, "-"):
		return 0, slopeError("%q is below zero", s)
	case strings.Trim(number, "0123456789.") != "":
		return 0, slopeError("%q is not a plain decimal number", s)
	case unit == "":
		return 0, &Error{
			Problem: fmt.Sprintf("%q has no unit", s),
			Cure:    fmt.Sprintf("write %s%% for percent or %sdeg for degrees", s, s),
		}
	case unit == "%":
		return v, nil
	case v >= 90:
		return 0, slopeError("%q is not below 90deg", s)
	}
	return pctOfDegrees(v), nil
}

// pctOfDegrees returns an angle in degrees as a slope in percent. It rounds
// because the tangent of the binary number nearest to 45 degrees is not 1:
// without it a machine rated 45deg would fall short of a limit of 100%.
func pctOfDegrees(deg float64) float64 {
	return math.Round(100*math.Tan(deg*math.Pi/180)*1e9) / 1e9
}

func slopeError(format string, args ...any) error {
	return &Error{
		Problem: fmt.Sprintf(format, args...),
		Cure:    "write a slope with its unit, such as 35% or 19.3deg",
	}
}
