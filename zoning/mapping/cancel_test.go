//go:build cgo

package mapping_test

import (
	"context"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/read"

	"github.com/acreband/acreband/zoning/mapping"
)

// A map that nobody waits for any more is not made; the ground serves the next.
func TestMapIsCancelled(t *testing.T) {
	g, err := read.Prepare(t.Context(), read.Request{Elevation: []string{jacksboro}, Parcel: boundary(t, twoLots...)})
	require.NoError(t, err)
	want, err := mapping.Map(t.Context(), g, defaults(), mapping.Options{})
	require.NoError(t, err)
	for _, step := range []string{"finding slope, rows", "cutting lots"} {
		ctx, cancel := context.WithCancel(t.Context())
		var mu sync.Mutex // parts are told by whichever goroutine did them
		var told []string
		m, err := mapping.Map(ctx, g, defaults(), mapping.Options{Progress: func(s string, _, _ int) {
			mu.Lock()
			told = append(told, s)
			mu.Unlock()
			if s == step {
				cancel()
			}
		}})
		assert.Nil(t, m)
		assert.ErrorIs(t, err, context.Canceled)
		assert.Equal(t, step, told[len(told)-1], "nothing is begun after it")
	}
	again, err := mapping.Map(t.Context(), g, defaults(), mapping.Options{})
	require.NoError(t, err)
	assert.Equal(t, bytesOf(t, want), bytesOf(t, again))
}

// Lots that somebody has already are mapped as those of their file.
func TestLotsInsteadOfTheirFile(t *testing.T) {
	file := boundary(t, twoLots...)
	lots, err := read.Read(t.Context(), file, read.Options{})
	require.NoError(t, err)
	maps := map[bool]string{}
	for _, had := range []bool{false, true} {
		q := read.Request{Elevation: []string{jacksboro}, Parcel: file}
		if had {
			q.Parcel, q.Lots = "a name for errors", lots
		}
		g, err := read.Prepare(t.Context(), q)
		require.NoError(t, err)
		m, err := mapping.Map(t.Context(), g, defaults(), mapping.Options{})
		require.NoError(t, err)
		maps[had] = bytesOf(t, m)
	}
	assert.Equal(t, maps[false], maps[true])
}
