package lots

import (
	"os"
	"os/exec"
	"time"

	"github.com/acreband/acreband/zoning/child"
)

// process is a reader or a worker as the one that looks after it sees it.
type process struct {
	*child.Process
	limit time.Duration // for one answer; 0 waits for ever
	ready bool          // it has answered
	buf   []byte        // scratch
}

// startLimit is the least time that a process gets for its first answer: it may have
// to wait for a processor, or for a disk that sleeps.
const startLimit = time.Minute

// start starts a process and gives it its job.
func start(cmd *exec.Cmd, job []byte, as int, limit time.Duration) (*process, error) {
	cmd.Env = append(cmd.Environ(), environment(as)...)
	text, err := frame{kind: kindJob, place: as, body: job}.append(nil)
	if err != nil {
		return nil, err
	}
	p, err := child.Start(cmd)
	if err != nil {
		return nil, err
	}
	_, _ = p.Write(text) // one that is gone already is told of when it should answer
	return &process{Process: p, limit: limit}, nil
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
	_, err = p.Write(p.buf)
	return err
}

// receive waits for the next answer, which is good until the one after. Where there is
// none the process is dead, and the error says of what.
func (p *process) receive() (frame, error) {
	limit := p.limit
	if limit > 0 && !p.ready {
		limit = max(limit, startLimit)
	}
	payload, err := p.Receive(limit, maxFrame)
	if err != nil {
		return frame{}, within(limit, err)
	}
	f, err := parseFrame(payload)
	if err != nil {
		return f, p.Died(err)
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

var (
	// errTookTooLong says that a process was killed for not answering in time.
	errTookTooLong = child.ErrTookTooLong
	// errMemory says that a process ended for want of memory.
	errMemory = child.ErrMemory
)
