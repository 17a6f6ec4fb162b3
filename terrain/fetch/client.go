package fetch

import (
	"bytes"
	"cmp"
	"context"
	"encoding/gob"
	"net/http"
	"sync"
	"time"
)

// Options say how a client asks, and where it keeps what it was given.
type Options struct {
	Agent   string        // name and version of the program, as servers are told; "" is "acreband"
	Dir     string        // folder in which answers are kept; "" keeps some of the ranges in memory, and nothing else
	Bytes   int64         // bound of the folder; 0 is [DefaultBytes]
	Fresh   time.Duration // age up to which what is kept is taken without asking; 0 is [DefaultFresh]
	Offline bool          // ask nothing: take what is kept, whatever its age

	Allow    []string // addresses, or hosts with or without their port, that may be private and may speak http
	AllowAll bool     // any may

	Sign []Signer // of addresses that must be signed before they are asked

	Pause    time.Duration // before the second try, three times that before the third; 0 is [DefaultPause]
	Patience time.Duration // for the begin of an answer, and for each byte of it after; 0 is [DefaultPatience]

	// Tell is told after every request how much was fetched by the client so far, by any goroutine; nil tells nobody.
	Tell func(Fetched)
}

// Fetched is what a client was given by servers, not by its folder.
type Fetched struct {
	Requests int
	Bytes    int64
	Host     string // asked last
}

const (
	DefaultBytes = 2 << 30
	DefaultFresh = 7 * 24 * time.Hour

	DefaultPause    = time.Second
	DefaultPatience = 20 * time.Second
)

// Client asks servers. It may be shared between goroutines.
type Client struct {
	o    Options
	http *http.Client
	keep store
	wait func(context.Context, time.Duration) error // between tries

	mu     sync.Mutex
	allow  map[string]bool
	hosts  map[string]chan struct{} // of each host, places for its requests
	files  map[string]*File
	signed map[string]signature
	sum    Fetched
	recent pages
}

// New makes a client.
func New(o Options) *Client {
	c := &Client{}
	c.begin(o)
	return c
}

func (c *Client) begin(o Options) {
	o.Agent = cmp.Or(o.Agent, "acreband")
	o.Bytes = cmp.Or(o.Bytes, DefaultBytes)
	o.Fresh = cmp.Or(o.Fresh, DefaultFresh)
	o.Pause = cmp.Or(o.Pause, DefaultPause)
	o.Patience = cmp.Or(o.Patience, DefaultPatience)
	c.o, c.wait = o, pause
	c.keep.dir, c.keep.most = o.Dir, o.Bytes
	c.allow, c.hosts, c.files, c.signed = map[string]bool{}, map[string]chan struct{}{}, map[string]*File{}, map[string]signature{}
	c.Allow(o.Allow...)
	c.http = &http.Client{Transport: c.transport(), CheckRedirect: c.checkRedirect}
}

// GobEncode lets a client be sent to another process: its options are, but for whom it tells.
func (c *Client) GobEncode() ([]byte, error) {
	var b bytes.Buffer
	err := gob.NewEncoder(&b).Encode(c.o)
	return b.Bytes(), err
}

// GobDecode makes a client that another process has sent.
func (c *Client) GobDecode(data []byte) error {
	var o Options
	if err := gob.NewDecoder(bytes.NewReader(data)).Decode(&o); err != nil {
		return err
	}
	c.begin(o)
	return nil
}

// Fetched returns what was fetched so far.
func (c *Client) Fetched() Fetched {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.sum
}

// Offline reports whether the client asks nothing.
func (c *Client) Offline() bool { return c.o.Offline }

// count adds what an answer held.
func (c *Client) count(host string, bytes int64) {
	c.mu.Lock()
	c.sum.Requests++
	c.sum.Bytes += bytes
	c.sum.Host = host
	sum := c.sum
	c.mu.Unlock()
	if c.o.Tell != nil {
		c.o.Tell(sum)
	}
}

func pause(ctx context.Context, d time.Duration) error {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-t.C:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}
