package mapping

import (
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/trafficability"
)

// Progress is told how far a step is, done of total rows or lots, by whichever
// goroutine gets there.
type Progress func(step string, done, total int)

func (p Progress) tell(step string, done, total int) {
	if p != nil {
		p(step, done, total)
	}
}

// Ground is what a map is made of: the lots and the elevation around them.
type Ground struct {
	Lots      []zoning.Lot // those that can be mapped
	Failed    []zoning.Lot // those that cannot, each with its Err
	Elevation *terrain.Elevation
	Boundary  zoning.BoundaryQuality
	EdgeAcres []float64 // of each lot, the acres within the boundary's inset; nil where its quality is not given
	Warnings  []string
	Progress  Progress // of maps whose options name none; nil tells nobody

	Features []site.Feature
	Site     *site.Ground // what they say of the cells

	// ManyLots says that Features are of other lots too: gates, bridges and staging that are
	// of no use to these are left out, where a map would refuse them.
	ManyLots bool

	// CoverByGrowth lets a plan take the class of cover from heights of growth, where no cover is drawn; see [Ground.ProposedCover].
	CoverByGrowth bool

	posts   []post
	astray  []site.Feature // gates and bridges on no ground that machines drive on
	surface *surface       // nil without one
	seen    *seen
	work    trafficability.Ground // what is known of its cells beside their heights
}

// NewGround lays lots and the features around them on elevation that was read over
// them; see [Around] for what to read. No elevation, a grid that cannot be used, no
// lot, and a feature that [site.Feature.Check] refuses are errors.
func NewGround(e *terrain.Elevation, lots []zoning.Lot, features []site.Feature) (*Ground, error) {
	if err := checkElevation(e); err != nil {
		return nil, err
	}
	if len(lots) == 0 {
		return nil, errNoLot
	}
	g := &Ground{Lots: lots, Elevation: e, Features: features, seen: &seen{}}
	if err := g.lay(); err != nil {
		return nil, err
	}
	return g, nil
}

// IsWet reports whether a cell of the lots is dead-flat water, by what maps of the
// ground have found so far.
func (g *Ground) IsWet() bool {
	g.seen.looked.Lock()
	defer g.seen.looked.Unlock()
	for i, wet := range without(g.seen.looked.found.water, g.Site.Dry) {
		if wet && g.work.Lots[i] {
			return true
		}
	}
	return false
}
