package sheet

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// In a browser the acres after a Hebrew name changed places with the number that ends it.
func TestHTMLKeepsFiguresInPlace(t *testing.T) {
	g, zm := namedMap(t, "חלקה 12")
	zm.Warnings = []string{"lot חלקה 12, 3.4 acres, reaches beyond the elevation"}
	var html bytes.Buffer
	require.NoError(t, (&Page{Map: zm, Grid: g}).WriteHTML(&html))
	assert.Contains(t, html.String(), "lot חלקה \u200E12, 3.4 acres, reaches")
	assert.NotContains(t, html.String(), "חלקה 12, 3.4")
	assert.Contains(t, html.String(), "\u2067חלקה 12\u2069", "a name by itself runs to the left")
}
