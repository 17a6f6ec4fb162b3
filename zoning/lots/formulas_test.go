package lots

import (
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/text"
)

// Names of lots from strangers' files stood in the tables as they were, and a spreadsheet
// ran them.
func TestNamesOfLotsAreNoFormulas(t *testing.T) {
	names := []string{`=HYPERLINK("http://x","lot")`, "+1+1", "@SUM(1)", "-2+3+cmd|' /C calc'!A0", "\ufeff=1", "\u200b=1", "|cmd"}
	c := config(t)
	c.Job.Options.SlopeOnly, c.Job.Options.WaterIsGround = true, true
	c.Outputs = Outputs{Table: true, Failed: true, Plan: true, Book: plan.Default(), Cover: plan.Medium}
	var lots []made
	for i, name := range names {
		x := 10 + 40*float64(i)
		lots = append(lots, rectangle(name, x, 10, x+30, 40))
	}
	off := rectangle("=off", 10, 10, 40, 40)
	for i := range off.ring {
		off.ring[i][0] += 1e6
	}
	writeLots(t, c.Job.Parcels, append(lots, off))
	_, out := ran(t, c)
	failed := rowsOf(t, out["failed.csv"])
	require.Equal(t, "'=off", failed[1][0])
	for file, column := range map[string]int{"lots.csv": 0, "failed.csv": 0, "plan.csv": 2} {
		seen := 0
		for _, row := range rowsOf(t, out[file])[1:] {
			for _, cell := range row {
				require.Equal(t, cell, text.Guarded(text.Unguarded(cell)), "%s: %q", file, cell)
			}
			if row[column][0] == '\'' {
				seen++
				require.Contains(t, append(names, "=off"), text.Unguarded(row[column]))
			}
		}
		require.Positive(t, seen, file)
	}
	require.Len(t, rowsOf(t, out["lots.csv"]), 1+len(names)+1)
}
