package lots

import (
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/plan"
)

// twins is the made run with two more lots on the ground of lot 5.
func twins(t *testing.T) Config {
	c := config(t)
	c.Outputs.Plan, c.Outputs.Book, c.Outputs.Cover = true, plan.Default(), plan.Medium
	lots := squares(madeLots, groundCells, 20)
	for _, name := range []string{"twin", "third"} {
		lots = append(lots, made{name: name, ring: lots[4].ring})
	}
	writeLots(t, c.Job.Parcels, lots)
	return c
}

// Lots on the ground of one that could not be read were kept without a word of it, and
// planned twice once it was read.
func TestSameGroundIsToldOnceTheFirstIsRead(t *testing.T) {
	c := twins(t)
	whole := elsewhere(t, c)
	r, want := ran(t, whole)
	require.Equal(t, 2, r.SameGround)
	require.Contains(t, want["lots.csv"], "its ground is that of lot 5 of the file, too: sums count it again")

	c.Child = withFaults("reader:5")
	r, got := ran(t, c)
	require.Equal(t, [2]int{1, 1}, [2]int{r.Failed, r.SameGround}, "the third lot has the ground of the twin")
	require.NotContains(t, got["lots.csv"], "that of lot 5 of the file")

	c.Child, c.RetryFailed = withFaults(), true
	r, got = ran(t, c)
	require.Equal(t, [3]int{madeLots + 2 - 3, 0, 2}, [3]int{r.Again, r.Failed, r.SameGround})
	mustBeSame(t, want, got)

	// What was forgotten stays so in the journal that is read again.
	r, got = ran(t, c)
	require.Equal(t, madeLots+2, r.Again)
	mustBeSame(t, want, got)
}

// The ground of a lot that has no map was planned with each of the others that have it.
func TestSameGroundIsPlannedOnceWithoutTheFirst(t *testing.T) {
	c := twins(t)
	c.Child = withFaults("L004:fault")
	r, got := ran(t, c)
	require.Equal(t, 1, r.Failed)
	var planned []string
	for _, row := range rowsOf(t, got["plan.csv"])[1:] {
		if row[2] == "twin" || row[2] == "third" {
			planned = append(planned, row[0]+" "+row[2])
		}
	}
	require.NotEmpty(t, planned)
	require.NotContains(t, planned, "track-loader third")
	for _, p := range planned {
		require.Regexp(t, " twin$", p)
	}
}

// Parts of which one could not read a lot that another could were joined.
func TestPartsThatReadOtherLots(t *testing.T) {
	head := func(i int, sum uint64) journalHead {
		return journalHead{Lots: 2, Shard: Shard{i, 2}, Sums: lotSums{1: 7, 2: sum}}
	}
	a := &journal{path: "a", head: head(1, 9), at: map[int]located{1: {}}}
	b := &journal{path: "b", head: head(2, unreadSum), at: map[int]located{2: {}}}
	err := together([]*journal{a, b})
	require.ErrorIs(t, err, ErrUnfinished)
	require.ErrorContains(t, err, "b could not read lot 2 of the file, which a could: run that part again")
	a.head = head(1, unreadSum)
	require.NoError(t, together([]*journal{a, b}), "neither could")
}
