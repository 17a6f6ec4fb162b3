// Package units reads what people write with its unit: a length, a slope, a
// pressure, a weight, a voltage, an area, a number of stems an acre. A bare number is
// refused everywhere: 35deg is 70%, and 50 ft is not 50 m.
//
// A space before the unit is allowed; signs, exponents and thousands separators
// are not. What cannot be read is refused with an [*Error].
package units
