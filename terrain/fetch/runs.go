package fetch

import (
	"container/list"
	"context"
	"slices"
	"sync"
)

// run is pages that are asked for together.
type run struct{ first, n int64 }

// runsOf puts pages into runs, with the gaps that are not worth a request.
func runsOf(missing []int64) (runs []run) {
	slices.Sort(missing)
	for _, n := range slices.Compact(missing) {
		if last := len(runs) - 1; last >= 0 {
			r := &runs[last]
			if grown := n + 1 - r.first; n <= r.first+r.n+gapPages && grown <= mostRun {
				r.n = grown
				continue
			}
		}
		runs = append(runs, run{n, 1})
	}
	return runs
}

// fetch fetches pages, some runs of them at once.
func (f *File) fetch(ctx context.Context, missing []int64, got map[int64][]byte) error {
	if len(missing) == 0 {
		return nil
	}
	if f.client.o.Offline {
		return ErrOffline
	}
	var all sync.WaitGroup
	var mu sync.Mutex
	var failed error
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	for _, r := range runsOf(missing) {
		all.Go(func() {
			data, err := f.fetchRun(ctx, r)
			mu.Lock()
			defer mu.Unlock()
			if err != nil {
				if failed == nil {
					failed = err
					stop()
				}
				return
			}
			for i := range r.n {
				from := i * pageBytes
				if from < int64(len(data)) {
					got[r.first+i] = data[from:min(from+pageBytes, int64(len(data)))]
				}
			}
		})
	}
	all.Wait()
	return failed
}

// fetchRun fetches a run of pages, which must be of the edition that was looked at.
func (f *File) fetchRun(ctx context.Context, r run) (data []byte, err error) {
	c, from := f.client, r.first*pageBytes
	to := min((r.first+r.n)*pageBytes, f.Size)
	err = c.try(ctx, func() error {
		got, about, err := c.fetchRange(ctx, f.Address, from, to-from)
		if err != nil {
			return err
		}
		if about.Size != f.Size || about.Validator != f.kept.About.Validator {
			f.forget()
			return ErrChanged
		}
		if int64(len(got)) != to-from {
			got = got[from:to] // it was given whole
		}
		data = got
		return nil
	})
	if err == nil {
		c.takePages(f.Address, f.kept, r.first, data)
	}
	return data, err
}

// forget lets go of an edition that is no more.
func (f *File) forget() {
	c := f.client
	f.kept.forget()
	c.mu.Lock()
	delete(c.files, f.Address)
	c.mu.Unlock()
	c.recent.drop(f.Address)
}

// pages holds the pages used last in memory.
type pages struct {
	mu     sync.Mutex
	recent list.List // of *heldPage, the one used last at the front
	held   map[pageKey]*list.Element
}

type pageKey struct {
	address string
	n       int64
}

type heldPage struct {
	key  pageKey
	data []byte
}

const mostPages = 1024 // 32 MB

func (p *pages) get(key pageKey) []byte {
	p.mu.Lock()
	defer p.mu.Unlock()
	e := p.held[key]
	if e == nil {
		return nil
	}
	p.recent.MoveToFront(e)
	return e.Value.(*heldPage).data
}

func (p *pages) put(key pageKey, data []byte) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.held == nil {
		p.held = map[pageKey]*list.Element{}
	}
	if e := p.held[key]; e != nil {
		e.Value.(*heldPage).data = data
		return
	}
	p.held[key] = p.recent.PushFront(&heldPage{key, data})
	for p.recent.Len() > mostPages {
		delete(p.held, p.recent.Remove(p.recent.Back()).(*heldPage).key)
	}
}

func (p *pages) drop(address string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for key, e := range p.held {
		if key.address == address {
			p.recent.Remove(e)
			delete(p.held, key)
		}
	}
}
