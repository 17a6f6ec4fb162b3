package lots

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/resume"
)

func TestMergeRefuses(t *testing.T) {
	c := config(t)
	parts := t.TempDir()
	journal := func(i int) string { return filepath.Join(parts, journalName(Shard{i, 3})) }
	c.Dir = parts
	for i := range 3 {
		c.Shard = Shard{i + 1, 3}
		_, err := Run(never(), c)
		require.NoError(t, err)
	}
	merge := func(parts ...string) error {
		dir := t.TempDir()
		_, err := Merge(t.Context(), dir, parts, c.Outputs, nil)
		if err != nil {
			require.Empty(t, outputsIn(t, dir))
		}
		return err
	}
	require.NoError(t, merge(journal(2), journal(3), journal(1)))

	err := merge(journal(1), journal(3))
	require.ErrorIs(t, err, ErrUnfinished)
	require.ErrorContains(t, err, "of its 3 parts these are missing: 2")
	require.ErrorContains(t, merge(journal(1), journal(2), journal(2), journal(3)), "part 2 of 3 is there twice")
	require.ErrorContains(t, merge(t.TempDir()), "holds no journal of a run")
	require.ErrorIs(t, merge(filepath.Join(parts, "none")), os.ErrNotExist)

	// A part that was cut off has lots to do.
	text, err := os.ReadFile(journal(2))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(journal(2), text[:len(text)/2], 0o666))
	err = merge(parts)
	require.ErrorIs(t, err, ErrUnfinished)
	require.Regexp(t, `run-2-of-3\.journal has \d+ of its 13 lots; run that part again`, err.Error())
	c.Shard = Shard{2, 3}
	_, err = Run(never(), c)
	require.NoError(t, err)
	require.NoError(t, merge(parts))

	// A part of another run.
	other := c
	other.Dir, other.Version = t.TempDir(), "newer"
	_, err = Run(never(), other)
	require.NoError(t, err)
	err = merge(journal(1), filepath.Join(other.Dir, journalName(other.Shard)), journal(3))
	require.ErrorIs(t, err, resume.ErrInputs)
	require.ErrorContains(t, err, "the program was test, is newer")
	other.Dir, other.Version, other.Shard = t.TempDir(), c.Version, Shard{2, 4}
	_, err = Run(never(), other)
	require.NoError(t, err)
	require.ErrorContains(t, merge(journal(1), other.Dir, journal(3)), "is part 2 of 4")
}

// Copies of the same elevation elsewhere, of another time, are the same inputs to a
// merge, as on several machines.
func TestPartsFromSeveralMachines(t *testing.T) {
	here, there := config(t), config(t)
	parts := t.TempDir()
	there.Job.Parcels = here.Job.Parcels
	for i, c := range []Config{here, there} {
		c.Dir, c.Shard = parts, Shard{i + 1, 2}
		_, err := Run(never(), c)
		require.NoError(t, err)
	}
	_, err := Merge(t.Context(), t.TempDir(), []string{parts}, here.Outputs, nil)
	require.NoError(t, err)
}
