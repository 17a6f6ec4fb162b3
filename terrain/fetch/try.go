package fetch

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strconv"
	"time"
)

const (
	tries        = 3
	longestPause = time.Minute // that is waited for because a server asks for it

	connectTime = 10 * time.Second
)

// try asks up to three times, with growing pauses or those that a server asks for.
func (c *Client) try(ctx context.Context, ask func() error) error {
	wait := c.o.Pause
	for n := 1; ; n++ {
		err := ask()
		if err == nil || ctx.Err() != nil {
			return err
		}
		var status *StatusError
		isStatus := errors.As(err, &status)
		if isStatus {
			status.Tries = n
		}
		final := isStatus && !status.passing() || errors.Is(err, ErrForbidden) || errors.Is(err, ErrTooLarge) || errors.Is(err, ErrRanges) || errors.Is(err, ErrChanged)
		if final || n == tries {
			return err
		}
		d := wait
		if isStatus && status.Wait > 0 {
			d = status.Wait
		}
		if until, ok := ctx.Deadline(); d > longestPause || ok && time.Until(until) < d {
			return err // to wait for that would be in vain
		}
		if c.wait(ctx, d) != nil {
			return err
		}
		wait *= 3
	}
}

// request makes one that names the program.
func (c *Client) request(ctx context.Context, method, address string, body []byte) (*http.Request, error) {
	r, err := http.NewRequestWithContext(ctx, method, address, bodyOf(body))
	if err != nil {
		return nil, fmt.Errorf("%w: it is no address: %w", ErrForbidden, err)
	}
	if err := c.checkAddress(r.URL); err != nil {
		return nil, err
	}
	r.Header.Set("User-Agent", c.o.Agent)
	return r, nil
}

// send sends a request once its host has a place for it. What reads the answer ends once no byte comes any more; done
// must be called after that.
func (c *Client) send(r *http.Request) (answer *http.Response, done func(), err error) {
	free, err := c.place(r.Context(), r.URL.Host)
	if err != nil {
		return nil, nil, err
	}
	ctx, cancel := context.WithCancelCause(r.Context())
	answer, err = c.http.Do(r.WithContext(ctx))
	if err != nil {
		cancel(nil)
		free()
		c.count(r.URL.Hostname(), 0)
		return nil, nil, err
	}
	stall := time.AfterFunc(c.o.Patience, func() { cancel(errSlow) })
	answer.Body = &watched{answer.Body, stall, c.o.Patience, ctx}
	return answer, func() {
		stall.Stop()
		_ = answer.Body.Close() // read as far as it is wanted
		cancel(nil)
		free()
	}, nil
}

// watched reads an answer, and puts its end off with every byte.
type watched struct {
	io.ReadCloser
	stall *time.Timer
	after time.Duration
	ctx   context.Context
}

func (w *watched) Read(p []byte) (int, error) {
	n, err := w.ReadCloser.Read(p)
	if n > 0 {
		w.stall.Reset(w.after)
	}
	if err != nil && err != io.EOF && errors.Is(context.Cause(w.ctx), errSlow) {
		err = errSlow
	}
	return n, err
}

func brokenOff(err error) error {
	if errors.Is(err, errSlow) {
		return err
	}
	return fmt.Errorf("%w: %w", errBroken, err)
}

// refusal is what an answer that gives nothing says.
func refusal(answer *http.Response) error {
	return &StatusError{Code: answer.StatusCode, Wait: retryAfter(answer.Header.Get("Retry-After"), time.Now()), Tries: 1}
}

// retryAfter reads seconds or a date; 0 where it says neither.
func retryAfter(text string, now time.Time) time.Duration {
	if s, err := strconv.ParseUint(text, 10, 31); err == nil {
		return time.Duration(s) * time.Second
	}
	if at, err := http.ParseTime(text); err == nil && at.After(now) {
		return at.Sub(now).Round(time.Second)
	}
	return 0
}
