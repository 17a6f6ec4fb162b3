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
