package lots

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/read"
)

// What was repaired stood in words alone, and half of a bow-tie as nothing changed.
func TestRepairedAndRefusedLotsAreCounted(t *testing.T) {
	c := config(t)
	lots := squares(4, groundCells, 40)
	r := lots[1].ring
	r[1], r[2] = r[2], r[1] // a bow-tie
	// A pocket of 4 × 1 m that the boundary goes round twice, of some 1604 m².
	x, y := lots[2].ring[0][0], lots[2].ring[0][1]
	lots[2].ring = [][2]float64{{x, y}, {x + 40, y}, {x + 40, y + 40}, {x + 20, y + 40}, {x + 20, y + 39}, {x + 24, y + 39}, {x + 24, y + 41}, {x, y + 41}, {x, y}}
	writeLots(t, c.Job.Parcels, lots)
	made, out := ran(t, c)
	assert.Equal(t, 1, made.Repairs.Done)
	assert.Equal(t, 1, made.Repairs.Refused)
	assert.InDelta(t, 100*4/1624.0, made.Repairs.MostPct, 2e-3)
	assert.Equal(t, "1 lot was repaired, which changed at most "+changedText(made.Repairs.MostPct)+"% of one; 1 lot was refused, whose repair would change more than is allowed (repair)", made.Repairs.Words())
	cells := map[string][2]string{}
	rows := rowsOf(t, out["lots.csv"])
	for _, row := range rows[1:] {
		cells[row[0]] = [2]string{row[len(row)-4], row[len(row)-3]}
	}
	assert.Equal(t, []string{"repaired", "changed_pct"}, rows[0][len(rows[0])-4:len(rows[0])-2])
	assert.Equal(t, [2]string{}, cells[lots[0].name])
	assert.Equal(t, "refused", cells[lots[1].name][0])
	assert.Equal(t, [2]string{"yes", changedText(made.Repairs.MostPct)}, cells[lots[2].name])
	failed := rowsOf(t, out["failed.csv"])
	require.Len(t, failed, 2)
	assert.Equal(t, []string{"lot", "reason", "hint", "feature_no", "repaired", "changed_pct"}, failed[0])
	assert.Equal(t, []string{"2", "refused", cells[lots[1].name][1]}, failed[1][3:])

	c.Dir, c.Job.ParcelOptions.Repair = t.TempDir(), read.MostRepair
	made, _ = ran(t, c)
	assert.Equal(t, 0, made.Failed)
	assert.Equal(t, 2, made.Repairs.Done)
}

func TestWhatChangesALittleIsNotNone(t *testing.T) {
	for pct, want := range map[float64]string{0: "0", 1e-9: "0", 0.00001: "0.0001", 0.5: "0.5", 50: "50", 1.23456: "1.2346"} {
		assert.Equal(t, want, changedText(pct), pct)
	}
	assert.Empty(t, Repairs{}.Words())
}
