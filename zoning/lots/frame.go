package lots

import (
	"bufio"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"github.com/acreband/acreband/zoning/child"
)

// A frame is a message between processes, a record of the journal and a lot in the
// spool, sealed by [child.Seal]: a letter that says what it is, the place of the lot it
// concerns, a head as JSON with its length, and a body.
type frame struct {
	kind  byte
	place int
	head  []byte
	body  []byte
}

// Kinds of frames.
const (
	kindJob    = 'j' // to a process: what to do; body is gob
	kindReady  = 'h' // from a process: it can begin
	kindFault  = 'x' // from a process: it cannot go on; head is a fault
	kindLook   = 'b' // from the reader: it begins with a lot
	kindSpot   = 'o' // from the reader: where the next lot comes in the order
	kindLot    = 'l' // a lot, in the spool and to workers
	kindEnd    = 'e' // from the reader: no more lots; to a worker: no more work; body is gob
	kindMapped = 'r' // a lot that was mapped, as a record
	kindFailed = 'f' // a lot that failed, as a record
	kindInputs = 'i' // the first record of a journal
	kindForget = 'u' // in a journal: the lot's record counts no more
)

// maxFrame bounds a frame: a lot of ten million vertices and its zones.
const maxFrame = 1 << 30

// errTooLarge says that a frame has more bytes than are kept.
type errTooLarge struct{ place, bytes int }

func (e errTooLarge) Error() string {
	return fmt.Sprintf("lot %d takes %d MB, and no more than %d are kept: split it", e.place, e.bytes>>20, maxFrame>>20)
}

// errTorn says that a frame is cut off or damaged.
var errTorn = child.ErrTorn

// append adds the frame to a buffer.
func (f frame) append(to []byte) ([]byte, error) {
	at := len(to)
	to = append(to, make([]byte, child.PrefixBytes)...)
	to = append(to, f.kind)
	to = binary.AppendUvarint(to, uint64(f.place))
	to = binary.AppendUvarint(to, uint64(len(f.head)))
	to = append(append(to, f.head...), f.body...)
	if n := len(to) - at - child.PrefixBytes; n > maxFrame {
		return nil, errTooLarge{f.place, n}
	}
	child.Seal(to[at:])
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
func readFrameInto(r io.Reader, buf []byte) (f frame, size int64, grown []byte, err error) {
	payload, err := child.Open(r, maxFrame, buf)
	if err != nil {
		return f, 0, buf, err
	}
	f, err = parseFrame(payload)
	return f, int64(child.PrefixBytes + len(payload)), child.Reusable(payload), err
}

// readFrameAt reads the frame at an offset into a buffer, as readFrameInto does.
func readFrameAt(r io.ReaderAt, offset int64, buf []byte) (f frame, grown []byte, err error) {
	f, _, grown, err = readFrameInto(io.NewSectionReader(r, offset, child.PrefixBytes+maxFrame), buf)
	if errors.Is(err, io.EOF) {
		err = errTorn
	}
	return f, grown, err
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
