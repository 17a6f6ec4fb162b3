package mapping

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/trafficability"
)

// proposerOn is a window whose cells machines of a crew work or not, each piece a list of cells.
func proposerOn(cols int, lots []bool, lost [][]zoning.Why, pieces []zoning.Pieces) *proposer {
	m := &zoning.ZoneMap{Cells: &zoning.Cells{Lost: lost, Pieces: pieces}}
	m.Cells.Cols, m.Cells.Rows = cols, len(lots)/cols
	p := &proposer{Ground: &Ground{work: trafficability.Ground{Lots: lots}}, m: m}
	for k := range pieces {
		p.crew = append(p.crew, k)
	}
	return p
}

// A machine of two pieces: it works what is nearer to 1 from there, and what only 2 leads to
// from there. It does not work the shut cell, nor beyond the lot.
//
//	1 1 . . 2       1 1 1 2 2
//	. # . . .       1 # 1 2 2
//	. . off off .   1 1 off off 2
func TestCellsAreWorkedFromTheNearestPiece(t *testing.T) {
	lots, lost := make([]bool, 15), make([]zoning.Why, 15)
	for i := range lots {
		lots[i] = i != 12 && i != 13
	}
	lost[6] = zoning.TooSteep
	p := proposerOn(5, lots, [][]zoning.Why{lost}, []zoning.Pieces{{{From: 0, To: 2, Piece: 1}, {From: 4, To: 5, Piece: 2}}})
	worked, err := p.worked(t.Context())
	require.NoError(t, err)
	assert.Equal(t, []zoning.Pieces{{
		{From: 0, To: 3, Piece: 1}, {From: 3, To: 5, Piece: 2},
		{From: 5, To: 6, Piece: 1}, {From: 7, To: 8, Piece: 1}, {From: 8, To: 10, Piece: 2},
		{From: 10, To: 12, Piece: 1}, {From: 14, To: 15, Piece: 2},
	}}, worked)
}

// Ground without a way in is worked from a new place only where staging was asked for, and
// ground that is only reached across the slope only where the middle may be there.
func TestGroundThatAPlaceOpens(t *testing.T) {
	lots := []bool{true, true, true, true, true}
	lost := [][]zoning.Why{{zoning.Works, zoning.NoWayIn, zoning.OnlyAcross, zoning.OnlyAcross, zoning.TooSteep}}
	p := proposerOn(5, lots, lost, []zoning.Pieces{{{From: 0, To: 1, Piece: 1}, {From: 2, To: 3, Piece: 1}, {From: 4, To: 5, Piece: 1}}})
	works := func() (cells []int) {
		for i := range lots {
			if p.wouldWork(0, i) {
				cells = append(cells, i)
			}
		}
		return cells
	}
	assert.Equal(t, []int{0}, works())
	p.m.Access.Checked = true
	assert.Equal(t, []int{0, 1, 2}, works())
	worked, err := p.worked(t.Context())
	require.NoError(t, err)
	assert.Equal(t, []zoning.Pieces{{{From: 0, To: 3, Piece: 1}}}, worked)
}

// What groups open is summed by ground that is worked from the same pieces as it would be cell
// by cell, also beside what others opened.
func TestGroundsAreThoseByCells(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 1))
	for range 100 {
		cols, rows := 1+random.IntN(70), 1+random.IntN(6)
		worked := make([]zoning.Pieces, 1+random.IntN(4))
		for n := range worked {
			for r := range rows {
				for c := random.IntN(5); c < cols; {
					to := min(cols, c+1+random.IntN(9))
					worked[n] = append(worked[n], zoning.PieceRun{From: int32(r*cols + c), To: int32(r*cols + to), Piece: uint16(1 + random.IntN(3)<<7)})
					c = to + random.IntN(3)
				}
			}
		}
		grounds, opened := groundsOf(worked, cols, nil), make([]bool, cols*rows)
		for range 4 {
			pieces := make([]uint16, len(worked))
			for n := range pieces {
				pieces[n] = []uint16{0, 1, 129, 257}[random.IntN(4)]
			}
			var want, got ground
			for i := range opened {
				opens := false
				for n, p := range worked {
					opens = opens || pieces[n] != 0 && p.At(i) == pieces[n]
				}
				if opens && !opened[i] {
					want.cells, want.col, want.row = want.cells+1, want.col+float64(i%cols)+0.5, want.row+float64(i/cols)+0.5
					opened[i] = true
				}
			}
			for i := range grounds {
				if g := &grounds[i]; g.fromAny(pieces) && !g.opened {
					got.cells, got.col, got.row, g.opened = got.cells+g.cells, got.col+g.col, got.row+g.row, true
				}
			}
			require.Equal(t, want, got)
		}
	}
}
