package geotiff

import "encoding/binary"

// A token is a byte, or the byte before it again so many times: [again] and the times.
type token uint16

const (
	again     = 256
	leastRun  = 3
	mostRun   = 258
	allTokens = again + mostRun + 1
)

// tokensOf appends the tokens of bytes, which follow nothing that a run may go on from.
func tokensOf(out []token, data []byte) []token {
	for i := 0; i < len(data); {
		b := data[i]
		out = append(out, token(b))
		i++
		if i < len(data) && data[i] == b {
			n := runOf(data[i:], b)
			out = appendRun(out, b, n)
			i += n
		}
	}
	return out
}

// noisyTokensOf is tokensOf for bytes that are as good as random, but perhaps for long
// runs: short ones would only swell the table, and take time to look for.
func noisyTokensOf(out []token, data []byte) []token {
	for ; len(data) >= 8; data = data[8:] {
		word, b := littleEndian.Uint64(data), data[0]
		if word == uint64(b)*0x0101010101010101 {
			if n := runOf(data, b); n >= 16 {
				out = appendRun(append(out, token(b)), b, n-1)
				data = data[n:]
				if len(data) < 8 {
					break
				}
			}
		}
		part := data[:8]
		out = append(out, token(part[0]), token(part[1]), token(part[2]), token(part[3]), token(part[4]), token(part[5]), token(part[6]), token(part[7]))
	}
	for _, b := range data {
		out = append(out, token(b))
	}
	return out
}

// runOf is how many bytes from the first are b.
func runOf(data []byte, b byte) (n int) {
	for all := uint64(b) * 0x0101010101010101; n+8 <= len(data) && littleEndian.Uint64(data[n:]) == all; {
		n += 8
	}
	for n < len(data) && data[n] == b {
		n++
	}
	return n
}

// appendRun appends a byte n times more.
func appendRun(out []token, b byte, n int) []token {
	for n >= leastRun {
		k := min(n, mostRun)
		out = append(out, again+token(k))
		n -= k
	}
	for range n {
		out = append(out, token(b))
	}
	return out
}

// table is how tokens are written: a dynamic Huffman code of DEFLATE (RFC 1951), whose
// only distance is 1.
type table struct {
	head  bits // of a block, up to its first token, as if it were not the last
	codes [allTokens]code
	end   code
}

const (
	endOfBlock = 256
	symbols    = 286 // bytes, the end of a block, lengths of runs
)

// lengthOf is a run's symbol, and its extra bits.
var lengthOf = func() (out [mostRun + 1]struct {
	symbol uint16
	extra  code
}) {
	symbol, n := uint16(endOfBlock+1), leastRun
	for extra := uint8(0); extra <= 5; extra++ {
		groups := 4
		if extra == 0 {
			groups = 8
		}
		for range groups {
			for i := range 1 << extra {
				if n+i < mostRun {
					out[n+i].symbol, out[n+i].extra = symbol, code{uint32(i), extra}
				}
			}
			symbol, n = symbol+1, n+1<<extra
		}
	}
	out[mostRun].symbol = symbols - 1
	return out
}()

// newTable makes the table that writes tokens that occur so often in fewest bits.
func newTable(counts *[allTokens]uint32) *table {
	var often [symbols]uint32
	copy(often[:], counts[:again])
	often[endOfBlock] = 1
	runs := false
	for n := leastRun; n <= mostRun; n++ {
		often[lengthOf[n].symbol] += counts[again+n]
		runs = runs || counts[again+n] > 0
	}
	lengths := codeLengths(often[:], maxBits)
	codes := codesOf(lengths)
	t := &table{end: codes[endOfBlock]}
	copy(t.codes[:again], codes)
	for n := leastRun; n <= mostRun; n++ {
		if counts[again+n] == 0 {
			continue
		}
		k, l := codes[lengthOf[n].symbol], lengthOf[n].extra
		// The distance's code is a 0 of one bit.
		t.codes[again+n] = code{k.bits | l.bits<<k.n, k.n + l.n + 1}
	}
	t.writeHead(lengths, runs)
	return t
}

// headOrder is the order in which the lengths of the code of lengths are written.
var headOrder = [...]uint8{16, 17, 18, 0, 8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14, 1, 15}

