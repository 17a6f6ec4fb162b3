package page

import (
	"crypto/rand"
	"net/http"
	"sync"
	"time"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/jobplan"
	"github.com/acreband/acreband/zoning/sheet"
	"github.com/acreband/acreband/zoning/survey"
	"github.com/acreband/acreband/zoning/vector"
)

// Result is a map as it stands, with what it was made of.
type Result struct {
	Ground *survey.Ground
	Map    *zoning.ZoneMap
	Plan   *jobplan.Plan // nil where nothing was planned
	Site   []byte        // what was drawn on the page, a site file; nil where nothing was

	fleet    []zoning.Machine // as the setting has it, before the state of the ground
	book     *jobplan.Book    // nil where nothing was planned
	cover    jobplan.Cover
	painter  *sheet.Painter
	plane    sheet.Plane
	revision int
}

// ground is one boundary with its elevation, kept so that it may be judged anew.
type ground struct {
	id      string
	name    string // of the boundary file
	lots    []vector.Lot
	quality vector.Quality // of their line
	base    *survey.Ground // without anything drawn on it

	changing sync.Mutex // held while it is judged anew

	mu     sync.Mutex
	result *Result
	used   time.Time
}

// cells is how many cells of elevation it holds.
func (g *ground) cells() int { return len(g.base.Elevation.Grid.Z) }

// latest is the map as it stands.
func (g *ground) latest() *Result {
	g.mu.Lock()
	defer g.mu.Unlock()
	return g.result
}

func (g *ground) put(r *Result) {
	g.mu.Lock()
	defer g.mu.Unlock()
	if g.result != nil {
		r.revision = g.result.revision + 1
	}
	g.result = r
}

// shelf keeps grounds in memory, a number of them and for a time.
type shelf struct {
	most  int
	cells int // of elevation, all maps together
	idle  time.Duration
	now   func() time.Time

	mu   sync.Mutex
	byID map[string]*ground
}

func newShelf(l Limits) *shelf {
	return &shelf{most: l.Maps, cells: l.CellsKept, idle: l.Idle, now: time.Now, byID: map[string]*ground{}}
}

// add keeps a ground under a name that cannot be guessed; those unused longest make
// room.
func (s *shelf) add(g *ground) {
	s.mu.Lock()
	defer s.mu.Unlock()
	g.id, g.used = rand.Text(), s.now()
	s.clear()
	for len(s.byID) > 0 && (len(s.byID) >= s.most || s.held()+g.cells() > s.cells) {
		var oldest *ground
		for _, o := range s.byID {
			if oldest == nil || o.used.Before(oldest.used) {
				oldest = o
			}
		}
		delete(s.byID, oldest.id)
	}
	s.byID[g.id] = g
}

// held is how many cells all maps hold.
func (s *shelf) held() int {
	n := 0
	for _, g := range s.byID {
		n += g.cells()
	}
	return n
}

func (s *shelf) get(id string) (*ground, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.clear()
	g := s.byID[id]
	if g == nil {
		return nil, refuse(http.StatusNotFound, "this map is no longer kept here: drop its boundary again")
	}
	g.used = s.now()
	return g, nil
}

func (s *shelf) remove(id string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	delete(s.byID, id)
}

// sweep forgets what has not been used for too long.
func (s *shelf) sweep() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.clear()
}

func (s *shelf) clear() {
	for id, g := range s.byID {
		if s.now().Sub(g.used) > s.idle {
			delete(s.byID, id)
		}
	}
}
