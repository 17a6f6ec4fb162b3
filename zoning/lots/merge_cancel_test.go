package lots

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"
)

// looks is done once it was looked at so often.
type looks struct {
	context.Context
	n, until int
}

func (l *looks) Err() error {
	if l.n++; l.n > l.until {
		return context.Canceled
	}
	return nil
}

// A merge of a county was made to its end for someone who had given up.
func TestMergeIsCancelled(t *testing.T) {
	c := config(t)
	_, want := ran(t, c)
	whole := &looks{t.Context(), 0, 1 << 30}
	dir := t.TempDir()
	_, err := Merge(whole, dir, []string{c.Dir}, c.Outputs, nil)
	require.NoError(t, err)
	mustBeSame(t, want, outputsIn(t, dir))
	require.Greater(t, whole.n, madeLots, "before each lot")
	for _, until := range []int{0, 1, 2, madeLots / 2, whole.n - 1} {
		ctx, dir := &looks{t.Context(), 0, until}, t.TempDir()
		_, err := Merge(ctx, dir, []string{c.Dir}, c.Outputs, nil)
		require.ErrorIs(t, err, context.Canceled, until)
		require.Empty(t, outputsIn(t, dir), until)
	}
}
