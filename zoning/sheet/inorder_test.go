package sheet

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
)

// On the maps of HTML too a lot goes by its number where a letter cannot be drawn, never by
// an empty box, and the lists tell whose number it is.
func TestHTMLMapsHaveNumbersForLettersThatAreMissing(t *testing.T) {
	g, zm := namedMap(t, "松🌲")
	var html bytes.Buffer
	require.NoError(t, (&Page{Map: zm, Grid: g}).WriteHTML(&html))
	assert.Contains(t, html.String(), ">#7</text>")
	assert.NotContains(t, html.String(), ">松🌲</text>")
	assert.Contains(t, html.String(), "Lots by number")
	overview := overviewPageOf(t, []OverviewLot{
		{LotMap: zoning.LotMap{Lot: "松🌲", Place: 7, Acres: 9, Zones: zm.Lots[0].Zones[:1]}, Outline: squareAt(-84, 36, side)},
		{LotMap: zoning.LotMap{Lot: "חלקה", Place: 8, Acres: 9, Zones: zm.Lots[0].Zones[:1]}, Outline: squareAt(-84, 36.01, side)},
	})
	assert.Contains(t, overview, ">#7</text>")
	assert.Contains(t, overview, "松🌲 (#7)")
	assert.Contains(t, overview, ">חלקה</text>")
	assert.Contains(t, overview, "\u2067חלקה\u2069")
}

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
