package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/site"
)

// counterOf counts the cells of a map of 4 × 3 cells for two machines, sure below 30% and
// 60%; rises are those of cells in rows.
func counterOf(rises ...float32) *pieceCounter {
	squared := make([]float32, 12)
	for i, r := range rises {
		squared[i] = r * r
	}
	return &pieceCounter{Ground: &mapping.Ground{Site: &site.Ground{}}, cover: Light, sure: []float64{0.3, 0.6}, sums: map[pieceKey]*pieceSum{},
		m: &zoning.ZoneMap{Fleet: []zoning.Machine{{Key: "a"}, {Key: "b"}}, Field: &slope.Field{Squared: squared},
			Cells: &zoning.Cells{Window: coverage.Window{Cols: 4, Rows: 3, Masks: make([]zoning.Mask, 12)}}}}
}

// By hand: a piece's place is the middle of its cells, weighed by their shares, and its box
// holds all of them, in whatever order they come.
func TestCellsOfAPiece(t *testing.T) {
	for _, order := range [][][2]int{{{2, 1}, {1, 2}, {3, 0}}, {{3, 0}, {2, 1}, {1, 2}}, {{1, 2}, {3, 0}, {2, 1}}} {
		c := counterOf()
		for _, at := range order {
			c.add(at[0], at[1], 0, 0b11, 0.5)
		}
		require.Len(t, c.sums, 1)
		for _, s := range c.sums {
			assert.Equal(t, [4]int{1, 0, 3, 2}, [4]int{s.c0, s.r0, s.c1, s.r1})
			assert.InDelta(t, 1.5, s.cells, 1e-12)
			assert.InDelta(t, 2.5, s.col/s.cells, 1e-12, "half a cell beyond the column of the middle one")
			assert.InDelta(t, 1.5, s.row/s.cells, 1e-12)
		}
	}
	c := counterOf()
	c.add(0, 0, 0, 0b01, 1)
	c.add(3, 2, 0, 0b01, 0.25)
	for _, s := range c.sums {
		assert.InDelta(t, (0.5+0.25*3.5)/1.25, s.col/s.cells, 1e-12)
		assert.InDelta(t, (0.5+0.25*2.5)/1.25, s.row/s.cells, 1e-12)
	}
}

// Ground is surely within a limit below the rise that says so, in its own machine's band, and
// not where the cell is unsure; beyond all machines nothing is to be verified, and of
// closed ground no rise is asked.
func TestSureCells(t *testing.T) {
	c := counterOf(0.29, 0.3, 0.59, 0.61)
	c.m.Cells.Unsure = make([]bool, 12)
	c.m.Cells.Unsure[4] = true
	sure := func(col, row, band int, mask zoning.Mask) float64 {
		c.sums, c.at = map[pieceKey]*pieceSum{}, nil
		c.add(col, row, band, mask, 1)
		for _, s := range c.sums {
			return s.sure
		}
		return -1
	}
	assert.Equal(t, 1.0, sure(0, 0, 0, 0b11))
	assert.Zero(t, sure(1, 0, 0, 0b11), "at the limit")
	assert.Equal(t, 1.0, sure(2, 0, 1, 0b10))
	assert.Zero(t, sure(3, 0, 1, 0b10))
	assert.Zero(t, sure(0, 1, 0, 0b11), "an unsure cell of level ground")
	assert.Equal(t, 1.0, sure(3, 0, c.m.Fleet.NoMachineBand(), 0), "no machine goes there")
	assert.Zero(t, sure(0, 0, c.m.Fleet.NoGoBand(), zoning.NoGo))
}

// Lines that were simplified may leave a cell in a later band than its first machine's: those
// before it do not work it there.
func TestMachinesOfALaterBand(t *testing.T) {
	c := counterOf()
	c.add(0, 0, 1, 0b11, 1)
	c.add(0, 0, 0, 0b11, 1)
	c.add(0, 0, c.m.Fleet.NoGoBand(), zoning.NoGo, 1)
	var may []zoning.Mask
	for _, band := range []int{0, 1, c.m.Fleet.NoGoBand()} {
		for key := range c.sums {
			if key.band == band {
				may = append(may, key.may)
			}
		}
	}
	assert.Equal(t, []zoning.Mask{0b11, 0b10, zoning.NoGo}, may)
}

// Without staging machines unload in the middle of the ground, weighed by all its acres:
// those that stay standing count too.
func TestLandingInTheMiddle(t *testing.T) {
	c := counterOf()
	s := &Site{Pieces: []Piece{{GrossAcres: 3, NetAcres: 1, EastM: 100, NorthM: -40}, {GrossAcres: 1, NetAcres: 1, EastM: 20, NorthM: 80}}}
	c.land(s)
	assert.InDelta(t, 80, s.LandingEastM, 1e-9)
	assert.InDelta(t, -10, s.LandingNorthM, 1e-9)
}

// Less than a thousandth of an acre is a sliver that no machine is sent to; from there on all
// is to be cleared, and what is not sure of a machine's own band is to be verified.
func TestSliversAreNotToBeCleared(t *testing.T) {
	c := counterOf()
	sum := &pieceSum{cells: 4, sure: 1}
	sliver := c.piece("a", pieceKey{may: 0b11}, sum, 0.0009)
	assert.Equal(t, []float64{0.0009, 0, 0}, []float64{sliver.GrossAcres, sliver.NetAcres, sliver.VerifyAcres})
	least := c.piece("a", pieceKey{may: 0b11}, sum, 0.001)
	assert.Equal(t, []float64{0.001, 0.001, 0.00075}, []float64{least.GrossAcres, least.NetAcres, least.VerifyAcres})
	assert.Zero(t, c.piece("a", pieceKey{band: c.m.Fleet.NoMachineBand()}, sum, 1).VerifyAcres, "no machine works it")
}
