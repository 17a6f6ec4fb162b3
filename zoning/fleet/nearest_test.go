package fleet

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Insertions, deletions and changes of one sign, as textbooks count them.
func TestEditDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		d    int
	}{{"", "", 0}, {"kitten", "sitting", 3}, {"flaw", "lawn", 2}, {"", "abc", 3}, {"abc", "", 3}, {"abc", "c", 2}, {"c", "abc", 2}, {"ab", "ba", 2}, {"same", "same", 0}} {
		assert.Equal(t, c.d, editDistance(c.a, c.b), "%s %s", c.a, c.b)
	}
}

// A key is suggested that is a third of the word away, or begins as the word does; none
// that is farther.
func TestNearest(t *testing.T) {
	for _, c := range []struct {
		word  string
		known []string
		want  string
	}{
		{"abcdefxyz", []string{"abcdefghi"}, "abcdefghi"},
		{"abcdewxyz", []string{"abcdefghi"}, ""},
		{"ra", []string{"rated_max"}, ""},
		{"rat", []string{"rated_max"}, "rated_max"},
		{"limit_pct", []string{"limit"}, "limit"},
		{"RATED", []string{"rated_max", "rated"}, "rated"},
		{"Rated Max", []string{"rated", "rated_max"}, "rated_max"},
		{"rated-max", []string{"rated", "rated_max"}, "rated_max"},
		{"ab", []string{"cb", "ac"}, "cb"},
		{"xy", []string{"ab"}, "ab"},
		{"xy", []string{"abc"}, ""},
		{"limit_of_the_machine_across_a_slope_in_pct", []string{"limit"}, ""},
	} {
		assert.Equal(t, c.want, nearest(c.word, c.known), c.word)
	}
}

// An error names file and line as far as there are any.
func TestErrorText(t *testing.T) {
	for want, e := range map[string]Error{
		"f:3: wrong; mend it":    {File: "f", Line: 3, Problem: "wrong", Cure: "mend it"},
		"line 3: wrong; mend it": {Line: 3, Problem: "wrong", Cure: "mend it"},
		"f: wrong; mend it":      {File: "f", Problem: "wrong", Cure: "mend it"},
		"wrong; mend it":         {Problem: "wrong", Cure: "mend it"},
	} {
		assert.EqualError(t, &e, want)
	}
}
