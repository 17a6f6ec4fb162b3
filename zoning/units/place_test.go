package units

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A spot copied from the program's own answer was refused: its letters were not read, and
// latitude came first.
func TestPlaceReadsWhatIsPrinted(t *testing.T) {
	hollow := orb.Point{-84.2455, 36.342}
	for _, text := range []string{
		"36.3420 N, 84.2455 W", "36.342N 84.2455W", "36.342° N, 84.2455° W", "84.2455 W, 36.342 N",
		" 36.342 n,84.2455 w ", "36.342N,84.2455W",
	} {
		p, err := ParsePlace(text)
		require.NoError(t, err, text)
		assert.Equal(t, Place{hollow}, p, text)
	}
	south, err := ParsePlace("33.8 S, 151.2 E")
	require.NoError(t, err)
	assert.Equal(t, Place{{151.2, -33.8}}, south)
}

// Two bare numbers are longitude first or latitude first; a number above 90 decides, and
// else where the parcel lies.
func TestPlaceOfBareNumbers(t *testing.T) {
	for text, want := range map[string]Place{
		"-120.82101,35.92623":  {{-120.82101, 35.92623}},
		"35.92623,-120.82101":  {{-120.82101, 35.92623}},
		"35.92623, -120.82101": {{-120.82101, 35.92623}},
		"-84.2455,36.342":      {{-84.2455, 36.342}, {36.342, -84.2455}},
		"36.342 -84.2455":      {{36.342, -84.2455}, {-84.2455, 36.342}},
		"7,7":                  {{7, 7}},
	} {
		p, err := ParsePlace(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, p, text)
	}
	parcel := orb.Bound{Min: orb.Point{-84.25, 36.33}, Max: orb.Point{-84.23, 36.35}}
	for _, text := range []string{"-84.2455,36.342", "36.342,-84.2455", "36.342 N, 84.2455 W"} {
		p, err := ParsePlace(text)
		require.NoError(t, err)
		assert.Equal(t, orb.Point{-84.2455, 36.342}, p.Near(parcel), text)
	}
	p, err := ParsePlace("-84.2455,36.342")
	require.NoError(t, err)
	assert.Equal(t, orb.Point{-84.2455, 36.342}, p.Near(orb.Bound{Min: orb.Point{1, 1}, Max: orb.Point{-1, -1}}), "with no parcel, longitude first")
}

// What is no place on earth, or says one axis twice, is refused with the forms that are read.
func TestPlaceRefused(t *testing.T) {
	for _, text := range []string{"", "here", "36.3", "91 N, 84 W", "36 N, 84 S", "200,100", "36.3 N, 84.2", "36.3 N, -84.2 W", "NaN,3", "1,2,3", "95,-95"} {
		_, err := ParsePlace(text)
		assert.ErrorContains(t, err, "36.3420 N, 84.2455 W", text)
	}
}
