package page

import (
	"sync"
	"time"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/sheet"
	"github.com/acreband/acreband/zoning/site"
)

// Result is a map as it stands, with what it was made of.
type Result struct {
	Ground *mapping.Ground
	Map    *zoning.ZoneMap // as planned, or by limits
	Plan   *plan.Plan      // nil where nothing was planned
	Site   []byte          // what was drawn on the page, a site file; nil where nothing was

	fleet    zoning.Fleet // as the setting has it, before the state of the ground
	options  mapping.Options
	book     *plan.Book // nil where nothing was planned
	cover    plan.Cover
	other    *zoning.ZoneMap // in the other state of the ground; nil until somebody asks for it
	painter  *sheet.Painter
	plane    sheet.Plane
	revision int

	base   *mapping.Ground // what Ground was before anything was drawn on it
	beside string          // the files that it was read from, beside the server's, and the units that they are told in
	put    []site.Feature  // in Site
}

// ground is one boundary with its elevation, kept so that it may be judged anew.
type ground struct {
	id string
	boundary
	quality zoning.BoundaryQuality // of its line
	base    *mapping.Ground        // of the last map, without anything drawn on it
	beside  string                 // its files that were dropped, and the units that they are told in

	changing sync.Mutex   // held while it is judged anew
	reading  sync.RWMutex // held by who works on it, and alone by who weighs it

	mu     sync.Mutex
	result *Result

	// The shelf's:
	used  time.Time
	users int
	bytes int64
}

// cells is how many cells of elevation are worked on.
func cells(g *mapping.Ground) int { return len(g.Elevation.Grid.Z) }

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
	g.result, g.base, g.beside = r, r.base, r.beside
}

// weigh is how much memory it takes with a result.
func (g *ground) weigh(r *Result) int64 {
	g.reading.Lock()
	defer g.reading.Unlock()
	return bytesOf(g.lots, g.also, r)
}
