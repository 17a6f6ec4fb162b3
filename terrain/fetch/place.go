package fetch

import (
	"context"
	"crypto/sha256"
	"fmt"
	"os"
	"path/filepath"
	"time"
)

// atOnce is how many requests one host is asked at a time, over all processes that share a folder.
const atOnce = 4

// place waits until a host has a place for one more request, and returns what frees it.
func (c *Client) place(ctx context.Context, host string) (free func(), err error) {
	c.mu.Lock()
	places := c.hosts[host]
	if places == nil {
		places = make(chan struct{}, atOnce)
		c.hosts[host] = places
	}
	c.mu.Unlock()
	select {
	case places <- struct{}{}:
	case <-ctx.Done():
		return nil, ctx.Err()
	}
	held, err := c.keep.lockPlace(ctx, host)
	if err != nil {
		<-places
		return nil, err
	}
	return func() {
		if held != nil {
			_ = held.Close() // which unlocks it
		}
		<-places
	}, nil
}

// lockPlace waits for one of a host's places that other processes know of too. It is nil where there is no folder to share.
func (s *store) lockPlace(ctx context.Context, host string) (*os.File, error) {
	if s.dir == "" {
		return nil, nil
	}
	folder := filepath.Join(s.dir, "places")
	if os.MkdirAll(folder, 0o700) != nil {
		return nil, nil
	}
	name := fmt.Sprintf("%x", sha256.Sum256([]byte(host)))[:16]
	for wait := 5 * time.Millisecond; ; wait = min(2*wait, 100*time.Millisecond) {
		for i := range atOnce {
			f, err := os.OpenFile(filepath.Join(folder, fmt.Sprintf("%s-%d", name, i)), os.O_CREATE|os.O_RDWR, 0o600)
			if err != nil {
				return nil, nil // a folder that only others write is no reason to ask nobody
			}
			if lock(f) == nil {
				return f, nil
			}
			_ = f.Close()
		}
		if err := pause(ctx, wait); err != nil {
			return nil, err
		}
	}
}
