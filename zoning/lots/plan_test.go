package lots

import (
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning/plan"
)

// Lots in a row, shuffled in the file, are gone through from end to end, by machines
// that have work there.
func TestPlanOfLotsInARow(t *testing.T) {
	c := config(t)
	c.Outputs = Outputs{Table: true, Plan: true, Book: plan.Default(), Cover: plan.Medium}
	for i := range 4 { // gentle ground
		flatten(t, filepath.Join(c.Job.Elevation[0], "tile"+strconv.Itoa(i)+".tif"), 0, 0, tileCells, tileCells)
	}
	c.Job.Options.SlopeOnly, c.Job.Options.WaterIsGround = true, true
	order := []int{0, 5, 2, 7, 1, 4, 6, 3}
	var lots []made
	for _, i := range order {
		x := 20 + 30*float64(i)
		lots = append(lots, rectangle("at "+strconv.Itoa(i), x, 40, x+20, 60))
	}
	writeLots(t, c.Job.Parcels, lots)
	r, out := ran(t, c)
	rows := rowsOf(t, out["plan.csv"])
	require.Equal(t, "machine order lot feature_no acres days miles_from_previous", strings.Join(rows[0], " "))
	table := rowsOf(t, out["lots.csv"])
	column := slices.Index(table[0], "track_loader_acres")
	n, metres, days := 0, 0.0, 0.0
	for _, row := range rows[1:] {
		if row[0] != "track-loader" {
			continue
		}
		n++
		require.Equal(t, strconv.Itoa(n), row[1])
		place, err := strconv.Atoi(row[3])
		require.NoError(t, err)
		require.Equal(t, table[place][column], row[4])
		d, err := strconv.ParseFloat(row[5], 64)
		require.NoError(t, err)
		days += d
		if n > 1 {
			miles, err := strconv.ParseFloat(row[6], 64)
			require.NoError(t, err)
			metres += miles * measure.MetresPerMile
		} else {
			require.Equal(t, "at 0", row[2], "the first of the file comes first")
		}
	}
	require.Equal(t, len(order), n, "all have ground for it")
	require.InDelta(t, 7*30, metres, 7*0.0005*measure.MetresPerMile, "in a row, to the thousandth of a mile that each way is written to")
	share := r.Plan[0]
	require.Equal(t, n, share.Lots)
	require.InDelta(t, days, share.Days, 0.001*float64(n))
	require.InEpsilon(t, 2*7*30, share.RoundM, 0.005)
	require.LessOrEqual(t, share.AtLeastM, share.RoundM)
	require.Greater(t, share.AtLeastM, 0.9*share.RoundM)
	acres := 0.0
	for _, row := range table[1:] {
		a, err := strconv.ParseFloat(row[column], 64)
		require.NoError(t, err)
		acres += a
	}
	require.InDelta(t, acres, share.Acres, 1e-6)
	require.False(t, math.IsNaN(share.Days))

	// Without a cover nobody knows the days.
	c.Outputs.Cover, c.Outputs.Book = plan.CoverNotGiven, nil
	_, out = ran(t, c)
	require.Empty(t, rowsOf(t, out["plan.csv"])[1][5])
}

// Ground that several lots have, as the units of a building do, is worked once, and told
// of; of 746 real lots 119 lay on others. Nor does a machine go to a lot for a sliver that
// cutting left: of 9 lots of one machine 3 were that.
func TestPlanOfLotsOnOneGroundAndOfSlivers(t *testing.T) {
	c := config(t)
	for i := range 4 { // gentle ground
		flatten(t, filepath.Join(c.Job.Elevation[0], "tile"+strconv.Itoa(i)+".tif"), 0, 0, tileCells, tileCells)
	}
	c.Job.Options.SlopeOnly, c.Job.Options.WaterIsGround = true, true
	c.Outputs = Outputs{Zones: true, Table: true, Plan: true}
	writeLots(t, c.Job.Parcels, []made{
		rectangle("unit 1", 40, 40, 60, 60), rectangle("unit 2", 40, 40, 60, 60), rectangle("beside", 60, 40, 80, 60),
		rectangle("unit 3", 40, 40, 60, 60), rectangle("sliver", 80, 40, 82, 42),
	})
	r, out := ran(t, c)
	require.Equal(t, 2, r.SameGround)
	require.Equal(t, 2, r.Plan[0].Lots)
	require.InEpsilon(t, 800/terrain.SquareMetresPerAcre, r.Plan[0].Acres, 1e-3)
	planned := rowsOf(t, out["plan.csv"])
	require.Len(t, planned, 3)
	require.Equal(t, []string{"unit 1", "beside"}, []string{planned[1][2], planned[2][2]})
	table := rowsOf(t, out["lots.csv"])
	require.Contains(t, table[2][slices.Index(table[0], "notes")], "its ground is that of lot 1 of the file, too: sums count it again")
	require.Contains(t, out["zones.geojson"], `"2 lots: its ground is that of an earlier lot of the file: sums count it again, the plan does not"`)
	require.InEpsilon(t, 1604/terrain.SquareMetresPerAcre, sumOf(acresIn(t, out["lots.csv"])["parcel_acres"]), 1e-3)
}
