package lots

import (
	"cmp"
	"context"
	"encoding/binary"
	"math/bits"
	"slices"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/raster"
)

// spot is where a lot comes in the order of work: rasters along a Hilbert curve
// over their middles, blocks of one to and fro in strips, lots of a block by their
// place in the file.
type spot struct {
	tile  uint64
	entry uint32
	block uint64
	place uint32
}

// tileBits is how fine the curve over rasters is, per axis: 2 m.
const tileBits = 24

// spotOf finds the spot of ground, for workers with a cache of so many bytes. Lots on
// no raster come last.
func spotOf(c *raster.Catalogue, ground orb.MultiPolygon, cacheBytes int64) spot {
	none := spot{tile: 1 << 63}
	if len(ground) == 0 {
		return none
	}
	b := ground[0].Bound()
	// By one corner, always the same, so that lots of a block lie across two of its
	// sides only.
	ctx := context.Background() // in a process of its own, which is ended
	at, on := c.SpotOf(ctx, orb.Point{b.Min[0], b.Max[1]})
	if !on {
		at, on = c.SpotOf(ctx, b.Center())
	}
	if !on {
		return none
	}
	scale := float64(uint64(1)<<tileBits) / 361
	x, y := uint32((at.Middle[0]+180)*scale), uint32((at.Middle[1]+90)*scale)
	const heightBytes = 4
	held := cacheBytes / heightBytes / int64(at.Cells)
	return spot{tile: hilbert(tileBits, x, y), entry: uint32(at.Entry), block: scan(at.Col, at.Row, stripRows(held))}
}

// stripRows is how many blocks high strips are, for a cache that holds so many: a
// quarter. In a strip of n a worker wants the 2(n+1) blocks of a column and the next,
// or 3(n+2) where lots are larger than blocks, again and again, and the n+1st row of
// blocks once more in the strip below: 1 + 1/n decodings of a block. A Hilbert curve,
// which serves any cache, takes twice as many more.
func stripRows(held int64) int { return int(min(max(held/4, 1), mostStripRows)) }

const mostStripRows = 64

// scan is the position of a block where strips of n rows of blocks are gone through
// one to the right and one to the left, and the columns of a strip one down and one
// up.
func scan(col, row, n int) uint64 {
	const colBits, rowBits = 31, 7
	strip, within := row/n, row%n
	if col%2 == 1 {
		within = n - 1 - within
	}
	if strip%2 == 1 {
		col = 1<<colBits - 1 - col
	}
	return uint64(strip)<<(colBits+rowBits) | uint64(col)<<rowBits | uint64(within)
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
