package fleet

import (
	"errors"

	"github.com/acreband/acreband/zoning/units"
)

// ParseLength reads a length as [units.Length] does. It refuses with an
// [*Error] that has no file and no line.
func ParseLength(s string) (metres float64, err error) { return told(units.Length(s)) }

// ParseSlope reads a slope as [units.Slope] does. It refuses with an [*Error]
// that has no file and no line.
func ParseSlope(s string) (pct float64, err error) { return told(units.Slope(s)) }

// ParsePressure reads a pressure on the ground as [units.Pressure] does. It
// refuses with an [*Error] that has no file and no line.
func ParsePressure(s string) (kPa float64, err error) { return told(units.Pressure(s)) }

// ParseArea reads an area as [units.Area] does. It refuses with an [*Error]
// that has no file and no line.
func ParseArea(s string) (acres float64, err error) { return told(units.Area(s)) }

// ParseWeight reads a weight as [units.Weight] does. It refuses with an [*Error]
// that has no file and no line.
func ParseWeight(s string) (kg float64, err error) { return told(units.Weight(s)) }

// told puts what is wrong with a quantity as the trouble of a fleet file.
func told(v float64, err error) (float64, error) {
	var bad *units.Error
	if errors.As(err, &bad) {
		return 0, &Error{Problem: bad.Problem, Cure: bad.Cure}
	}
	return v, err
}
