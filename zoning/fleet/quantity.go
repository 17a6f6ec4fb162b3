package fleet

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/acreband/acreband/zoning"
)

// unit is a unit's name in files and how many of the unit of a [zoning.Machine]
// it is.
type unit struct {
	name  string
	times float64
}

// Of units that end alike, the longer name stands first.
var (
	lengthUnits = []unit{{"ft", zoning.MetresPerFoot}, {"in", zoning.MetresPerFoot / 12}, {"m", 1}}
	// NIST Special Publication 811: 1 psi is 6.894 757 kPa.
	pressureUnits = []unit{{"psi", 6.894757}, {"kPa", 1}}
	areaUnits     = []unit{{"ac", 1}, {"ha", 10_000 / zoning.SquareMetresPerAcre}}
)

// ParseLength reads a length written with its unit, "10ft", "18in" or "3m", and
// returns it in metres. A space before the unit is allowed. A bare number, a
// number that is not above zero, and anything else are refused with an [*Error]
// that has no file and no line.
func ParseLength(s string) (metres float64, err error) {
	return parseQuantity(s, lengthUnits, "a length", "10ft, 18in or 3m")
}

// ParsePressure reads a pressure on the ground, "5psi" or "35kPa", as
// [ParseLength] reads a length, and returns it in kilopascals.
func ParsePressure(s string) (kPa float64, err error) {
	return parseQuantity(s, pressureUnits, "a pressure", "5psi or 35kPa")
}

// ParseArea reads an area, "0.1ac" or "0.05ha", as [ParseLength] reads a length,
// and returns it in international acres.
func ParseArea(s string) (acres float64, err error) {
	return parseQuantity(s, areaUnits, "an area", "0.1ac or 0.05ha")
}

// parseQuantity reads a number above zero with one of the units; what names the
// kind of quantity in errors, such as "a length".
func parseQuantity(s string, units []unit, what, examples string) (float64, error) {
	s = strings.TrimSpace(s)
	cure := fmt.Sprintf("write %s with its unit, such as %s", what, examples)
	for _, u := range units {
		number, ok := strings.CutSuffix(s, u.name)
		if !ok {
			continue
		}
		number = strings.TrimRight(number, " \t")
		v, err := strconv.ParseFloat(number, 64)
		v *= u.times
		if err != nil || strings.Trim(number, "0123456789.") != "" || math.IsInf(v, 0) || !(v > 0) {
			return 0, &Error{Problem: fmt.Sprintf("%q is not %s above zero", s, what), Cure: cure}
		}
		return v, nil
	}
	return 0, &Error{Problem: fmt.Sprintf("%q is not %s with a unit", s, what), Cure: cure}
}
