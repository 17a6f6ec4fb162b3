package slope

import "math"

// must is a value that comes without an error.
func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// degreesOfPct is the angle of a slope in percent.
func degreesOfPct(pct float64) float64 { return math.Atan(pct/100) * 180 / math.Pi }
