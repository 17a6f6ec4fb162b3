package measure

import (
	"fmt"
)

// Exact (NIST SP 811): the international pound, and that of force over a square inch.
const (
	KgPerPound = 0.45359237
	kPaPerPSI  = KgPerPound * 9.80665 / (MetresPerFoot / 12 * MetresPerFoot / 12) / 1000
)

// Pounds is kilograms as the number that is told: pounds, or kilograms.
func (u Units) Pounds(kg float64) float64 {
	if u.metric() {
		return kg
	}
	return kg / KgPerPound
}

// ShortWeight is the sign of the unit of [Units.Pounds]: "lb" or "kg".
func (u Units) ShortWeight() string { return u.Either("lb", "kg") }

// Pressure writes kilopascals: in pounds to the square inch with these in brackets, or alone.
func (u Units) Pressure(kPa float64) string {
	if u.metric() {
		return fmt.Sprintf("%.0f kPa", kPa)
	}
	return fmt.Sprintf("%.1f psi (%.0f kPa)", kPa/kPaPerPSI, kPa)
}
