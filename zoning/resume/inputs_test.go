package resume

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// What is too large to be read whole is held to its date, and the cure is told.
func TestLargeRastersAreToldByDate(t *testing.T) {
	then := Inputs{{Name: "elevation a.tif", Value: "v", Here: "2026-05-04T00:00:00Z", Whole: "1"}}
	now := Inputs{{Name: "elevation a.tif", Value: "v", Here: "2026-05-05T00:00:00Z"}}
	require.Equal(t, []string{"elevation a.tif was changed: then 2026-05-04T00:00:00Z, now 2026-05-05T00:00:00Z " +
		"(it is too large to be compared whole; if nothing in it was changed, give it its time again: touch -d 2026-05-04T00:00:00Z FILE)"}, now.Changes(then, true))
	require.Empty(t, now.Changes(then, false))
	now[0].Whole = "1"
	require.Empty(t, now.Changes(then, true))
	sums := checksums{left: 10}
	path := filepath.Join(t.TempDir(), "a")
	require.NoError(t, os.WriteFile(path, []byte("123456789"), 0o666))
	for range 2 { // known the second time
		sum, err := sums.of(t.Context(), path, 9)
		require.NoError(t, err)
		require.Equal(t, "e3069283", sum) // CRC-32C's check value (RFC 3720, B.4 has others; the catalogue of CRC algorithms, CRC-32/ISCSI)
	}
	require.Equal(t, int64(1), sums.left)
	sum, err := sums.of(t.Context(), path+"b", 2)
	require.NoError(t, err)
	require.Empty(t, sum)
}
