package osm

import (
	"encoding/binary"
	"errors"
)

// errWire says that bytes are no protocol buffer.
var errWire = errors.New("is damaged: its blocks cannot be read")

// Types of fields on the wire that the format uses (Protocol Buffers encoding).
const (
	wireVarint = 0
	wireFixed8 = 1
	wireBytes  = 2
	wireFixed4 = 5
)

// fields calls visit for each field of a message: numbers as v, all else as b. Fields of
// types that no writer of today uses end it with an error.
func fields(msg []byte, visit func(field int, v uint64, b []byte) error) error {
	for len(msg) > 0 {
		key, n := binary.Uvarint(msg)
		if n <= 0 || key>>3 == 0 || key>>3 > 1<<29 {
			return errWire
		}
		msg = msg[n:]
		var v uint64
		var b []byte
		switch key & 7 {
		case wireVarint:
			if v, n = binary.Uvarint(msg); n <= 0 {
				return errWire
			}
		case wireBytes:
			size, m := binary.Uvarint(msg)
			if m <= 0 || size > uint64(len(msg)-m) {
				return errWire
			}
			n = m + int(size)
			b = msg[m:n]
		case wireFixed8:
			n = 8
		case wireFixed4:
			n = 4
		default:
			return errWire
		}
		if n > len(msg) {
			return errWire
		}
		msg = msg[n:]
		if err := visit(int(key>>3), v, b); err != nil {
			return err
		}
	}
	return nil
}

// zigzag decodes a signed number.
func zigzag(v uint64) int64 { return int64(v>>1) ^ -int64(v&1) }

// packed reads numbers that stand one after another.
type packed []byte

// next is the next number; not ok at the end, and where it is damaged.
func (p *packed) next() (v uint64, ok bool) {
	v, n := binary.Uvarint(*p)
	if n <= 0 {
		return 0, false
	}
	*p = (*p)[n:]
	return v, true
}

// deltas appends signed numbers that are each told by how much they are more than the last.
func (p packed) deltas(dst []int64) ([]int64, error) {
	var sum int64
	for len(p) > 0 {
		v, ok := p.next()
		if !ok {
			return dst, errWire
		}
		sum += zigzag(v)
		dst = append(dst, sum)
	}
	return dst, nil
}
