package plan

import (
	"math"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
)

// areas are the parts of a site between which machines keep apart of themselves.
type areas struct {
	apartM float64
	of     []int     // the area of each piece
	room   []float64 // how many machines may work in an area at once
}

// apartM is how far machines keep apart: two tree lengths (29 CFR
// 1910.266(d)(6)(ii)) and the thrown-object distance of every head.
func apartM(fleet zoning.Fleet, treeFt float64) float64 {
	d := 2 * treeFt * zoning.MetresPerFoot
	for _, m := range fleet {
		thrown := m.ThrownM
		if thrown == 0 {
			thrown = zoning.DefaultThrownM
		}
		d = max(d, thrown)
	}
	return d
}

// areasOf groups a site's pieces. A machine closes to the others the circle around it,
// with the distance to keep as its radius. A piece of two such circles is an area
// of its own: wherever another machine is, half of it or more lies outside that
// one's circle. It has room for one machine for every two circles. Smaller pieces
// that lie nearer to each other than the distance are one area, which takes one
// machine at a time.
func areasOf(s *Site, apart float64) areas {
	circles := 2 * math.Pi * apart * apart / terrain.SquareMetresPerAcre
	a := areas{apartM: apart, of: make([]int, len(s.Pieces))}
	for i := range a.of {
		a.of[i] = -1
	}
	gap := s.GapM
	if gap == nil {
		gap = func(int, int) float64 { return 0 }
	}
	for i, p := range s.Pieces {
		if a.of[i] >= 0 {
			continue
		}
		k := len(a.room)
		a.of[i] = k
		if p.GrossAcres >= circles {
			a.room = append(a.room, math.Floor(p.GrossAcres/circles))
			continue
		}
		a.room = append(a.room, 1)
		for near := []int{i}; len(near) > 0; {
			from := near[0]
			near = near[1:]
			for j, q := range s.Pieces {
				if a.of[j] < 0 && q.GrossAcres < circles && !(gap(from, j) >= apart) {
					a.of[j] = k
					near = append(near, j)
				}
			}
		}
	}
	return a
}
