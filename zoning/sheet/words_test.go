package sheet

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
)

func TestAcresAndShares(t *testing.T) {
	one, many := totals{lots: 1, acres: 2000}, totals{lots: 2, acres: 2000}
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
	assert.Equal(t, "35.4%", limitText(35.44))
	assert.Equal(t, "36.4%", limitText(100*math.Tan(20*math.Pi/180)))
	assert.Equal(t, "7.0%", slopeText(7))
	assert.Equal(t, "-", slopeText(math.NaN()))
}

func TestNames(t *testing.T) {
	zm := &zoning.ZoneMap{Lots: []zoning.LotMap{{Lot: " Tarn\nHollow\t"}}}
	assert.Equal(t, "Tarn Hollow", nameOf(zm))
	zm.Lots[0].Lot = ""
	assert.Equal(t, "Parcel", nameOf(zm))
	zm.Lots = make([]zoning.LotMap, 1660)
	assert.Equal(t, "1,660 lots", nameOf(zm))
}

func TestElevationText(t *testing.T) {
	s := terrain.Source{CellM: [2]float64{1, 0.98}, Unit: "m", UnitFrom: "assumed"}
	assert.Equal(t, "cells 1.0 × 1.0 m, heights in metres (assumed)", elevationText([]terrain.Source{s}))
	s.Unit, s.UnitFrom = "us-ft", "--elevation-unit"
	assert.Equal(t, "cells 1.0 × 1.0 m, heights in US survey feet (--elevation-unit)", elevationText([]terrain.Source{s}))
	o := terrain.Source{CellM: [2]float64{10.3, 7.9}, Unit: "m", UnitFrom: "vertical CRS"}
	assert.Equal(t, "1.0 to 10.3 m cells, heights in US survey feet (--elevation-unit); heights in metres (vertical CRS)",
		elevationText([]terrain.Source{s, o}))
	assert.Equal(t, "heights in m, source not named", elevationText(nil))
}

func TestTextIsShortenedAndFolded(t *testing.T) {
	l, err := newLetters()
	require.NoError(t, err)
	const long = "a long line of words that goes on for quite some time without an end"
	short := l.fitted(bodyStyle, long, 150)
	assert.LessOrEqual(t, l.width(bodyStyle, short), 150)
	assert.Greater(t, l.width(bodyStyle, short), 110, "no more is cut off than must be")
	assert.Contains(t, short, "…")
	assert.Equal(t, "a long", l.fitted(bodyStyle, "a long", 150))
	assert.Equal(t, "…", l.fitted(bodyStyle, long, 3))

	lines := l.folded(bodyStyle, long, 150, 9)
	for _, line := range lines {
		assert.LessOrEqual(t, l.width(bodyStyle, line), 150)
		assert.NotContains(t, line, "…")
	}
	assert.Len(t, l.folded(bodyStyle, long, 150, 2), 2)
	assert.Contains(t, l.folded(bodyStyle, long, 150, 2)[1], "…")
	assert.Empty(t, l.folded(bodyStyle, " ", 150, 2))
}
