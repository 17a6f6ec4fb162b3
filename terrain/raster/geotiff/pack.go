package geotiff

import (
	"bytes"
	"encoding/binary"
	"errors"
	"hash/adler32"
	"math"
	"slices"

	"github.com/klauspost/compress/flate"
)

// Packer packs the cells of tiles. It keeps memory between tiles, and belongs to one
// goroutine.
type Packer struct {
	bytes   []byte // of a tile, as they are packed
	out     bytes.Buffer
	alike   *flate.Writer // for bytes that repeat, at a level
	level   int
	repeats bool          // whether the stream is at what repeats
	random  *flate.Writer // for bytes that are as good as random: by their frequency alone
}

// Levels of DEFLATE: of bytes one above which bands shrink by a fortieth at most, for half as much time
// again; of what is all but constant the one that costs least.
const (
	levelOfBytes = 4
	levelOfRuns  = 1
)

// Bytes packs a tile of bytes, row-major, as DEFLATE without a predictor. What is
// returned lasts until the next tile.
func (p *Packer) Bytes(cells []uint8) ([]byte, error) {
	if err := p.begin(levelOfBytes); err != nil {
		return nil, err
	}
	if _, err := p.alike.Write(cells); err != nil {
		return nil, err
	}
	return p.end(cells)
}

// Values packs a tile of values, row-major, so many in a row, as DEFLATE over the
// floating-point predictor (Adobe Photoshop TIFF technical note 3): the bytes of a row
// are parted by their weight, the heaviest first, and each is replaced by its difference
// from the one before. What is returned lasts until the next tile.
//
// The bytes of each weight have blocks of their own: the heaviest and the lightest hardly
// change, those between are as good as random, but where the ground is level or not known. One table for all of them, as compressors
// make it by themselves, takes a tenth more room. The tables are told anew in each row; where
// rows are short that takes more than it saves.
func (p *Packer) Values(cells []float32, cols int) ([]byte, error) {
	p.parting(cells, cols)
	if cols < leastOwnCols {
		if err := p.begin(levelOfBytes); err != nil {
			return nil, err
		}
		if _, err := p.alike.Write(p.bytes); err != nil {
			return nil, err
		}
		return p.end(p.bytes)
	}
	if err := p.begin(levelOfRuns); err != nil {
		return nil, err
	}
	for row := 0; row < len(p.bytes); row += cols {
		if err := p.block(p.bytes[row : row+cols]); err != nil {
			return nil, err
		}
	}
	return p.end(p.bytes)
}

// leastOwnCols is how many cells a row needs for tables of its own to be worth their room.
const leastOwnCols = 1024

// begin begins a stream (RFC 1950), whose writer of what repeats has a level.
func (p *Packer) begin(level int) (err error) {
	p.out.Reset()
	p.out.Write([]byte{0x78, 0x01})
	p.repeats = true
	if p.random == nil {
		if p.random, err = flate.NewWriter(&p.out, flate.HuffmanOnly); err != nil {
			return err
		}
	}
	if p.alike == nil || p.level != level {
		p.alike, err = flate.NewWriter(&p.out, level)
		p.level = level
		return err
	}
	p.alike.Reset(&p.out)
	return nil
}

// block writes bytes into blocks of their own, which refer to none before them, and end at a
// whole byte; those that repeat go on in the block before, if that repeats too.
func (p *Packer) block(data []byte) error {
	repeats := 2*bytes.Count(data, data[len(data)/2:][:1]) > len(data)
	if repeats && p.repeats {
		_, err := p.alike.Write(data)
		return err
	}
	var err error
	switch {
	case repeats:
		p.alike.Reset(&p.out)
	case p.repeats:
		err = p.alike.Flush()
	}
	if p.repeats = repeats; repeats {
		_, failed := p.alike.Write(data)
		return errors.Join(err, failed)
	}
	p.random.Reset(&p.out)
	_, failed := p.random.Write(data)
	return errors.Join(err, failed, p.random.Flush())
}

// end ends a stream with the sum of all that was packed.
func (p *Packer) end(packed []byte) ([]byte, error) {
	if !p.repeats {
		p.alike.Reset(&p.out)
	}
	err := p.alike.Close()
	return binary.BigEndian.AppendUint32(p.out.Bytes(), adler32.Checksum(packed)), err
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
