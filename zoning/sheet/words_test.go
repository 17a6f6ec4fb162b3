package sheet

import (
	"math"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/text"
)

func TestAcresAndShares(t *testing.T) {
	one, many := totals{lots: 1, decimals: 1, acres: 2000}, totals{lots: 2, decimals: 2, acres: 2000}
	assert.Equal(t, "0.0", one.acresText(0))
	assert.Equal(t, "<0.1", one.acresText(0.04), "a little is not none")
	assert.Equal(t, "0.1", one.acresText(0.06))
	assert.Equal(t, "1,234,567.9", one.acresText(1234567.89))
	assert.Equal(t, "999.96", many.acresText(999.956))
	assert.Equal(t, "<0.01", many.acresText(0.004))
	assert.Equal(t, "0%", one.shareText(0))
	assert.Equal(t, "<1%", one.shareText(9))
	assert.Equal(t, "50%", one.shareText(1000))
	assert.Equal(t, ">99%", one.shareText(1999))
	assert.Equal(t, "100%", one.shareText(2000))
	assert.Equal(t, "0%", totals{}.shareText(0))
}

func TestSlopesCarryTheirUnit(t *testing.T) {
	assert.Equal(t, "30%", limitText(30))
	assert.Equal(t, "35.44%", limitText(35.44))
	assert.Equal(t, "36.397%", limitText(100*math.Tan(20*math.Pi/180))) // 36.39702
	assert.Equal(t, "100%", limitText(100))
	// One decimal made 0.01% none, and two limits the same.
	assert.Equal(t, "0.01%", limitText(0.01))
	assert.Equal(t, "20.01%", limitText(20.01))
	assert.Equal(t, "20.03%", limitText(20.03))
	assert.Equal(t, "0.0001%", limitText(0.00005001))
	assert.Equal(t, "<0.0001%", limitText(0.00004))
	assert.Equal(t, "7.0%", slopeText(7))
	assert.Equal(t, "-", slopeText(math.NaN()))
}

func TestNames(t *testing.T) {
	zm := &zoning.ZoneMap{Lots: []zoning.LotMap{{Lot: " Tarn\nHollow\t"}}}
	assert.Equal(t, "Tarn Hollow", Name(zm))
	zm.Lots[0].Lot = ""
	assert.Equal(t, "Parcel", Name(zm))
	zm.Lots = make([]zoning.LotMap, 1660)
	assert.Equal(t, "1,660 lots", Name(zm))
}

// A lot named after an escape sequence turned a terminal red; a right-to-left
// override turned its line round.
func TestControlCharactersGo(t *testing.T) {
	const bad = "A\x1b[31mred\x07\u009b2J\u202elot\u200b\x00\xff\u2028end\r\n"
	assert.Equal(t, "A [31mred 2Jlot end", text.OneLine(bad))

	g, zm := scenes()["lots"].mapped(t)
	zm.Lots = zm.Lots[:2]
	for i := range zm.Lots {
		zm.Lots[i].Lot = bad
		zm.Lots[i].Notes = []string{bad}
	}
	zm.Fleet = append([]zoning.Machine(nil), zm.Fleet...)
	m := &zm.Fleet[0]
	m.Key, m.Name, m.Basis, m.Caution = bad, bad, bad, bad
	zm.Sources[0].Path, zm.Sources[0].UnitFrom = bad, bad
	zm.Scale, zm.Boundary = bad, bad
	zm.Error = zoning.ElevationError{SigmaM: 0.1, From: bad}
	zm.Assumed, zm.Warnings, zm.Cautions = []string{bad}, []string{bad}, []string{bad}

	var table strings.Builder
	require.NoError(t, Table(&table, zm))
	pg, v := placed(t, g, zm)
	pg.labels(v, zm.Lots, outlinesOf(zm))
	require.Len(t, pg.names, 2)
	one, _ := placed(t, g, &zoning.ZoneMap{Fleet: zm.Fleet, Lots: zm.Lots[:1]})
	for _, words := range []string{table.String(), pg.words(), one.words()} {
		assert.True(t, utf8.ValidString(words))
		assert.Contains(t, words, "A [31mred 2Jlot end")
		for _, r := range words {
			if r != '\n' {
				assert.False(t, unicode.IsControl(r) || unicode.Is(unicode.Cf, r), "%U", r)
			}
		}
	}
}

func TestElevationText(t *testing.T) {
	s := terrain.Source{CellM: [2]float64{1, 0.98}, Unit: "m", UnitFrom: "assumed"}
	assert.Equal(t, "cells 1.0 × 1.0 m, heights in meters (assumed)", elevationText([]terrain.Source{s}))
	s.Unit, s.UnitFrom = "us-ft", "--elevation-unit"
	assert.Equal(t, "cells 1.0 × 1.0 m, heights in US survey feet (--elevation-unit)", elevationText([]terrain.Source{s}))
	o := terrain.Source{CellM: [2]float64{10.3, 7.9}, Unit: "m", UnitFrom: "vertical CRS"}
	assert.Equal(t, "1.0 to 10.3 m cells, heights in US survey feet (--elevation-unit); heights in meters (vertical CRS)",
		elevationText([]terrain.Source{s, o}))
	assert.Equal(t, "heights in m, source not named", elevationText(nil))
}

func TestTextIsShortenedAndFolded(t *testing.T) {
	const long = "a long line of words that goes on for quite some time without an end"
	short := bodyStyle.fitted(long, 150)
	assert.LessOrEqual(t, bodyStyle.width(short), 150)
	assert.Greater(t, bodyStyle.width(short), 110, "no more is cut off than must be")
	assert.Contains(t, short, "…")
	assert.Equal(t, "a long", bodyStyle.fitted("a long", 150))
	assert.Equal(t, "…", bodyStyle.fitted(long, 3))

	lines := bodyStyle.folded(long, 150)
	for _, line := range lines {
		assert.LessOrEqual(t, bodyStyle.width(line), 150)
	}
	assert.Equal(t, long, strings.Join(lines, " "))
	assert.Empty(t, bodyStyle.folded(" ", 150))

	// A file name without a space was cut off with an ellipsis.
	name := strings.Repeat("höhen_2026", 12) + ".tif"
	lines = bodyStyle.folded(name, 150)
	for _, line := range lines {
		assert.LessOrEqual(t, bodyStyle.width(line), 150)
	}
	assert.Equal(t, name, strings.Join(lines, ""))
	assert.Equal(t, []string{"ö", "h"}, bodyStyle.folded("öh", 1), "no room: a letter a line, and an end")
}
