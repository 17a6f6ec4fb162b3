package batch

import (
	"bufio"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"slices"
)

// A frame is a message between processes, a record of the journal and a lot in the
// spool: its length and CRC-32C, then a letter that says what it is, the place of
// the lot it concerns, a head as JSON with its length, and a body.
type frame struct {
	kind  byte
	place int
	head  []byte
	body  []byte
}

// Kinds of frames.
const (
	kindJob    = 'j' // to a process: what to do; body is gob
	kindReady  = 'h' // from a worker: it can begin
	kindFault  = 'x' // from a process: it cannot go on; head is a fault
	kindLook   = 'b' // from the reader: it begins with a lot
	kindSpot   = 'o' // from the reader: where the next lot comes in the order
	kindLot    = 'l' // a lot, in the spool and to workers
	kindEnd    = 'e' // from the reader: no more lots; to a worker: no more work; body is gob
	kindMapped = 'r' // a lot that was mapped, as a record
	kindFailed = 'f' // a lot that failed, as a record
	kindInputs = 'i' // the first record of a journal
)

// maxFrame bounds a frame: a lot of ten million vertices and its zones.
const maxFrame = 1 << 30

// prefixBytes are the length and the checksum before each frame.
const prefixBytes = 8

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

// errTooLarge says that a frame has more bytes than are kept.
type errTooLarge struct{ place, bytes int }

func (e errTooLarge) Error() string {
	return fmt.Sprintf("lot %d takes %d MB, and no more than %d are kept: split it", e.place, e.bytes>>20, maxFrame>>20)
}

// errTorn says that a frame is cut off or damaged.
var errTorn = errors.New("cut off or damaged")

// append adds the frame to a buffer.
func (f frame) append(to []byte) ([]byte, error) {
	at := len(to)
	to = append(to, make([]byte, prefixBytes)...)
	to = append(to, f.kind)
	to = binary.AppendUvarint(to, uint64(f.place))
	to = binary.AppendUvarint(to, uint64(len(f.head)))
	to = append(append(to, f.head...), f.body...)
	payload := to[at+prefixBytes:]
	if len(payload) > maxFrame {
		return nil, errTooLarge{f.place, len(payload)}
	}
	binary.LittleEndian.PutUint32(to[at:], uint32(len(payload)))
	binary.LittleEndian.PutUint32(to[at+4:], crc32.Checksum(payload, castagnoli))
	return to, nil
}

// readFrame reads the next frame: io.EOF at the end, errTorn where it is not
// whole. size is what it takes.
func readFrame(r *bufio.Reader) (f frame, size int64, err error) {
	f, size, _, err = readFrameInto(r, nil)
	return f, size, err
}

// readFrameInto is readFrame into a buffer, which it gives back, grown where it must
// be. The frame is good as long as nothing else is read into it.
func readFrameInto(r *bufio.Reader, buf []byte) (f frame, size int64, grown []byte, err error) {
	var prefix [prefixBytes]byte
	if n, err := io.ReadFull(r, prefix[:]); err != nil {
		if n == 0 && errors.Is(err, io.EOF) {
			return f, 0, buf, io.EOF
		}
		return f, 0, buf, torn(err)
	}
	n := binary.LittleEndian.Uint32(prefix[:])
	if n > maxFrame {
		return f, 0, buf, errTorn
	}
	payload, err := readUpTo(r, int(n), buf)
	if err != nil {
		return f, 0, buf, torn(err)
	}
	if crc32.Checksum(payload, castagnoli) != binary.LittleEndian.Uint32(prefix[4:]) {
		return f, 0, buf, errTorn
	}
	f, err = parseFrame(payload)
	return f, int64(prefixBytes) + int64(n), reusable(payload), err
}

// mostKept is the largest buffer that is kept for what comes next.
const mostKept = 1 << 20

// reusable is a buffer to be used again; nil where it is too large to keep.
func reusable(buf []byte) []byte {
	if cap(buf) > mostKept {
		return nil
	}
	return buf
}

// readFrameAt reads the frame at an offset into a buffer, as readFrameInto does.
func readFrameAt(r io.ReaderAt, offset int64, buf []byte) (f frame, grown []byte, err error) {
	var prefix [prefixBytes]byte
	if _, err := r.ReadAt(prefix[:], offset); err != nil {
		return f, buf, torn(err)
	}
	n := binary.LittleEndian.Uint32(prefix[:])
	if n > maxFrame {
		return f, buf, errTorn
	}
	payload := slices.Grow(buf[:0], int(n))[:n]
	if _, err := r.ReadAt(payload, offset+prefixBytes); err != nil {
		return f, buf, torn(err)
	}
	if crc32.Checksum(payload, castagnoli) != binary.LittleEndian.Uint32(prefix[4:]) {
		return f, buf, errTorn
	}
	f, err = parseFrame(payload)
	return f, reusable(payload), err
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

// torn makes the end of a file within a frame errTorn.
func torn(err error) error {
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return errTorn
	}
	return err
}

func parseFrame(payload []byte) (f frame, err error) {
	if len(payload) == 0 {
		return f, errTorn
	}
	f.kind, payload = payload[0], payload[1:]
	place, n := binary.Uvarint(payload)
	if n <= 0 || place > 1<<40 {
		return f, errTorn
	}
	payload = payload[n:]
	head, n := binary.Uvarint(payload)
	if n <= 0 || head > uint64(len(payload)-n) {
		return f, errTorn
	}
	payload = payload[n:]
	f.place, f.head, f.body = int(place), payload[:head], payload[head:]
	return f, nil
}

// headed makes a frame with a head.
func headed(kind byte, place int, head any, body []byte) (frame, error) {
	text, err := json.Marshal(head)
	return frame{kind, place, text, body}, err
}

// parseHead reads the head of a frame.
func (f frame) parseHead(head any) error {
	if err := json.Unmarshal(f.head, head); err != nil {
		return fmt.Errorf("%w: %v", errTorn, err)
	}
	return nil
}
