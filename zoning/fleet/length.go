package fleet

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// lengthUnits are metres in a unit: international feet and inches.
var lengthUnits = []struct {
	name   string
	metres float64
}{{"ft", 0.3048}, {"in", 0.0254}, {"m", 1}}

// ParseLength reads a length written with its unit, "10ft", "18in" or "3m", and
// returns it in metres. A space before the unit is allowed. A bare number, a
// number that is not above zero, and anything else are refused with an [*Error]
// that has no file and no line.
func ParseLength(s string) (metres float64, err error) {
	s = strings.TrimSpace(s)
	const cure = "write a length with its unit, such as 10ft, 18in or 3m"
	for _, u := range lengthUnits {
		number, ok := strings.CutSuffix(s, u.name)
		if !ok {
			continue
		}
		number = strings.TrimRight(number, " \t")
		v, err := strconv.ParseFloat(number, 64)
		if err != nil || strings.Trim(number, "0123456789.") != "" || math.IsInf(v, 0) || !(v > 0) {
			return 0, &Error{Problem: fmt.Sprintf("%q is not a length above zero", s), Cure: cure}
		}
		return v * u.metres, nil
	}
	return 0, &Error{Problem: fmt.Sprintf("%q is not a length with a unit", s), Cure: cure}
}
