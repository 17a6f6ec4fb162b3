package page

import (
	"crypto/rand"
	"net/http"
	"sync"
	"time"
)

// shelf keeps grounds in memory, a number of them, so many bytes, and for a time.
type shelf struct {
	most      int
	mostBytes int64
	idle      time.Duration
	now       func() time.Time

	mu      sync.Mutex
	byID    map[string]*ground
	leaving map[*ground]bool // forgotten, but still worked on
}

func newShelf(l Limits) *shelf {
	return &shelf{most: l.Maps, mostBytes: l.KeptBytes, idle: l.Idle, now: time.Now, byID: map[string]*ground{}, leaving: map[*ground]bool{}}
}

// add keeps a ground under a name that cannot be guessed; those unused longest make
// room. Where they cannot, it is refused.
func (s *shelf) add(g *ground, bytes int64) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.makeRoom(g, bytes); err != nil {
		return err
	}
	g.id, g.used = rand.Text(), s.now()
	s.byID[g.id] = g
	return nil
}

// grow lets a ground that is kept take so many bytes, in the same way.
func (s *shelf) grow(g *ground, bytes int64) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.makeRoom(g, bytes)
}

// makeRoom forgets grounds, those unused longest first, until one has room for its bytes.
func (s *shelf) makeRoom(g *ground, bytes int64) error {
	if bytes > s.mostBytes {
		return refuse(http.StatusUnprocessableEntity,
			"this map takes %d MB of memory with the ground around it, and the page keeps at most %d: map fewer lots at a time, put staging and no-go nearer to them, or use the command line",
			bytes>>20, s.mostBytes>>20)
	}
	s.clear()
	for {
		number, held := s.beside(g)
		if number < s.most && held+bytes <= s.mostBytes {
			g.bytes = bytes
			return nil
		}
		oldest := s.oldest(g)
		if oldest == nil {
			return refuse(http.StatusServiceUnavailable, "the maps that are worked on take all the memory that the page has for them; try again in a moment")
		}
		s.drop(oldest)
	}
}

// beside is how many grounds are kept beside one, and what all of them take.
func (s *shelf) beside(g *ground) (number int, bytes int64) {
	for _, o := range s.byID {
		if o != g {
			number, bytes = number+1, bytes+o.bytes
		}
	}
	for o := range s.leaving {
		if o != g {
			bytes += o.bytes
		}
	}
	return number, bytes
}

// oldest is the ground beside one that nobody works on and that was unused longest; nil
// where there is none.
func (s *shelf) oldest(g *ground) (oldest *ground) {
	for _, o := range s.byID {
		if o != g && o.users == 0 && (oldest == nil || o.used.Before(oldest.used)) {
			oldest = o
		}
	}
	return oldest
}

// drop forgets a ground. What somebody still works on counts until that is done.
func (s *shelf) drop(g *ground) {
	delete(s.byID, g.id)
	if g.users > 0 {
		s.leaving[g] = true
	}
}

// use gives a ground to work on, until done is called.
func (s *shelf) use(id string) (g *ground, done func(), err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.clear()
	g = s.byID[id]
	if g == nil {
		return nil, nil, refuse(http.StatusNotFound, "this map is no longer kept here: drop its boundary again")
	}
	g.used = s.now()
	g.users++
	return g, sync.OnceFunc(func() {
		s.mu.Lock()
		defer s.mu.Unlock()
		if g.users--; g.users == 0 {
			delete(s.leaving, g)
		}
	}), nil
}

func (s *shelf) remove(id string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if g := s.byID[id]; g != nil {
		s.drop(g)
	}
}

// sweep forgets what has not been used for too long.
func (s *shelf) sweep() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.clear()
}

func (s *shelf) clear() {
	for _, g := range s.byID {
		if s.now().Sub(g.used) > s.idle {
			s.drop(g)
		}
	}
}
