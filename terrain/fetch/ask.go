package fetch

import (
	"bytes"
	"context"
	"errors"
	"io"
	"net/http"
	"time"
)

// Question is one whole answer that is wanted.
type Question struct {
	Method  string // "" is GET
	Address string
	Body    []byte
	Type    string        // media type of the body
	Accept  string        // media type wanted; "" takes any
	Most    int64         // bytes that the answer may have; 0 is 64 MB
	Fresh   time.Duration // instead of the client's, where this is not 0
}

// Answer is a whole answer.
type Answer struct {
	Body    []byte
	Fetched time.Time // when the server gave it, to the second, in UTC
	Kept    bool      // it was taken from the folder
}

const mostAnswer = 64 << 20

// Ask gets a whole answer: from the client's folder where it is kept and fresh, else from the server. Only an answer 200 that came
// whole is returned or kept. Once the context is done it returns the context's error.
func (c *Client) Ask(ctx context.Context, q Question) (*Answer, error) {
	if q.Method == "" {
		q.Method = http.MethodGet
	}
	if q.Most == 0 {
		q.Most = mostAnswer
	}
	if q.Fresh == 0 {
		q.Fresh = c.o.Fresh
	}
	e := c.keep.answer(q)
	if body, ok := e.body(); ok && (c.o.Offline || time.Since(e.About.Fetched) < q.Fresh) {
		e.use()
		return &Answer{Body: body, Fetched: e.About.Fetched, Kept: true}, nil
	}
	if c.o.Offline {
		return nil, &Error{shown(q.Address), ErrOffline}
	}
	var body []byte
	err := c.try(ctx, func() error {
		r, err := c.request(ctx, q.Method, q.Address, q.Body)
		if err != nil {
			return err
		}
		if q.Type != "" {
			r.Header.Set("Content-Type", q.Type)
		}
		if q.Accept != "" {
			r.Header.Set("Accept", q.Accept)
		}
		body, err = c.whole(r, q.Most)
		return err
	})
	if err != nil {
		return nil, c.failed(ctx, q.Address, err)
	}
	now := time.Now().UTC().Truncate(time.Second)
	e.About = About{Kind: KindAnswer, Address: shown(q.Address), Size: int64(len(body)), Fetched: now, Checked: now}
	e.writeBody(body)
	return &Answer{Body: body, Fetched: now}, nil
}

// whole gets an answer that must be 200 and no longer than most.
func (c *Client) whole(r *http.Request, most int64) ([]byte, error) {
	answer, done, err := c.send(r)
	if err != nil {
		return nil, err
	}
	defer done()
	if answer.StatusCode != http.StatusOK {
		return nil, refusal(answer)
	}
	if answer.ContentLength > most {
		return nil, ErrTooLarge
	}
	body, err := io.ReadAll(io.LimitReader(answer.Body, most+1))
	c.count(r.URL.Hostname(), int64(len(body)))
	switch {
	case err != nil:
		return nil, brokenOff(err)
	case int64(len(body)) > most:
		return nil, ErrTooLarge
	case answer.ContentLength >= 0 && int64(len(body)) != answer.ContentLength:
		return nil, errBroken
	}
	return body, nil
}

// failed is an error with the address it belongs to; the context's own where that is done.
func (c *Client) failed(ctx context.Context, address string, err error) error {
	if ended := ctx.Err(); errors.Is(ended, context.Canceled) {
		return ended
	}
	return &Error{shown(address), err}
}

func bodyOf(b []byte) io.Reader {
	if b == nil {
		return nil
	}
	return bytes.NewReader(b)
}
