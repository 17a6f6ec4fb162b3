package field_test

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/field"
	"github.com/acreband/acreband/zoning/field/fieldfile"
)

// A lot's name went into checks.csv as a formula; what comes back is the name again.
func TestChecksTableHoldsNoFormula(t *testing.T) {
	c := &field.Checks{Bands: []string{"a"}, Spots: []field.Spot{{ID: "S1", Lot: "=1+1", Band: "@a"}}}
	var b bytes.Buffer
	require.NoError(t, c.WriteCSV(&b))
	assert.Contains(t, b.String(), "S1,,,'=1+1,'@a,")
	rows, err := fieldfile.Table("f", b.Bytes(), strings.Split("id slope note lot zone", " "))
	require.NoError(t, err)
	require.Len(t, rows, 1)
	assert.Equal(t, []string{"S1", "=1+1", "@a"}, []string{rows[0].Get("id"), rows[0].Get("lot"), rows[0].Get("zone")})

	rows, err = fieldfile.Table("f", []byte("'=id,note\nx,'-2+3\ny,-12.5\nz,'quoted'\n"), []string{"=id", "note"})
	require.NoError(t, err)
	require.Len(t, rows, 3)
	assert.Equal(t, []string{"x", "-2+3"}, []string{rows[0].Get("=id"), rows[0].Get("note")})
	assert.Equal(t, []string{"-12.5", "'quoted'"}, []string{rows[1].Get("note"), rows[2].Get("note")})
}
