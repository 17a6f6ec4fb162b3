package geotiff

import (
	"bytes"
	"compress/zlib"
	"errors"
	"hash/adler32"
	"math"
	"slices"
)

// Packer packs the cells of tiles. It keeps memory between tiles, and belongs to one
// goroutine.
type Packer struct {
	bytes  []byte // of a tile, as they are packed
	tokens []token
	parts  []part
	out    bits
}

// part is where the tokens of a block end, and whose table writes them.
type part struct {
	end   int
	table int
}

// Bytes packs a tile of bytes, row-major, as DEFLATE without a predictor. What is
// returned lasts until the next tile.
func (p *Packer) Bytes(cells []uint8) []byte {
	p.tokens = tokensOf(p.tokens[:0], cells)
	var counts [allTokens]uint32
	for _, t := range p.tokens {
		counts[t]++
	}
	p.start()
	p.out.block(newTable(&counts), p.tokens)
	return p.out.finish(adler32.Checksum(cells))
}

// Values packs a tile of values, row-major, so many in a row, as DEFLATE over the
// floating-point predictor (Adobe Photoshop TIFF technical note 3): the bytes of a row
// are parted by their weight, the heaviest first, and each is replaced by its difference
// from the one before.
//
// The bytes of each weight have blocks of their own, and a table over the tile: the
// heaviest hardly change, the second differ as the values do, the third are as good as
// random, and the lightest, which share a block with them, all but constant. One table
// for all of them, as general compressors make it, takes a tenth more room. The tables are
// told anew in each row; where rows are short that takes more than it saves.
func (p *Packer) Values(cells []float32, cols int) ([]byte, error) {
	p.parting(cells, cols)
	if cols < leastOwnCols {
		return p.generally()
	}
	p.tokens, p.parts = p.tokens[:0], p.parts[:0]
	var counts [3][allTokens]uint32
	for row := 0; row < len(p.bytes); row += 4 * cols {
		weights := p.bytes[row : row+4*cols]
		p.tokens = tokensOf(p.tokens, weights[:cols])
		p.end(0, &counts)
		p.tokens = noisyTokensOf(p.tokens, weights[cols:2*cols])
		p.end(1, &counts)
		p.tokens = noisyTokensOf(p.tokens, weights[2*cols:3*cols])
		p.tokens = tokensOf(p.tokens, weights[3*cols:])
		p.end(2, &counts)
	}
	p.start()
	tables := [3]*table{newTable(&counts[0]), newTable(&counts[1]), newTable(&counts[2])}
	at := 0
	for _, k := range p.parts {
		p.out.block(tables[k.table], p.tokens[at:k.end])
		at = k.end
	}
	return p.out.finish(adler32.Checksum(p.bytes)), nil
}

// leastOwnCols is how many cells a row needs for tables of its own to be worth their room.
const leastOwnCols = 1024

// generally packs a tile as the standard library does.
func (p *Packer) generally() ([]byte, error) {
	var out bytes.Buffer
	w := zlib.NewWriter(&out)
	_, err := w.Write(p.bytes)
	err = errors.Join(err, w.Close())
	return out.Bytes(), err
}

// end ends a block, and counts its tokens for its table.
func (p *Packer) end(table int, counts *[3][allTokens]uint32) {
	from := 0
	if n := len(p.parts); n > 0 {
		from = p.parts[n-1].end
	}
	for _, t := range p.tokens[from:] {
		counts[table][t]++
	}
	p.parts = append(p.parts, part{len(p.tokens), table})
}

func (p *Packer) start() {
	p.out = bits{bytes: p.out.bytes[:0]}
	p.out.begin()
}

// parting writes the bytes of rows of values, parted and differenced.
func (p *Packer) parting(cells []float32, cols int) {
	p.bytes = slices.Grow(p.bytes[:0], 4*len(cells))[:4*len(cells)]
	for row := 0; row < len(cells); row += cols {
		values, out := cells[row:row+cols], p.bytes[4*row:4*(row+cols)]
		b0, b1, b2, b3 := out[:cols], out[cols:][:cols], out[2*cols:][:cols], out[3*cols:][:cols]
		last := uint32(0)
		for i, v := range values {
			x := math.Float32bits(v)
			// Four differences of bytes at once, none borrowing from the next.
			d := ((x | 0x80808080) - (last &^ 0x80808080)) ^ ((x ^ ^last) & 0x80808080)
			last = x
			b0[i], b1[i], b2[i], b3[i] = byte(d>>24), byte(d>>16), byte(d>>8), byte(d)
		}
		// The first of each weight follows the last of the one before.
		if cols > 0 {
			end := math.Float32bits(values[cols-1])
			b1[0] -= byte(end >> 24)
			b2[0] -= byte(end >> 16)
			b3[0] -= byte(end >> 8)
		}
	}
}
