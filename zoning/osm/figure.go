package osm

import (
	"math"
	"strconv"
	"strings"

	"github.com/acreband/acreband/zoning"
)

// noFigure are the words that stand where a figure would, and tell none.
var noFigure = map[string]bool{
	"": true, "none": true, "no": true, "default": true, "below_default": true, "unsigned": true, "unknown": true,
	"yes": true, "fixme": true, "implicit": true, "not_indicated": true, "no_indications": true,
}

// figure reads a figure with one of the units that may stand behind it, "" being the unit
// of bare numbers. It is 0 where none is told, and not ok where what stands there cannot be read.
func figure(text string, units map[string]float64) (v float64, ok bool) {
	text = strings.ToLower(strings.TrimSpace(text))
	if noFigure[text] {
		return 0, true
	}
	end := strings.LastIndexAny(text, "0123456789.") + 1
	size, known := units[strings.TrimSpace(text[end:])]
	n, good := number(text[:end])
	if v = n * size; !known || !good || !(v > 0) || math.IsInf(v, 0) {
		return 0, false
	}
	return v, true
}

// number reads a decimal number without sign or exponent.
func number(text string) (float64, bool) {
	if strings.Trim(text, "0123456789.") != "" {
		return 0, false
	}
	n, err := strconv.ParseFloat(text, 64)
	return n, err == nil
}

var (
	metres  = map[string]float64{"": 1, "m": 1, "ft": zoning.MetresPerFoot, "feet": zoning.MetresPerFoot, "in": inchM, "cm": 0.01, "km": 1000}
	tonnes  = map[string]float64{"": 1000, "t": 1000, "mt": 1000, "kg": 1, "st": 2000 * kgPerPound, "lt": 2240 * kgPerPound, "lb": kgPerPound, "lbs": kgPerPound}
	voltage = map[string]float64{"": 1e-3, "v": 1e-3, "kv": 1}
)

// Exact, by the international yard and pound (1959).
const (
	inchM      = zoning.MetresPerFoot / 12
	kgPerPound = 0.45359237
)

// length reads a length in meters: "3.5" is meters, and 12'6" feet and inches.
func length(text string) (m float64, ok bool) {
	whole, inches, has := strings.Cut(strings.NewReplacer("′", "'", "’", "'", "″", `"`, "”", `"`, "''", `"`).Replace(strings.TrimSpace(text)), "'")
	if !has {
		if in, isInches := strings.CutSuffix(whole, `"`); isInches {
			return figure(in+"in", metres)
		}
		return figure(whole, metres)
	}
	feet, good := number(strings.TrimSpace(whole))
	inch := 0.0
	if inches = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(inches), `"`)); good && inches != "" {
		inch, good = number(inches)
	}
	if m = feet*zoning.MetresPerFoot + inch*inchM; !good || !(m > 0) || math.IsInf(m, 0) {
		return 0, false
	}
	return m, true
}

// weight reads a weight in kilograms: a bare number is metric tons, "st" short ones.
func weight(text string) (kg float64, ok bool) { return figure(text, tonnes) }

// kilovolts reads the highest of voltages that are told with semicolons between, in volts
// where no unit is told; 0 where one of them cannot be read, for it may be the highest.
func kilovolts(text string) (kV float64, ok bool) {
	for part := range strings.SplitSeq(text, ";") {
		v, good := figure(part, voltage)
		if !good || v == 0 {
			return 0, good
		}
		kV = max(kV, v)
	}
	return kV, true
}
