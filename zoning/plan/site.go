package plan

import (
	"fmt"
	"math"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
)

// Piece is ground that is worked as one: a zone, or a part of one that hangs
// together.
type Piece struct {
	Lot, Zone string      // the zone is its band's key
	May       zoning.Mask // which machines may work it, in fleet order
	MayDry    zoning.Mask // which others may once it is dry; none where it is

	GrossAcres   float64 // all of it
	NetAcres     float64 // what is to be cleared of it
	VerifyAcres  float64 // what of NetAcres is to be verified on foot
	SlopeMeanPct float64
	Cover        Cover
	StemIn       float64 // the typical stems, inches; 0 not given
	ThickestIn   float64 // the thickest, which set no pace; 0 not given

	EastM, NorthM float64 // a point of it, on a plane
}

// Site is the ground of a job, and what stands on or near it.
type Site struct {
	Units      measure.Units // that people are told in; the figures below are in those that they name
	WholeAcres bool          // whether people are told whole acres

	Pieces []Piece
	// GapM is how far apart two pieces are, edge to edge, in metres; never more than
	// they are. Nil where it is not known: then any two may touch.
	GapM func(a, b int) float64
	// LandingEastM and LandingNorthM are where machines are unloaded.
	LandingEastM, LandingNorthM float64
	// Unloads say of each machine of the fleet how it comes; nil where each is unloaded once.
	Unloads []Unload
	Signs   Signs
	// Notes say how the site was counted; they are printed with the plan.
	Notes []string

	keys []pieceKey // of the pieces of a map: those with the same are worked by one machine
}

// check says what of a site cannot be used.
func (s *Site) check(machines int) error {
	for i, p := range s.Pieces {
		name := fmt.Sprintf("piece %d (%s)", i+1, p.Zone)
		for _, v := range []number{{"gross acres", p.GrossAcres}, {"net acres", p.NetAcres}, {"acres to verify", p.VerifyAcres},
			{"stems in inches", p.StemIn}, {"thickest stems in inches", p.ThickestIn}} {
			if !isAmount(v.v) {
				return &Error{fmt.Sprintf("%s has %g %s", name, v.v, v.what), "give a number of zero or more"}
			}
		}
		switch {
		case !isPart(p.NetAcres, p.GrossAcres):
			return &Error{fmt.Sprintf("%s has %g net acres and %g gross", name, p.NetAcres, p.GrossAcres), "net acres are a part of the gross"}
		case !isPart(p.VerifyAcres, p.NetAcres):
			return &Error{fmt.Sprintf("%s has %g acres to verify of %g net", name, p.VerifyAcres, p.NetAcres), "they are a part of the net acres"}
		case p.Cover >= covers:
			return &Error{fmt.Sprintf("%s has cover %d", name, p.Cover), "use one of the classes"}
		case !finite(p.EastM + p.NorthM):
			return &Error{fmt.Sprintf("%s lies at %g, %g", name, p.EastM, p.NorthM), "give meters on the plane of the landing"}
		case p.closed():
		case p.May>>machines != 0:
			return &Error{fmt.Sprintf("%s may be worked by a machine that the fleet does not have", name), "hand over the fleet of the map"}
		case !isAmount(p.SlopeMeanPct):
			return &Error{fmt.Sprintf("%s has a mean slope of %g%%", name, p.SlopeMeanPct), "give a number of zero or more"}
		}
	}
	if s.Unloads != nil && len(s.Unloads) != machines {
		return &Error{fmt.Sprintf("the site has %d values of Unloads for %d machines", len(s.Unloads), machines), "give one a machine, or nil"}
	}
	for _, u := range s.Unloads {
		if u.Times < 1 {
			return &Error{fmt.Sprintf("a machine is unloaded %d times", u.Times), "give 1 or more"}
		}
	}
	return s.checkPlaces()
}

// number is a value with its name.
type number struct {
	what string
	v    float64
}

// checkPlaces says which of a site's places and signs is no number.
func (s *Site) checkPlaces() error {
	for _, n := range []number{{"landing east", s.LandingEastM}, {"landing north", s.LandingNorthM}} {
		if !finite(n.v) {
			return &Error{fmt.Sprintf("the site has %g as %s", n.v, n.what), "give meters on the plane of its pieces"}
		}
	}
	for _, n := range []number{{"acres near a limit", s.Signs.NearLimitAcres}, {"acres without elevation", s.Signs.NoElevationAcres},
		{"kV of an overhead line", s.Signs.LineKV}} {
		if !isAmount(n.v) {
			return &Error{fmt.Sprintf("the site has %g %s", n.v, n.what), "give a number of zero or more"}
		}
	}
	return nil
}

// closed reports whether a piece is no work: closed to machines, or without
// elevation.
func (p Piece) closed() bool { return p.May&(zoning.NoGo|zoning.Unknown) != 0 }

// walkM is the way to each piece: twice its edge of the shortest tree that joins all
// pieces and the landing. A machine that walks the tree there and back visits all
// pieces and is back at the landing, so the sum bounds its shortest round (the
// textbook bound of a round by a spanning tree).
func (s *Site) walkM() []float64 {
	n := len(s.Pieces)
	way := make([]float64, n)
	joined := make([]bool, n)
	for i, p := range s.Pieces {
		way[i] = math.Hypot(p.EastM-s.LandingEastM, p.NorthM-s.LandingNorthM)
	}
	for range n { // Prim
		next := -1
		for i := range n {
			if !joined[i] && (next < 0 || way[i] < way[next]) {
				next = i
			}
		}
		joined[next] = true
		from := s.Pieces[next]
		for i, p := range s.Pieces {
			if !joined[i] {
				way[i] = min(way[i], math.Hypot(p.EastM-from.EastM, p.NorthM-from.NorthM))
			}
		}
	}
	for i := range way {
		way[i] *= 2
	}
	return way
}
