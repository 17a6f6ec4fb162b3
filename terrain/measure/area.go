package measure

import "fmt"

// AcresPerHectare is 10,000 m² over the international acre of 4046.8564224 m², 43,560 square
// feet of 0.3048 m (NIST SP 811, appendix B; NIST Handbook 44, appendix C).
const AcresPerHectare = 1e4 / 4046.8564224

// Area is acres as the number that is told: acres, or hectares.
func (u Units) Area(acres float64) float64 {
	if u.metric() {
		return acres / AcresPerHectare
	}
	return acres
}

// Acres is what [Units.Area] was told of: acres again.
func (u Units) Acres(area float64) float64 {
	if u.metric() {
		return area * AcresPerHectare
	}
	return area
}

// PerArea is a figure for each acre, such as a price or a number of stems, as that for each acre or
// hectare.
func (u Units) PerArea(perAcre float64) float64 {
	if u.metric() {
		return perAcre * AcresPerHectare
	}
	return perAcre
}

// Areas is the word behind an area: "acres" or "hectares". It is what a property of files is
// named for, too.
func (u Units) Areas() string { return u.Either("acres", "hectares") }

// OneArea is the word for one: "acre" or "hectare".
func (u Units) OneArea() string { return u.Either("acre", "hectare") }

// AnArea is "an acre" or "a hectare".
func (u Units) AnArea() string { return u.Either("an acre", "a hectare") }

// ShortArea is the sign of the unit: "ac" or "ha".
func (u Units) ShortArea() string { return u.Either("ac", "ha") }

// AreaText writes acres with so many decimals and the word behind them, "1.25 acres".
func (u Units) AreaText(acres float64, decimals int) string {
	return fmt.Sprintf("%.*f %s", u.Decimals(decimals), u.Area(acres), u.Areas())
}

// Decimals is how many decimals an area has that has so many in acres: where there are any a
// hectare, being larger, has one more.
func (u Units) Decimals(ofAcres int) int {
	if u.metric() && ofAcres > 0 {
		return ofAcres + 1
	}
	return ofAcres
}
