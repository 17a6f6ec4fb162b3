package osm

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Units as the map's wiki has them (Map features/Units): meters, metric tons and volts where none
// is told; 1 ft = 0.3048 m and 1 lb = 0.45359237 kg (international yard and pound, 1959).
func TestFiguresOfTheMap(t *testing.T) {
	for text, want := range map[string]float64{
		"3.5": 3.5, "3.5 m": 3.5, "7 ft": 2.1336, "7ft": 2.1336, "7'": 2.1336, `12'6"`: 3.81, `12' 6"`: 3.81, "12'6''": 3.81, "12′6″": 3.81, `90"`: 2.286,
		"250 cm": 2.5, "none": 0, "default": 0, "below_default": 0, "": 0, "unsigned": 0,
	} {
		got, ok := length(text)
		assert.True(t, ok, text)
		assert.InDelta(t, want, got, 1e-12, text)
	}
	for _, text := range []string{"-3", "3,5", "wide", "3 x", "1e3", "'6", "12'x", "0", "0'", "NaN", "Inf", "3;4", `x"`, "3.5 t"} {
		got, ok := length(text)
		assert.False(t, ok, text)
		assert.Zero(t, got, text)
	}
	for text, want := range map[string]float64{
		"3.5": 3500, "3.5 t": 3500, "15 st": 13607.7711, "40000 lbs": 18143.6948, "20 lt": 20320.9381, "900 kg": 900, "no": 0,
	} {
		got, ok := weight(text)
		assert.True(t, ok, text)
		assert.InDelta(t, want, got, 1e-4, text)
	}
	for text, want := range map[string]float64{"110000": 110, "20000;110000": 110, "115 kV": 115, "230": 0.23, "": 0} {
		got, ok := kilovolts(text)
		assert.True(t, ok, text)
		assert.InDelta(t, want, got, 1e-12, text)
	}
	// Of "110000;high" the one that cannot be read may be the higher.
	got, ok := kilovolts("110000;high")
	assert.False(t, ok)
	assert.Zero(t, got)
	got, ok = kilovolts("110000;unknown")
	assert.True(t, ok)
	assert.Zero(t, got)
}