// writeHead writes the block's head: the lengths of all codes, themselves packed.
func (t *table) writeHead(lengths []uint8, runs bool) {
	used := len(lengths)
	for lengths[used-1] == 0 {
		used--
	}
	all := append(append([]uint8(nil), lengths[:used]...), 0) // and the only distance's
	if runs {
		all[used] = 1
	}
	type piece struct {
		symbol uint8
		extra  code
	}
	var pieces []piece
	var often [19]uint32
	put := func(symbol uint8, extra code) {
		pieces = append(pieces, piece{symbol, extra})
		often[symbol]++
	}
	for i := 0; i < len(all); {
		n := 1
		for i+n < len(all) && all[i+n] == all[i] {
			n++
		}
		left := n
		if all[i] != 0 {
			put(all[i], code{})
			left--
		}
		for left > 0 {
			switch k := min(left, 138); {
			case all[i] == 0 && k >= 11:
				put(18, code{uint32(k - 11), 7})
				left -= k
			case all[i] == 0 && k >= 3:
				put(17, code{uint32(k - 3), 3})
				left -= k
			case all[i] != 0 && k >= 3:
				k = min(k, 6)
				put(16, code{uint32(k - 3), 2})
				left -= k
			default:
				put(all[i], code{})
				left--
			}
		}
		i += n
	}
	packed := codeLengths(often[:], 7)
	codes := codesOf(packed)
	count := len(headOrder)
	for count > 4 && packed[headOrder[count-1]] == 0 {
		count--
	}
	h := &t.head
	h.put(code{0, 1})                  // not the last block
	h.put(code{2, 2})                  // of a dynamic code
	h.put(code{uint32(used - 257), 5}) // codes of bytes and lengths
	h.put(code{0, 5})                  // one distance
	h.put(code{uint32(count - 4), 4})  // lengths of the code of lengths
	for _, s := range headOrder[:count] {
		h.put(code{uint32(packed[s]), 3})
	}
	for _, p := range pieces {
		h.put(codes[p.symbol])
		h.put(p.extra)
	}
}

// bits are written from the lowest of each byte.
type bits struct {
	bytes []byte
	acc   uint64 // not yet in bytes
	n     uint   // of them
}

func (b *bits) put(c code) {
	b.acc |= uint64(c.bits) << b.n
	b.n += uint(c.n)
	for b.n >= 8 {
		b.bytes = append(b.bytes, byte(b.acc))
		b.acc >>= 8
		b.n -= 8
	}
}

// block writes tokens as a block.
func (b *bits) block(t *table, tokens []token) {
	for _, h := range t.head.bytes {
		b.put(code{uint32(h), 8})
	}
	b.put(code{uint32(t.head.acc), uint8(t.head.n)})
	b.room(3*len(tokens) + 16) // a token takes 21 bits at most
	out, at, acc, n := b.bytes[:cap(b.bytes)], len(b.bytes), b.acc, b.n
	for ; len(tokens) >= 2; tokens = tokens[2:] {
		c := t.codes[tokens[0]]
		acc |= uint64(c.bits) << (n & 63)
		n += uint(c.n)
		c = t.codes[tokens[1]]
		acc |= uint64(c.bits) << (n & 63)
		n += uint(c.n)
		littleEndian.PutUint64(out[at:], acc)
		at += int(n >> 3)
		acc >>= n &^ 7
		n &= 7
	}
	b.bytes, b.acc, b.n = out[:at], acc, n
	for _, k := range tokens {
		b.put(t.codes[k])
	}
	b.put(t.end)
}

// room makes room for more bytes.
func (b *bits) room(more int) {
	if cap(b.bytes)-len(b.bytes) < more {
		b.bytes = append(make([]byte, 0, 2*cap(b.bytes)+more), b.bytes...)
	}
}

// begin writes the head of a zlib stream (RFC 1950).
func (b *bits) begin() { b.bytes = append(b.bytes, 0x78, 0x01) }

// finish ends the stream, with an empty block that is the last, and the checksum of
// what it holds.
func (b *bits) finish(sum uint32) []byte {
	b.put(code{1 | 1<<1, 3}) // the last, of the fixed code
	b.put(code{0, 7})        // its end
	if b.n > 0 {
		b.put(code{0, uint8(8 - b.n)})
	}
	return binary.BigEndian.AppendUint32(b.bytes, sum)
}
