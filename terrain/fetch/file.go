package fetch

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"strings"
	"sync"
	"time"
)

const (
	pageBytes = 32 << 10 // a file is fetched and kept in pages of this
	firstRead = 2        // pages that are fetched to look at a file: its header most often fits
	mostRun   = 256      // pages asked for at once: 8 MB
	gapPages  = 1        // fetched with their neighbours rather than by a request more
	mostWhole = 64 << 20 // bytes of a file that a server gives only whole
)

// File is a file on a server, of which only what is read is fetched. It may be shared between goroutines.
type File struct {
	Address string
	Size    int64

	client *Client
	mu     sync.Mutex // while pages are fetched
	kept   *kept
	opened time.Time
}

// Fetched is when this edition of the file was fetched first, to the second, in UTC.
func (f *File) Fetched() time.Time { return f.kept.About.Fetched }

// File looks at a file: its size, and whether it is still the one of which something is kept. One that the client looked at before, or
// that is kept and fresh, is not asked for again.
func (c *Client) File(ctx context.Context, address string) (*File, error) {
	c.mu.Lock()
	f := c.files[address]
	c.mu.Unlock()
	if f != nil && (c.o.Offline || time.Since(f.opened) < c.o.Fresh) {
		return f, nil
	}
	e := c.keep.file(address)
	known := e.About.Kind == KindFile
	switch {
	case known && (c.o.Offline || time.Since(e.About.Checked) < c.o.Fresh):
		e.use()
	case c.o.Offline:
		return nil, &Error{shown(address), ErrOffline}
	default:
		if err := c.try(ctx, func() error { return c.look(ctx, address, e) }); err != nil {
			return nil, c.failed(ctx, address, err)
		}
	}
	f = &File{Address: address, Size: e.About.Size, client: c, kept: e, opened: time.Now()}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.files[address] = f
	return f, nil
}

// look fetches the first pages of a file, and what the server says of it.
func (c *Client) look(ctx context.Context, address string, e *kept) error {
	data, about, err := c.fetchRange(ctx, address, 0, firstRead*pageBytes)
	if err != nil {
		return err
	}
	now := time.Now().UTC().Truncate(time.Second)
	about.Kind, about.Address, about.Fetched, about.Checked = KindFile, shown(address), now, now
	old := e.About
	e.About = about
	if old.Kind == KindFile && old.Size == about.Size && old.Validator == about.Validator && about.Validator != "" {
		e.About.Fetched = old.Fetched
	} else {
		e.forgetOthers()
		if about.Validator == "" && old.Kind == KindFile {
			e.forget() // nothing tells whether it is the same
		}
	}
	c.takePages(address, e, 0, data)
	if e.path != "" {
		_ = e.writeAbout()
	}
	return nil
}

// fetchRange asks for bytes of a file from an offset. It returns all of the file where the server gives it only whole.
func (c *Client) fetchRange(ctx context.Context, address string, from, length int64) ([]byte, About, error) {
	ask, err := c.signedFor(ctx, address)
	if err != nil {
		return nil, About{}, err
	}
	r, err := c.request(ctx, http.MethodGet, ask, nil)
	if err != nil {
		return nil, About{}, err
	}
	r.Header.Set("Range", fmt.Sprintf("bytes=%d-%d", from, from+length-1))
	r.Header.Set("Accept-Encoding", "identity")
	answer, done, err := c.send(r)
	if err != nil {
		return nil, About{}, err
	}
	defer done()
	about := About{Validator: answer.Header.Get("ETag")}
	if about.Validator == "" {
		about.Validator = answer.Header.Get("Last-Modified")
	}
	var first, last int64
	switch answer.StatusCode {
	case http.StatusPartialContent:
		_, err := fmt.Sscanf(strings.ToLower(answer.Header.Get("Content-Range")), "bytes %d-%d/%d", &first, &last, &about.Size)
		if err != nil || first != from || last != min(from+length, about.Size)-1 {
			return nil, About{}, fmt.Errorf("%w: asked for bytes %d to %d, given %q", errBroken, from, from+length-1, answer.Header.Get("Content-Range"))
		}
	case http.StatusOK:
		if answer.ContentLength < 0 || answer.ContentLength > mostWhole {
			return nil, About{}, ErrRanges
		}
		about.Size, last = answer.ContentLength, answer.ContentLength-1
	default:
		return nil, About{}, refusal(answer)
	}
	data := make([]byte, last-first+1)
	n, err := io.ReadFull(answer.Body, data)
	c.count(r.URL.Hostname(), int64(n))
	if err != nil {
		return nil, About{}, brokenOff(err)
	}
	return data, about, nil
}

// takePages keeps data, which begins with a page and ends with one or with the file.
func (c *Client) takePages(address string, e *kept, first int64, data []byte) {
	for n := first; len(data) > 0; n++ {
		page := data[:min(pageBytes, len(data))]
		data = data[len(page):]
		e.writePage(n, page)
		c.recent.put(pageKey{address, n}, page)
	}
}

// ReadAt is [io.ReaderAt]: without a context, since what calls it knows none. Each request ends within the client's limits.
func (f *File) ReadAt(p []byte, off int64) (int, error) {
	n, err := f.ReadAll(context.Background(), [][]byte{p}, []int64{off})
	if err != nil {
		return 0, err
	}
	if n[0] < len(p) {
		return n[0], io.EOF
	}
	return n[0], nil
}

// ReadAll fills several buffers from as many offsets, by as few requests as serve, and returns how much of each was filled: less only at
// the file's end.
func (f *File) ReadAll(ctx context.Context, into [][]byte, at []int64) ([]int, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	filled := make([]int, len(into))
	got := map[int64][]byte{}
	var missing []int64
	for i, p := range into {
		if at[i] < 0 {
			return nil, &Error{shown(f.Address), fmt.Errorf("offset %d lies before the file", at[i])}
		}
		filled[i] = int(max(0, min(int64(len(p)), f.Size-at[i])))
		for n := at[i] / pageBytes; n*pageBytes < at[i]+int64(filled[i]); n++ {
			if _, seen := got[n]; seen {
				continue
			}
			got[n] = f.page(n)
			if got[n] == nil {
				missing = append(missing, n)
			}
		}
	}
	if err := f.fetch(ctx, missing, got); err != nil {
		return nil, f.client.failed(ctx, f.Address, err)
	}
	for i, p := range into {
		for done := 0; done < filled[i]; {
			n := at[i] + int64(done)
			done += copy(p[done:filled[i]], got[n/pageBytes][n%pageBytes:])
		}
	}
	return filled, nil
}

// page is a page that is kept; nil where it must be fetched.
func (f *File) page(n int64) []byte {
	key := pageKey{f.Address, n}
	if p := f.client.recent.get(key); p != nil {
		return p
	}
	p, ok := f.kept.page(n)
	if !ok || int64(len(p)) != min(pageBytes, f.Size-n*pageBytes) {
		return nil
	}
	f.client.recent.put(key, p)
	return p
}
