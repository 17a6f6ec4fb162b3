package progress_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/field/progress"
)

// A machine's key, or a day from a stranger's file, went into the table as a formula.
func TestTableHoldsNoFormula(t *testing.T) {
	r := &progress.Report{Shifts: []progress.Shift{{Day: "=1", Machine: "+a", Acres: 2, Cover: "@b"}}}
	var b bytes.Buffer
	require.NoError(t, r.WriteCSV(&b))
	assert.Contains(t, b.String(), "\n'=1,'+a,2.0000,,,0.0000,'@b\n")
}
