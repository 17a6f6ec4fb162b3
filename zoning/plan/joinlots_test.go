package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Pieces of several lots that are alike make one, each weighing by its acres; others stay.
func TestJoinLots(t *testing.T) {
	light, heavy := pieceKey{band: 1, cover: Light}, pieceKey{band: 1, cover: Heavy}
	out := joinLots([]piece{
		{Piece: Piece{Lot: "a", GrossAcres: 1, NetAcres: 0.5, VerifyAcres: 0.25, SlopeMeanPct: 10, EastM: 100, NorthM: 20}, key: light},
		{Piece: Piece{Lot: "a", GrossAcres: 2, NetAcres: 2, SlopeMeanPct: 7}, key: heavy},
		{Piece: Piece{Lot: "b", GrossAcres: 3, NetAcres: 2, VerifyAcres: 1, SlopeMeanPct: 30, EastM: 200, NorthM: 60}, key: light},
	})
	require.Len(t, out, 2)
	// By hand: one part of four and three of four.
	assert.Equal(t, Piece{GrossAcres: 4, NetAcres: 2.5, VerifyAcres: 1.25, SlopeMeanPct: 25, EastM: 175, NorthM: 50}, out[0].Piece)
	assert.Equal(t, Piece{GrossAcres: 2, NetAcres: 2, SlopeMeanPct: 7}, out[1].Piece)
}
