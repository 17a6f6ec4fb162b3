package lots

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning"
)

// depth is how many lots a worker is given before it has answered the first, so
// that it need not wait for the next.
const depth = 3

// Serve is a process that another run of this package has started: it does what it
// is told from in and answers on out, as a reader or a worker. It ends the process
// when in ends: whoever gave the work is gone.
func Serve(in io.Reader, out io.Writer, mapper func(Job) (Mapper, error)) error {
	if in == nil || out == nil || mapper == nil {
		return errors.New("no work can come, be done or be answered: give in, out and a mapper")
	}
	r := bufio.NewReaderSize(in, 1<<16)
	first, _, err := readFrame(r)
	if err != nil {
		return fmt.Errorf("no job came: %w", err)
	}
	job, err := decodeJob(first.body)
	if err != nil {
		return fmt.Errorf("the job cannot be read: %w", err)
	}
	answers := &answering{out: bufio.NewWriterSize(out, 1<<16)}
	if first.place == asReader {
		go untilGone(r, nil)
		return readAll(job, answers)
	}
	lots := make(chan frame, depth)
	go untilGone(r, lots)
	return work(job, lots, answers, mapper)
}

// What a process is to be, in the place of its job's frame.
const (
	asReader = 1
	asWorker = 2
)

// untilGone hands frames on, and ends the process when there are no more.
func untilGone(r *bufio.Reader, to chan<- frame) {
	for {
		f, _, err := readFrame(r)
		if err != nil {
			os.Exit(1)
		}
		to <- f
	}
}

// answering sends frames.
type answering struct {
	out *bufio.Writer
	buf []byte
}

func (a *answering) send(f frame) (err error) {
	if a.buf, err = f.append(a.buf[:0]); err != nil {
		return err
	}
	if _, err := a.out.Write(a.buf); err != nil {
		return err
	}
	return a.out.Flush()
}

// fail says that the process cannot go on.
func (a *answering) fail(err error) error {
	f, e := headed(kindFault, 0, faultOf(err), nil)
	return errors.Join(e, a.send(f))
}

// work maps lots until it is told that there are no more.
func work(job Job, lots <-chan frame, answers *answering, mapper func(Job) (Mapper, error)) error {
	m, err := mapper(job)
	if err != nil {
		return answers.fail(err)
	}
	if err := answers.send(frame{kind: kindReady}); err != nil {
		return err
	}
	w := newRecorder()
	for f := range lots {
		if f.kind == kindEnd {
			return answers.send(frame{kind: kindEnd, body: appendCounts(nil, m.Counts())})
		}
		lot, err := lotOf(f)
		if err != nil {
			return err
		}
		answer, err := mapOne(m, w, lot)
		if err == nil {
			err = answers.send(answer)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// mapOne maps a lot and makes its record.
func mapOne(m Mapper, w *recorder, lot zoning.Lot) (frame, error) {
	zones, err := m.Map(lot)
	if err != nil {
		return failedLot(lot, faultOf(err))
	}
	f, err := w.mapped(lot, zones)
	if err == nil && len(f.head)+len(f.body) > maxFrame/2 {
		return failedLot(lot, &Fault{fmt.Sprintf("its zones take %d MB", len(f.body)>>20), "split the lot, or use a coarser raster"})
	}
	f.place = lot.Place
	return f, err
}

// appendCounts writes what a worker's cache did.
func appendCounts(b []byte, n raster.CacheCounts) []byte {
	for _, v := range []int{n.Touched, n.Decoded, n.Served} {
		b = binary.AppendUvarint(b, uint64(v))
	}
	return b
}

func countsOf(b []byte) (n raster.CacheCounts) {
	for _, v := range []*int{&n.Touched, &n.Decoded, &n.Served} {
		x, used := binary.Uvarint(b)
		if used <= 0 {
			return n
		}
		*v, b = int(x), b[used:]
	}
	return n
}
