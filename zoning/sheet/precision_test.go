package sheet

import (
	"bytes"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
)

// The sheet told tenths of an acre from cells of a tenth of an acre.
func TestCoarseCellsTellWholeAcres(t *testing.T) {
	g, zm := scene{40, 40, 75, hills, threeMachines(), []zoning.Parcel{box("Far Tract", -600, -600, 600, 600)}}.mapped(t)
	tt := totalsOf(zm)
	assert.Equal(t, 0, tt.decimals)
	assert.Equal(t, "353", tt.acresText(tt.acres), "1,200 m squared, 0.67% less where degreeM overstates a degree of latitude")
	p := &Page{Map: zm, Grid: g}
	paper := pdfText(t, written(t, p.WritePDF))
	var table bytes.Buffer
	require.NoError(t, Table(&table, zm))
	for name, words := range map[string]string{"sheet": paper, "table": table.String()} {
		assert.NotRegexp(t, regexp.MustCompile(`\d\.\d+ ac`), words, name)
		assert.Contains(t, words, "elevation's cells carry no tenth", name)
	}
	assert.Contains(t, table.String(), "Far Tract, "+tt.acresText(tt.acres)+" acres")
}

// Acres of fine cells keep their tenth, and nothing is said of it.
func TestFineCellsTellTenths(t *testing.T) {
	_, zm := scenes()["hills"].mapped(t)
	tt := totalsOf(zm)
	assert.Equal(t, 1, tt.decimals)
	assert.Regexp(t, `^\d+\.\d$`, tt.acresText(tt.acres))
	assert.Empty(t, tt.roundedText())
}
