package measure

import (
	"fmt"
	"math"
)

// MetresPerFoot is the international foot, and MetresPerMile 5280 of them: exact (NIST SP 811).
const (
	MetresPerFoot = 0.3048
	MetresPerMile = 5280 * MetresPerFoot
)

// TenthsBelowM is from which length, in meters, a tenth of a meter is no longer told: a meter is
// three feet, and feet are told whole.
const TenthsBelowM = 30

// Feet is meters as the number that is told: feet, or meters.
func (u Units) Feet(m float64) float64 {
	if u.metric() {
		return m
	}
	return m / MetresPerFoot
}

// ShortLength is the sign of the unit of [Units.Feet]: "ft" or "m".
func (u Units) ShortLength() string { return u.Either("ft", "m") }

// Length writes meters: whole feet, or meters with a tenth where they are few.
func (u Units) Length(m float64) string {
	if !u.metric() {
		return fmt.Sprintf("%.0f ft", m/MetresPerFoot)
	}
	return fmt.Sprintf("%.*f m", decimals(m), m)
}

// AtLeast writes a distance to keep, in meters: as [Units.Length], and never less than it is once
// it is rounded to metric.
func (u Units) AtLeast(m float64) string {
	const rounding = 1e-9 // what is 3.1 m but for the last bit stays 3.1 m
	if !u.metric() {
		return fmt.Sprintf("%.0f ft", math.Ceil(m/MetresPerFoot-rounding))
	}
	d := decimals(m)
	tens := math.Pow(10, float64(d))
	return fmt.Sprintf("%.*f m", d, math.Ceil(m*tens-rounding)/tens)
}

// Size writes a length in meters with three figures: the width of a machine, a reach.
func (u Units) Size(m float64) string {
	return fmt.Sprintf("%.3g %s", u.Feet(m), u.ShortLength())
}

// Foot is what a foot is called where it is no more than a hand's measure: "a foot" or "0.3 m".
func (u Units) Foot() string { return u.Either("a foot", "0.3 m") }

// Height writes a step between heights, in meters to the centimeter, and in feet too for whoever
// works in those: elevation comes in either.
func (u Units) Height(m float64) string {
	if u.metric() {
		return fmt.Sprintf("%.2f m", m)
	}
	return fmt.Sprintf("%.2f m (%.1f ft)", m, m/MetresPerFoot)
}

// LengthOrLess writes meters as [Units.Length], and what that would write as none as less than
// its least.
func (u Units) LengthOrLess(m float64) string {
	least, words := MetresPerFoot, "1 ft"
	if u.metric() {
		least, words = 0.1, "0.1 m"
	}
	if m > 0 && m < least/2 {
		return "less than " + words
	}
	return u.Length(m)
}

// Stem writes the thickness of a stem, in meters: inches, or whole centimeters.
func (u Units) Stem(m float64) string {
	if u.metric() {
		return fmt.Sprintf("%.3g cm", 100*m)
	}
	return fmt.Sprintf("%.3g in", m/MetresPerFoot*12)
}

// Miles is meters as the number that is told of a long way: miles, or kilometers.
func (u Units) Miles(m float64) float64 {
	if u.metric() {
		return m / 1000
	}
	return m / MetresPerMile
}

// LongLengths is the word behind [Units.Miles]: "miles" or "km".
func (u Units) LongLengths() string { return u.Either("miles", "km") }

// ShortLongLength is its sign: "mi" or "km".
func (u Units) ShortLongLength() string { return u.Either("mi", "km") }

// LongLength writes meters of a long way, with three figures.
func (u Units) LongLength(m float64) string {
	return fmt.Sprintf("%.3g %s", u.Miles(m), u.LongLengths())
}

func decimals(m float64) int {
	if m != 0 && math.Abs(m) < TenthsBelowM {
		return 1
	}
	return 0
}

// Thickness writes a length in meters that may be short: whole inches below two feet, or
// centimeters below a meter, and three figures above.
func (u Units) Thickness(m float64) string {
	switch in := m / MetresPerFoot * 12; {
	case u.metric() && m < 1:
		return fmt.Sprintf("%.0f cm", 100*m)
	case !u.metric() && in < 24:
		return fmt.Sprintf("%.0f in", in)
	}
	return u.Size(m)
}

// Between writes a range of lengths in meters, rounded outward.
func (u Units) Between(lowM, highM float64) string {
	const hair = 0.05 // of a foot: what is measured so near to a whole one is one
	if !u.metric() {
		return fmt.Sprintf("%.0f to %.0f ft", math.Floor(lowM/MetresPerFoot+hair), math.Ceil(highM/MetresPerFoot-hair))
	}
	return fmt.Sprintf("%.1f to %.1f m", math.Floor(10*lowM+hair)/10, math.Ceil(10*highM-hair)/10)
}
