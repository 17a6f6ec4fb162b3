package fleet

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestParseLength(t *testing.T) {
	for s, want := range map[string]float64{"3m": 3, "10ft": 3.048, "10 ft": 3.048, "18in": 0.4572, " 0.5 m ": 0.5} {
		got, err := ParseLength(s)
		assert.NoError(t, err, s)
		assert.InDelta(t, want, got, 1e-12, s)
	}
	for _, s := range []string{"", "3", "ft", "-3m", "0ft", "3yd", "1e9m", "NaNm", "3 m m", "3'"} {
		_, err := ParseLength(s)
		assert.ErrorContains(t, err, "write a length with its unit, such as 10ft, 18in or 3m", s)
	}
}

func TestLengthsOfAMachine(t *testing.T) {
	const head = "machines:\n  - key: a\n    name: A\n    limit: 30%\n    basis: b\n"
	m, err := Parse("f.yaml", []byte(head+"    footprint: 10ft\n    step: 18in\n    roughness: 6in\n"))
	assert.NoError(t, err)
	assert.InDelta(t, 3.048, m[0].FootprintM, 1e-12)
	assert.InDelta(t, 0.4572, m[0].StepM, 1e-12)
	assert.InDelta(t, 0.1524, m[0].RoughM, 1e-12)
	_, err = Parse("f.yaml", []byte(head+"    step: 18\n"))
	assert.EqualError(t, err, `f.yaml:6: step "18" is not a length with a unit; write a length with its unit, such as 10ft, 18in or 3m`)
	_, err = Parse("f.yaml", []byte(head+"    footprint: 60ft\n"))
	assert.ErrorContains(t, err, "f.yaml:6: footprint 60ft is above 50ft")
}
