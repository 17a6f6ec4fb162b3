package fleet_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/fleet"
)

// FuzzParse: no text makes Parse panic; what it accepts keeps the package's
// promises; what it refuses names a line of the text.
func FuzzParse(f *testing.F) {
	f.Add(fleet.DefaultYAML())
	f.Add([]byte("machines: [{key: a, name: A, limit: 45deg, basis: b, rated_max: 100%}]"))
	f.Add([]byte(one("limit: 60%", "tether_above: 40%", "tether: 200ft", "anchor: b", "tether_basis: p. 3", "basis: {limit: p. 4}", "pressure: 5psi") +
		"  - {key: b, name: B, limit: 50%, cross: 10%, wet_limit: 20%, swing_limit: 15%, reach: 20ft, reach_up: 45deg, patch: 0.1ha, work: selective}\n"))
	for _, c := range refusals {
		if len(c.text) < 1<<12 { // the fuzzer slows to nothing on long seeds
			f.Add([]byte(c.text))
		}
	}
	for _, c := range stillOnLine {
		f.Add([]byte(c.before))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		machines, err := fleet.Parse("f", text)
		if err == nil {
			assertInvariants(t, machines)
			return
		}
		assert.Empty(t, machines)
		var e *fleet.Error
		require.ErrorAs(t, err, &e)
		assert.Equal(t, "f", e.File)
		assert.NotEmpty(t, e.Problem)
		assert.NotEmpty(t, e.Cure)
		lines := 1
		for _, b := range text {
			if b == '\n' || b == '\r' {
				lines++
			}
		}
		assert.True(t, e.Line >= 1 && e.Line <= lines, "line %d of %d: %v", e.Line, lines, err)
	})
}

// FuzzParseSlope: what is accepted is a finite slope of zero or more.
func FuzzParseSlope(f *testing.F) {
	for _, s := range []string{"35%", "19.3deg", "35", "-1%", "nan%", "90deg", "89.9999999999deg", "1e5%"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		pct, err := fleet.ParseSlope(s)
		if err != nil {
			assert.Zero(t, pct)
			return
		}
		assert.True(t, pct >= 0 && pct-pct == 0, "%q is %g%%", s, pct)
	})
}

// FuzzParseQuantity: what is accepted is finite and above zero.
func FuzzParseQuantity(f *testing.F) {
	for _, s := range []string{"10ft", "18in", "3m", "5psi", "35 kPa", "0.1ac", "0.05ha", "3", "-1ft", "nanm", "1e9m", "0ha"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, parse := range []func(string) (float64, error){fleet.ParseLength, fleet.ParsePressure, fleet.ParseArea} {
			v, err := parse(s)
			if err != nil {
				assert.Zero(t, v)
				continue
			}
			assert.True(t, v > 0 && v-v == 0, "%q is %g", s, v)
		}
	})
}
