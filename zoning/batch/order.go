package batch

import (
	"cmp"
	"encoding/binary"
	"math/bits"
	"slices"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/raster"
)

// spot is where a lot comes in the order of work: rasters along a Hilbert curve
// over their middles, blocks of one along a Hilbert curve over the blocks, lots of
// a block by their place in the file.
type spot struct {
	tile  uint64
	entry uint32
	block uint64
	place uint32
}

// Bits of an axis of the curves: over rasters, a square of which is 2 m, and over
// blocks, however many a raster has.
const (
	tileBits  = 24
	blockBits = 31
)

// spotOf finds the spot of ground. Lots on no raster come last.
func spotOf(c *raster.Catalogue, ground orb.MultiPolygon) spot {
	none := spot{tile: 1 << 63}
	if len(ground) == 0 {
		return none
	}
	b := ground[0].Bound()
	// By one corner, always the same, so that of two blocks that lots lie across
	// only one is wanted twice.
	at, on := c.SpotOf(orb.Point{b.Min[0], b.Max[1]})
	if !on {
		at, on = c.SpotOf(b.Center())
	}
	if !on {
		return none
	}
	scale := float64(uint64(1)<<tileBits) / 361
	x, y := uint32((at.Middle[0]+180)*scale), uint32((at.Middle[1]+90)*scale)
	return spot{tile: hilbert(tileBits, x, y), entry: uint32(at.Entry), block: hilbert(blockBits, uint32(at.Col), uint32(at.Row))}
}

// hilbert is the distance along the Hilbert curve over 2ⁿ × 2ⁿ squares at which
// (x, y) is visited (Hilbert 1891; the bitwise form is in Warren, Hacker's Delight,
// 2nd edition, section 16-2).
func hilbert(n int, x, y uint32) uint64 {
	var d uint64
	for i := n - 1; i >= 0; i-- {
		s := uint32(1) << i
		rx, ry := x>>i&1, y>>i&1
		d = d<<2 | uint64(3*rx^ry)
		if ry == 0 {
			if rx == 1 {
				x, y = s-1-x&(s-1), s-1-y&(s-1)
			}
			x, y = y, x
		}
		x, y = x&(s-1), y&(s-1)
	}
	return d
}

func (s spot) compare(o spot) int {
	return cmp.Or(cmp.Compare(s.tile, o.tile), cmp.Compare(s.entry, o.entry), cmp.Compare(s.block, o.block), cmp.Compare(s.place, o.place))
}

// sortSpots puts lots in the order of work.
func sortSpots(spots []spot) { slices.SortFunc(spots, spot.compare) }

// append writes a spot but for its place.
func (s spot) append(b []byte) []byte {
	b = binary.LittleEndian.AppendUint64(b, s.tile)
	b = binary.LittleEndian.AppendUint32(b, s.entry)
	return binary.LittleEndian.AppendUint64(b, s.block)
}

// spotBytes is what append writes.
const spotBytes = 20

func spotIn(b []byte, place int) (spot, error) {
	if len(b) != spotBytes {
		return spot{}, errTorn
	}
	return spot{binary.LittleEndian.Uint64(b), binary.LittleEndian.Uint32(b[8:]), binary.LittleEndian.Uint64(b[12:]), uint32(place)}, nil
}

// Shard is a part of the lots: number I of N, from 1. The zero Shard is all.
type Shard struct{ I, N int }

// part is the stretch of n things that is the shard's: shards differ by at most
// one, and each begins where the one before it ends.
func (s Shard) part(n int) (from, to int) {
	if s.N == 0 {
		return 0, n
	}
	at := func(i int) int {
		hi, lo := bits.Mul64(uint64(i), uint64(n))
		q, _ := bits.Div64(hi, lo, uint64(s.N))
		return int(q)
	}
	return at(s.I - 1), at(s.I)
}
