package child

import (
	"context"
	"io"
	"os"
	"os/exec"
	"time"
)

// Question is what is asked of a child that answers once.
type Question struct {
	Job   []byte
	Most  int           // bytes of the answer
	Limit time.Duration // for all of it; 0 waits for ever
}

// Ask starts a child, sends it a job and waits for its one answer. The child is gone when
// Ask returns: it is killed when the context ends, when time is over and when it has
// answered. Errors are that of the context, [ErrTookTooLong], [ErrMemory], or in words how
// the child ended.
func Ask(ctx context.Context, cmd *exec.Cmd, q Question) (answer []byte, err error) {
	p, err := Start(cmd)
	if err != nil {
		return nil, err
	}
	defer func() { _ = p.End() }() // how it ended is known
	undo := context.AfterFunc(ctx, p.Kill)
	defer undo()
	message := append(make([]byte, PrefixBytes, PrefixBytes+len(q.Job)), q.Job...)
	Seal(message)
	_, _ = p.Write(message)
	answer, err = p.Receive(q.Limit, q.Most)
	if err != nil && ctx.Err() != nil {
		return nil, ctx.Err()
	}
	return answer, err
}

// Answer is the other side of [Ask]: it reads the job from in and writes to out what do
// makes of it. It ends the process when in ends before that: whoever asked is gone.
func Answer(in io.Reader, out io.Writer, most int, do func(job []byte) ([]byte, error)) error {
	job, err := Open(in, most, nil)
	if err != nil {
		return err
	}
	go untilGone(in)
	answer, err := do(job)
	if err != nil {
		return err
	}
	message := append(make([]byte, PrefixBytes, PrefixBytes+len(answer)), answer...)
	Seal(message)
	_, err = out.Write(message)
	return err
}

// untilGone reads until in ends, which it does when the parent is gone, and ends the
// process then.
func untilGone(in io.Reader) {
	_, _ = io.Copy(io.Discard, in)
	os.Exit(1)
}
