package lots

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"sync"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/child"
	"github.com/acreband/acreband/zoning/resume"
)

// journalHead is the first record of a journal: what the others were made from. Where more of
// that is known later, since a lot could be read that could not before, it is written again,
// and the last counts.
type journalHead struct {
	Format int           `json:"format"`
	Inputs resume.Inputs `json:"inputs"`
	Fleet  zoning.Fleet  `json:"fleet"`
	Shard  Shard         `json:"shard"`
	Lots   int           `json:"lots"`            // of the whole file
	Units  measure.Units `json:"units,omitempty"` // of words and features; none are US

	Surface bool `json:"surface,omitempty"` // growth was measured
	Lent    bool `json:"lent,omitempty"`    // maps of others show something around the lots

	Sums lotSums `json:"-"` // of the lots of the whole file: the body of the record
}

// frame is the record of a head.
func (h journalHead) frame() (frame, error) {
	h.Format = journalFormat
	return headed(kindInputs, 0, h, h.Sums.append(nil))
}

// headIn reads a head from its record.
func headIn(f frame) (h journalHead, err error) {
	if f.kind != kindInputs {
		return h, errTorn
	}
	if err := f.parseHead(&h); err != nil || h.Format != journalFormat {
		return h, err
	}
	h.Sums, err = lotSumsIn(f.body)
	return h, err
}

// journalFormat changes with what records hold.
const journalFormat = 5

// own is how many lots are the shard's.
func (h journalHead) own() int {
	from, to := h.Shard.part(h.Lots)
	return to - from
}

// storage is a journal's file.
type storage interface {
	io.Writer
	io.ReaderAt
	Truncate(size int64) error
	Sync() error
	Close() error
}

// journal is an append-only file of records. Records that end up in it twice count
// as their last: a lot that failed may have been tried again.
type journal struct {
	path string
	head journalHead

	mu    sync.Mutex
	file  storage
	size  int64
	dirty bool
	at    map[int]located // by place
	fails int

	buf, read []byte // scratch
}

// located is where a record lies.
type located struct {
	offset int64
	failed bool
}

// createJournal begins a journal in a file that is empty.
func createJournal(path string, file storage, head journalHead) (*journal, error) {
	j := &journal{path: path, file: file, at: map[int]located{}}
	return j, j.renew(head)
}

// renew writes the head again.
func (j *journal) renew(head journalHead) error {
	f, err := head.frame()
	if err != nil {
		return err
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	if err := j.write(f); err != nil {
		return fmt.Errorf("%s: %w", j.path, err)
	}
	j.head = head
	return nil
}

// openJournal reads a journal through. What is not whole at its end is cut off
// where mend is set, and told of in torn. A [Fault] says that it cannot be used.
func openJournal(path string, file *os.File, mend bool) (j *journal, torn int64, err error) {
	info, err := file.Stat()
	if err != nil {
		return nil, 0, err
	}
	r := bufio.NewReaderSize(io.NewSectionReader(file, 0, info.Size()), 1<<20)
	first, size, err := readFrame(r)
	j = &journal{path: path, file: file, at: map[int]located{}, size: size}
	if err == nil {
		j.head, err = headIn(first)
	}
	if err != nil {
		return nil, 0, &Fault{path + ": is no journal of this program, or its beginning is damaged", "remove it, or begin again with " + setting.Name("anew")}
	}
	if j.head.Format != journalFormat {
		return nil, 0, &Fault{path + ": is a journal of another version of this program", "go on with that version, or begin again with " + setting.Name("anew")}
	}
	for {
		f, n, err := readFrame(r)
		if errors.Is(err, io.EOF) || errors.Is(err, errTorn) {
			break
		}
		if err != nil {
			return nil, 0, fmt.Errorf("%s: %w", path, err)
		}
		if f.kind == kindInputs {
			head, err := headIn(f)
			if err != nil {
				break
			}
			j.head = head
		}
		j.note(f, j.size)
		j.size += n
	}
	torn = info.Size() - j.size
	if torn > 0 && mend {
		if err := file.Truncate(j.size); err != nil {
			return nil, 0, fmt.Errorf("%s: %w", path, err)
		}
	}
	if _, err := file.Seek(j.size, io.SeekStart); err != nil {
		return nil, 0, fmt.Errorf("%s: %w", path, err)
	}
	return j, torn, nil
}

// note takes a record into the account.
func (j *journal) note(f frame, offset int64) {
	if f.kind != kindMapped && f.kind != kindFailed && f.kind != kindForget {
		return
	}
	if j.at[f.place].failed {
		j.fails--
	}
	if f.kind == kindForget {
		delete(j.at, f.place)
		return
	}
	j.at[f.place] = located{offset, f.kind == kindFailed}
	if f.kind == kindFailed {
		j.fails++
	}
}

// add appends a record. Where it cannot be written whole, the journal is as before.
func (j *journal) add(f frame) error {
	j.mu.Lock()
	defer j.mu.Unlock()
	offset := j.size
	if err := j.write(f); err != nil {
		return fmt.Errorf("%s: %w", j.path, err)
	}
	j.note(f, offset)
	return nil
}

// forget has a lot count as one that has no record.
func (j *journal) forget(place int) error {
	if _, ok := j.finished(place); !ok {
		return nil
	}
	return j.add(frame{kind: kindForget, place: place})
}

func (j *journal) write(f frame) error {
	b, err := f.append(j.buf[:0])
	if err != nil {
		return err
	}
	j.buf = child.Reusable(b)
	if n, err := j.file.Write(b); err != nil {
		if n > 0 {
			err = errors.Join(err, j.cut())
		}
		return err
	}
	j.size += int64(len(b))
	j.dirty = true
	return nil
}

// cut takes away what was written of a record.
func (j *journal) cut() error {
	if err := j.file.Truncate(j.size); err != nil {
		return err
	}
	if s, ok := j.file.(io.Seeker); ok {
		_, err := s.Seek(j.size, io.SeekStart)
		return err
	}
	return nil
}

// flush puts what was added on the disk itself.
func (j *journal) flush() error {
	j.mu.Lock()
	dirty := j.dirty
	j.dirty = false
	j.mu.Unlock()
	if !dirty {
		return nil
	}
	if err := j.file.Sync(); err != nil {
		return fmt.Errorf("%s: %w", j.path, err)
	}
	return nil
}

// finished reports whether a lot has a record, and counts those.
func (j *journal) finished(place int) (located, bool) {
	j.mu.Lock()
	defer j.mu.Unlock()
	l, ok := j.at[place]
	return l, ok
}

// counts is how many lots have a record, and how many of them failed.
func (j *journal) counts() (lots, failed int) {
	j.mu.Lock()
	defer j.mu.Unlock()
	return len(j.at), j.fails
}

// record reads a record again. It is good until the next is read.
func (j *journal) record(at located) (frame, error) {
	f, buf, err := readFrameAt(j.file, at.offset, j.read)
	j.read = buf
	if err != nil {
		return f, fmt.Errorf("%s: at byte %d: %w", j.path, at.offset, err)
	}
	return f, nil
}
