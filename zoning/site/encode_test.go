package site

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A rule's steps are not exported: written field by field it would ask for no width at all
// in the process that reads it.
func TestSetbacksGoThroughPipesWhole(t *testing.T) {
	all := []Setback{{}, {WidthM: 15.24}}
	for _, r := range Rules() {
		all = append(all, Setback{Rule: &r})
	}
	for _, want := range all {
		text, err := want.MarshalBinary()
		require.NoError(t, err)
		var got Setback
		require.NoError(t, got.UnmarshalBinary(text))
		assert.Equal(t, want, got)
		if want.Rule != nil {
			assert.Equal(t, want.Rule.WidthM(30), got.Rule.WidthM(30))
			assert.Positive(t, got.Rule.WidthM(30))
		}
	}
	assert.ErrorContains(t, new(Setback).UnmarshalBinary([]byte("12345678no-rule")), `rule "no-rule" that is not known`)
	assert.Error(t, new(Setback).UnmarshalBinary([]byte("1234")))
}
