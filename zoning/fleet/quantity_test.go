package fleet

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning"
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

// NIST Special Publication 811, appendix B.8: 1 psi = 6.894 757 kPa. The tables'
// 35 kPa is 5.08 psi.
func TestParsePressure(t *testing.T) {
	for s, want := range map[string]float64{"1psi": 6.894757, "5 psi": 34.473785, "35kPa": 35, "5.08psi": 35.0254} {
		got, err := ParsePressure(s)
		assert.NoError(t, err, s)
		assert.InDelta(t, want, got, 1e-4, s)
	}
	for _, s := range []string{"", "5", "psi", "0psi", "-5psi", "5Pa", "5bar", "5kpa", "5e1psi", "infpsi"} {
		_, err := ParsePressure(s)
		assert.ErrorContains(t, err, "write a pressure with its unit, such as 5psi or 35kPa", s)
	}
}

// NIST Special Publication 811, appendix B.8, to the digits of the international
// foot: 1 ha = 2.471 053 8 acres.
func TestParseArea(t *testing.T) {
	for s, want := range map[string]float64{"0.1ac": 0.1, "1ha": 2.4710538, "0.05 ha": 0.12355269} {
		got, err := ParseArea(s)
		assert.NoError(t, err, s)
		assert.InDelta(t, want, got, 5e-8, s)
	}
	for _, s := range []string{"", "1", "ac", "0ha", "-1ac", "1acre", "1 m2", "NaNac"} {
		_, err := ParseArea(s)
		assert.ErrorContains(t, err, "write an area with its unit, such as 0.1ac or 0.05ha", s)
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
	_, err = Parse("f.yaml", []byte(head+"    footprint: 10in\n"))
	assert.ErrorContains(t, err, "f.yaml:6: footprint 10in is below 2ft")
}

// A bound that could not be read would bound nothing.
func TestBoundsAreRead(t *testing.T) {
	for _, k := range keysOf(&zoning.Machine{}) {
		q, ok := k.value.(amount)
		if !ok {
			continue
		}
		least, err := q.parse(q.spec.Least)
		assert.NoError(t, err, k.name)
		most, err := q.parse(q.spec.Most)
		assert.NoError(t, err, k.name)
		assert.Less(t, least, most, k.name)
		assert.NoError(t, q.read(q.spec.Least), k.name)
		assert.NoError(t, q.read(q.spec.Most), k.name)
	}
}
