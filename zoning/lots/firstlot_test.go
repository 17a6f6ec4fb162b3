package lots

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The limit of time began with the first lot, so that a file that gives none hung the run.
func TestTheFirstLotIsTimedToo(t *testing.T) {
	c := config(t)
	c.Child, c.Limit = withFaults("reader opens the file and hangs"), 100*time.Millisecond
	_, err := Run(never(), c)
	require.ErrorAs(t, err, new(*Fault))
	assert.ErrorContains(t, err, c.Job.Parcels+": it took longer than 100ms to come to its first lot; allow it more time (lot-timeout)")
}

// A file that ends its reader before the first lot is the input's fault, and named.
func TestAFileThatEndsItsReader(t *testing.T) {
	c := config(t)
	c.Child = withFaults("reader opens the file and dies")
	_, err := Run(never(), c)
	require.ErrorAs(t, err, new(*Fault))
	assert.ErrorContains(t, err, c.Job.Parcels+": reading it ended the process before its first lot: ")
	assert.Regexp(t, "fault|SIGSEGV", err.Error())
}
