package zoning

import (
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A number that is a field of a machine and no row of the table would be read, checked and
// compared by nothing.
func TestEveryNumberOfAMachineHasARow(t *testing.T) {
	var m Machine
	for i, s := range specs {
		*s.Of(&m) = float64(i + 1)
	}
	var walk func(name string, v reflect.Value)
	seen := map[float64]string{}
	walk = func(name string, v reflect.Value) {
		switch v.Kind() {
		case reflect.Struct:
			for i := range v.NumField() {
				walk(name+"."+v.Type().Field(i).Name, v.Field(i))
			}
		case reflect.Float64:
			assert.NotZero(t, v.Float(), "%s has no row", name)
			seen[v.Float()] = name
		}
	}
	walk("Machine", reflect.ValueOf(m))
	assert.Len(t, seen, len(specs), "each row has a field of its own")
}

// Of two machines the one with the laxer number is left more ground; a number that is left
// out counts as what stands in its place.
func TestLaxerNumbers(t *testing.T) {
	for _, c := range []struct {
		key     Limit
		o, m    float64
		is, not bool // o as lax as m, m as lax as o
	}{
		{"step", 0, 0.5, true, false},
		{"step", 0.5, 0.4, true, false},
		{"reach", 0, 5, false, true},
		{"footprint", 0, 4, true, false},
		{"footprint", 0, 2, false, true},
		{"run", 0, 50, true, false},
		{"crest", 0, 4, true, false}, // its footprint of 3 m
		{"crest", 0, 2, false, true},
		{"width", 2, 3, true, false},
		{"pressure", 0, 40, false, true},
		{"pressure", 30, 40, true, false},
		{"thrown", 1, 2, true, true},
		{ProcedureAbove, 1, 2, true, true},
	} {
		s, known := SpecOf(c.key)
		assert.True(t, known, c.key)
		var o, m Machine
		*s.Of(&o), *s.Of(&m) = c.o, c.m
		assert.Equal(t, c.is, s.AsLax(o, m), "%s of %g as of %g", c.key, c.o, c.m)
		assert.Equal(t, c.not, s.AsLax(m, o), "%s of %g as of %g", c.key, c.m, c.o)
	}
	_, known := SpecOf("wings")
	assert.False(t, known)
}
