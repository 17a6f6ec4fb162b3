package child

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os/exec"
	"sync"
	"sync/atomic"
	"time"
)

// Process is a child as its parent sees it. It belongs to one goroutine, but that any
// may kill it.
type Process struct {
	cmd  *exec.Cmd
	in   io.WriteCloser
	out  *bufio.Reader
	said said

	late  atomic.Bool // it was killed because it took too long
	ended sync.Once
	why   error

	answer []byte // scratch
}

// Start starts a child. Its standard error is kept for what it says of its death.
func Start(cmd *exec.Cmd) (*Process, error) {
	p := &Process{cmd: cmd}
	cmd.Stderr = &p.said
	in, err := cmd.StdinPipe()
	if err != nil {
		return nil, err
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		return nil, err
	}
	if err := cmd.Start(); err != nil {
		return nil, fmt.Errorf("another process cannot be started: %w", err)
	}
	p.in, p.out = in, bufio.NewReaderSize(out, 1<<16)
	return p, nil
}

// Write writes to the child's standard input. One that is gone already is told of when it
// should answer.
func (p *Process) Write(b []byte) (int, error) { return p.in.Write(b) }

// Receive waits for the child's next message, of at most most bytes, and for no longer
// than limit; 0 waits for ever. What it returns is good until it is called again. Where
// nothing comes the child is dead, and the error says of what.
func (p *Process) Receive(limit time.Duration, most int) (payload []byte, err error) {
	if limit > 0 {
		timer := time.AfterFunc(limit, func() {
			p.late.Store(true)
			p.Kill()
		})
		defer timer.Stop()
	}
	payload, err = Open(p.out, most, p.answer)
	p.answer = Reusable(payload)
	if err != nil {
		return nil, p.Died(err)
	}
	return payload, nil
}

// Kill kills the child, which may be gone already.
func (p *Process) Kill() { _ = p.cmd.Process.Kill() }

// End lets the child go, or kills it, and waits until it is gone.
func (p *Process) End() error {
	p.ended.Do(func() {
		_ = p.in.Close()
		p.Kill()
		p.why = p.cmd.Wait()
	})
	return p.why
}

// Errors of children.
var (
	// ErrTookTooLong says that a child was killed for not answering in time.
	ErrTookTooLong = errors.New("took too long")
	// ErrMemory says that a child ended for want of memory.
	ErrMemory = errors.New("out of memory")
)

// death is how a child ended.
type death struct {
	how    string
	memory bool
}

func (d *death) Error() string        { return d.how }
func (d *death) Is(target error) bool { return d.memory && target == ErrMemory }

// Died waits for a child that does not answer, because of err, and says what it died of.
func (p *Process) Died(err error) error {
	// What it wrote before it died is read before it is waited for; killing it
	// would hide how it ended.
	wait := time.AfterFunc(time.Second, p.Kill)
	p.ended.Do(func() {
		_ = p.in.Close()
		p.why = p.cmd.Wait()
	})
	wait.Stop()
	if p.late.Load() {
		return ErrTookTooLong
	}
	how := "it ended without an answer"
	if p.why != nil {
		how = p.why.Error()
	}
	if said := p.said.line(); said != "" {
		how += ": " + said
	} else if err != nil && !errors.Is(err, io.EOF) {
		how += ": " + err.Error()
	}
	return &death{how, p.said.ofMemory()}
}
