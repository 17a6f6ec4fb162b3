package read

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// cancelledAfter is done once it was looked at so often.
type cancelledAfter struct {
	context.Context
	looks int
}

func (c *cancelledAfter) Err() error {
	if c.looks--; c.looks < 0 {
		return context.Canceled
	}
	return nil
}

// Reading took no context: a slow server held whoever had given up.
func TestPrepareIsCancelled(t *testing.T) {
	q := Request{Elevation: []string{jacksboro}, Parcel: boundary(t, twoLots...)}
	ended := 0
	for looks := range 200 {
		g, err := Prepare(&cancelledAfter{t.Context(), looks}, q)
		if err == nil {
			require.NotNil(t, g)
			break
		}
		require.ErrorIs(t, err, context.Canceled)
		ended++
	}
	assert.GreaterOrEqual(t, ended, 5, "before anything, after the files' list, at each of two lots, before a surface, and wherever rasters are read")
}
