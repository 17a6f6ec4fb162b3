package site_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
)

// Some thick stems among thin ones keep no machine off: they are flagged. Where nobody
// says what is typical, or that is too thick too, they do.
func TestThickStemsAmongThinOnes(t *testing.T) {
	brush := site.Feature{Kind: site.Cover, Name: "Hedge", StemM: ft, TypicalM: ft / 3, TallM: 10 * ft}
	j := with(t, brush, 80, 40, 140, 60)
	m := j.mapped(t)
	assert.Equal(t, zoning.Works, m.why(loader, 100, 50))
	thick := m.hazards(zoning.ThickStems)
	require.Len(t, thick, 1)
	assert.Contains(t, thick[0].Words, "Hedge: some stems of up to 12 in; the track loader handles 8 in and may work 0.30 acres of it")
	assert.NotContains(t, thick[0].Words, "carrier", "it handles 12 in")
	words, err := j.Why(m.ZoneMap, j.spot(100.5, 50.5))
	require.NoError(t, err)
	assert.Contains(t, words[1+loader], "may work it; some stems of up to 12 in, and it handles 8 in")

	brush.TypicalM = 0
	m = with(t, brush, 80, 40, 140, 60).mapped(t)
	assert.Equal(t, zoning.TooMuchGrowth, m.why(loader, 100, 50))
	assert.Empty(t, m.hazards(zoning.ThickStems))
	brush.TypicalM = 0.75 * ft
	assert.Equal(t, zoning.TooMuchGrowth, with(t, brush, 80, 40, 140, 60).mapped(t).why(loader, 100, 50))
}
