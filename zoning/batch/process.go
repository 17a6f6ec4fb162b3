package batch

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"strings"
	"sync"
	"sync/atomic"
	"time"
)

// process is a reader or a worker as the one that looks after it sees it. It
// belongs to one goroutine, but that any may kill it.
type process struct {
	cmd   *exec.Cmd
	in    io.WriteCloser
	out   *bufio.Reader
	said  *tail
	limit time.Duration // for one answer; 0 waits for ever

	ready bool        // it has answered
	late  atomic.Bool // it was killed because it took too long
	ended sync.Once
	why   error

	buf, answer []byte // scratch
}

// startLimit is the least time that a process gets for its first answer: it may have
// to wait for a processor, or for a disk that sleeps.
const startLimit = time.Minute

// start starts a process and gives it its job.
func start(cmd *exec.Cmd, job []byte, as int, limit time.Duration) (*process, error) {
	p := &process{cmd: cmd, said: &tail{}, limit: limit}
	cmd.Stderr = p.said
	cmd.Env = append(cmd.Environ(), environment(as)...)
	in, err := cmd.StdinPipe()
	if err != nil {
		return nil, err
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		return nil, err
	}
	p.in, p.out = in, bufio.NewReaderSize(out, 1<<16)
	text, err := frame{kind: kindJob, place: as, body: job}.append(nil)
	if err != nil {
		return nil, err
	}
	if err := cmd.Start(); err != nil {
		return nil, fmt.Errorf("another process cannot be started: %w", err)
	}
	_, _ = in.Write(text) // one that is gone already is told of when it should answer
	return p, nil
}

// environment is what a process is told beside its job: a worker is one of many and
// keeps to one processor, and its own block cache takes the place of GDAL's.
func environment(as int) []string {
	if as != asWorker {
		return nil
	}
	set := []string{"GOMAXPROCS=1"}
	if os.Getenv("GDAL_CACHEMAX") == "" {
		set = append(set, "GDAL_CACHEMAX=16") // MB
	}
	return set
}

func (p *process) send(f frame) (err error) {
	if p.buf, err = f.append(p.buf[:0]); err != nil {
		return err
	}
	_, err = p.in.Write(p.buf)
	return err
}

// receive waits for the next answer, which is good until the one after. Where there is
// none the process is dead, and the error says of what.
func (p *process) receive() (frame, error) {
	limit := p.limit
	if limit > 0 {
		if !p.ready {
			limit = max(limit, startLimit)
		}
		timer := time.AfterFunc(limit, func() {
			p.late.Store(true)
			p.kill()
		})
		defer timer.Stop()
	}
	f, _, buf, err := readFrameInto(p.out, p.answer)
	p.answer = buf
	if err != nil {
		return f, within(limit, p.died(err))
	}
	if f.kind == kindFault {
		fault := &Fault{}
		if err := f.parseHead(fault); err != nil {
			return f, err
		}
		return f, fault
	}
	p.ready = true
	return f, nil
}

func (p *process) kill() { _ = p.cmd.Process.Kill() } // it may be gone already

// end lets a process go, or kills it, and waits until it is gone.
func (p *process) end() error {
	p.ended.Do(func() {
		_ = p.in.Close()
		p.kill()
		p.why = p.cmd.Wait()
	})
	return p.why
}

// errTookTooLong says that a process was killed for not answering in time.
var errTookTooLong = errors.New("took too long")

// died waits for a process that does not answer and says what it died of.
func (p *process) died(err error) error {
	// What it wrote before it died is read before it is waited for; killing it
	// would hide how it ended.
	wait := time.AfterFunc(time.Second, p.kill)
	p.ended.Do(func() {
		_ = p.in.Close()
		p.why = p.cmd.Wait()
	})
	wait.Stop()
	if p.late.Load() {
		return errTookTooLong
	}
	how := "it ended without an answer"
	if p.why != nil {
		how = p.why.Error()
	} else if err != nil && !errors.Is(err, io.EOF) {
		how = err.Error()
	}
	if said := p.said.line(); said != "" {
		how += ": " + said
	}
	return errors.New(how)
}

// tail keeps the beginning of what a process says on standard error, where Go's
// runtime puts why it died before the stacks of all goroutines.
type tail struct {
	mu   sync.Mutex
	text []byte
}

// saidBytes is how much of it is kept.
const saidBytes = 4096

func (t *tail) Write(b []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.text = append(t.text, b[:min(len(b), saidBytes-len(t.text))]...)
	return len(b), nil
}

// line is the first line that says something: Go's own words for a fault in C begin
// with the signal, for one in Go with panic or fatal error.
func (t *tail) line() string {
	t.mu.Lock()
	defer t.mu.Unlock()
	for _, l := range strings.Split(string(t.text), "\n") {
		for _, sign := range []string{"fatal error: ", "panic: ", "SIG", "unexpected fault", "runtime: "} {
			if strings.HasPrefix(l, sign) {
				return strings.TrimSpace(l)
			}
		}
	}
	first, _, _ := strings.Cut(strings.TrimSpace(string(t.text)), "\n")
	return first
}
