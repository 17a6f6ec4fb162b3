package text

import (
	"math"
	"strconv"
	"strings"
)

// Acres writes acres with so many decimals. Ground too small to show is not written as none.
func Acres(acres float64, decimals int) string {
	least := math.Pow(10, -float64(decimals))
	if acres > 0 && acres < least/2 {
		return "<" + strconv.FormatFloat(least, 'f', decimals, 64)
	}
	return Grouped(acres, decimals)
}

// Share writes a part of an acreage in whole percent.
func Share(acres, of float64) string {
	pct := 100 * acres / of
	switch {
	case !(acres > 0) || pct != pct:
		return "0%"
	case pct < 0.5:
		return "<1%"
	case pct > 99.5 && acres < of*(1-1e-9):
		return ">99%"
	}
	return strconv.FormatFloat(pct, 'f', 0, 64) + "%"
}

// LimitPct writes a limit in percent with the decimals that it has, at most
// four: a smaller limit is not written as none.
func LimitPct(pct float64) string {
	if pct > 0 && pct < 0.5e-4 {
		return "<0.0001%"
	}
	return strings.TrimRight(strings.TrimRight(strconv.FormatFloat(pct, 'f', 4, 64), "0"), ".") + "%"
}

// SlopePct writes a measured slope in percent.
func SlopePct(pct float64) string {
	if pct != pct {
		return "-"
	}
	return strconv.FormatFloat(pct, 'f', 1, 64) + "%"
}

// Grouped writes a number with commas between thousands.
func Grouped(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	whole, rest, _ := strings.Cut(s, ".")
	for i := len(whole) - 3; i > 0 && whole[i-1] != '-'; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	if rest == "" {
		return whole
	}
	return whole + "." + rest
}

// Days is a count of days, a half as .5: "2.5", "3".
func Days(days float64) string {
	return strings.TrimSuffix(strconv.FormatFloat(days, 'f', 1, 64), ".0")
}

// WorkingDays says how many days of work: "1 working day", "2.5 working days".
func WorkingDays(days float64) string {
	if days == 1 {
		return "1 working day"
	}
	return Days(days) + " working days"
}
