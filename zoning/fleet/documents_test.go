package fleet_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/fleet"
)

// Comments are no part of what is counted, nor is a document without anything in it.
func TestWhatDoesNotCount(t *testing.T) {
	const one = "machines: [{key: a, name: A, limit: 30%}]\n"
	for name, text := range map[string]string{
		"comments":          strings.Repeat("# a line of prose\n", 9000) + one,
		"an empty document": "---\n" + one + "---\n",
		"a mark":            "\ufeff" + one,
	} {
		machines, err := fleet.Parse("f", []byte(text))
		require.NoError(t, err, name)
		assert.Len(t, machines, 1, name)
	}
	_, err := fleet.Parse("f", []byte(one+"\x00\n"))
	assert.EqualError(t, err, "f:2: the text is not UTF-8; save the file as plain text in UTF-8")
}
