package units

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Error is why a text is no quantity.
type Error struct {
	Problem string // what is wrong, with the text
	Cure    string // what to write
}

// Error writes PROBLEM; CURE.
func (e *Error) Error() string { return e.Problem + "; " + e.Cure }

// Of returns the same trouble, told of the field that holds the text.
func (e *Error) Of(field string) *Error { return &Error{field + " " + e.Problem, e.Cure} }

// measure is a sort of quantity that must be above zero.
type measure struct {
	name, example string
	units         []unit
}

// unit is a unit as it is written, and its size in the unit that is returned.
type unit struct {
	name string
	size float64
}

// Exact, by the international yard and pound (1959) and the acre of 43 560 ft².
const (
	metresPerFoot   = 0.3048
	kgPerPound      = 0.45359237
	acresPerHectare = 1e4 / (43560 * metresPerFoot * metresPerFoot)
	kPaPerPSI       = kgPerPound * 9.80665 / (metresPerFoot / 12 * metresPerFoot / 12) / 1000
)

// A unit that ends in another's name stands before it.
var (
	lengths   = measure{"a length", "10ft, 18in or 3m", []unit{{"ft", metresPerFoot}, {"in", metresPerFoot / 12}, {"m", 1}}}
	pressures = measure{"a pressure", "5psi or 35kPa", []unit{{"psi", kPaPerPSI}, {"kPa", 1}}}
	voltages  = measure{"a voltage", "115kV or 7200V", []unit{{"kV", 1}, {"V", 1e-3}}}
	weights   = measure{"a weight", "40000lb, 20tons (of 2000 lb) or 18000kg", []unit{{"lb", kgPerPound}, {"tons", 2000 * kgPerPound}, {"kg", 1}}}
	areas     = measure{"an area", "0.1ac or 0.05ha", []unit{{"ac", 1}, {"ha", acresPerHectare}}}
	densities = measure{"a number of stems", "300/ac or 740/ha", []unit{{"/ac", 1}, {"/ha", 1 / acresPerHectare}}}
)

// Length reads a length above zero, "10ft", "18in" or "3m", in metres.
func Length(s string) (metres float64, err error) { return lengths.read(s) }

// Pressure reads a pressure above zero, "5psi" or "35kPa", in kilopascals.
func Pressure(s string) (kPa float64, err error) { return pressures.read(s) }

// PSI is a pressure in kilopascals as pounds to the square inch.
func PSI(kPa float64) float64 { return kPa / kPaPerPSI }

// Voltage reads a voltage above zero, "115kV" or "7200V", in kilovolts.
func Voltage(s string) (kV float64, err error) { return voltages.read(s) }

// Weight reads a weight above zero, "40000lb", "20tons" of 2000 lb or
// "18000kg", in kilograms.
func Weight(s string) (kg float64, err error) { return weights.read(s) }

// Area reads an area above zero, "0.1ac" or "0.05ha", in international acres.
func Area(s string) (acres float64, err error) { return areas.read(s) }

// StemDensity reads a number of stems above zero to an area, "300/ac" or
// "740/ha", in stems an acre.
func StemDensity(s string) (perAcre float64, err error) { return densities.read(s) }

func (k measure) read(s string) (float64, error) {
	s = strings.TrimSpace(s)
	for _, u := range k.units {
		number, ok := strings.CutSuffix(s, u.name)
		if !ok {
			continue
		}
		number = strings.TrimRight(number, " \t")
		v, err := strconv.ParseFloat(number, 64)
		if v *= u.size; err != nil || strings.Trim(number, "0123456789.") != "" || math.IsInf(v, 0) || !(v > 0) {
			return 0, k.refuse("%q is not "+k.name+" above zero", s)
		}
		return v, nil
	}
	return 0, k.refuse("%q is not "+k.name+" with a unit", s)
}

func (k measure) refuse(problem, s string) *Error {
	return &Error{fmt.Sprintf(problem, s), "write " + k.name + " with its unit, such as " + k.example}
}
