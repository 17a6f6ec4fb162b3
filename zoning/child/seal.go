package child

import (
	"encoding/binary"
	"errors"
	"hash/crc32"
	"io"
	"slices"
)

// PrefixBytes are the length and the checksum before each payload.
const PrefixBytes = 8

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

// ErrTorn says that a message is cut off or damaged.
var ErrTorn = errors.New("cut off or damaged")

// Seal fills in the prefix of a message, which is PrefixBytes of anything and then its
// payload of less than 4 GB.
func Seal(message []byte) {
	payload := message[PrefixBytes:]
	binary.LittleEndian.PutUint32(message, uint32(len(payload)))
	binary.LittleEndian.PutUint32(message[4:], crc32.Checksum(payload, castagnoli))
}

// Open reads the payload of the next message into a buffer, grown where it must be:
// [io.EOF] at the end, [ErrTorn] where the message is not whole or longer than most
// bytes.
func Open(r io.Reader, most int, buf []byte) (payload []byte, err error) {
	var prefix [PrefixBytes]byte
	if n, err := io.ReadFull(r, prefix[:]); err != nil {
		if n == 0 && errors.Is(err, io.EOF) {
			return nil, io.EOF
		}
		return nil, torn(err)
	}
	n := binary.LittleEndian.Uint32(prefix[:])
	if int64(n) > int64(most) {
		return nil, ErrTorn
	}
	payload, err = readUpTo(r, int(n), buf)
	if err != nil {
		return nil, torn(err)
	}
	if crc32.Checksum(payload, castagnoli) != binary.LittleEndian.Uint32(prefix[4:]) {
		return nil, ErrTorn
	}
	return payload, nil
}

// readUpTo reads n bytes into a buffer, taking memory as they come: a damaged length
// must not take a gigabyte.
func readUpTo(r io.Reader, n int, buf []byte) ([]byte, error) {
	const piece = 1 << 20
	buf = slices.Grow(buf[:0], min(n, piece))[:min(n, piece)]
	for got := 0; ; {
		if _, err := io.ReadFull(r, buf[got:]); err != nil {
			return nil, err
		}
		if got = len(buf); got == n {
			return buf, nil
		}
		buf = append(buf, make([]byte, min(n-got, got))...)
	}
}

// torn makes the end of a file within a message ErrTorn.
func torn(err error) error {
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return ErrTorn
	}
	return err
}

// mostKept is the largest buffer that is kept for what comes next.
const mostKept = 1 << 20

// Reusable is a buffer to be used again; nil where it is too large to keep.
func Reusable(buf []byte) []byte {
	if cap(buf) > mostKept {
		return nil
	}
	return buf
}
