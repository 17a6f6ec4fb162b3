package sheet

import (
	"io"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
)

// A parcel of 45 acres on 600 × 600 cells, its zones broken up as on real
// ground.
func BenchmarkPicture(b *testing.B) {
	s := scenes()["hills"]
	s.lots = []zoning.Parcel{ring("Forty-five", 0, 0, 245, 14)}
	g, zm := s.mapped(b)
	require.InDelta(b, 45, zm.Lots[0].Acres, 0.5)
	for b.Loop() {
		require.NoError(b, Picture(io.Discard, g, zm))
	}
}
