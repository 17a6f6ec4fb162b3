package vector

import (
	"errors"

	"github.com/acreband/acreband/zoning"
	"github.com/paulmach/orb"
)

// ground takes a lot's polygons to valid polygons in longitude and latitude.
func (c *crs) ground(drawn orb.MultiPolygon) (ground orb.MultiPolygon, notes []string, err error) {
	mp, notes, err := closeRings(drawn)
	if err != nil {
		return nil, notes, err
	}
	for i := range mp {
		for j := range mp[i] {
			if mp[i][j], err = c.path(mp[i][j]); err != nil {
				return nil, notes, err
			}
		}
	}
	s, err := unwrap(mp)
	if err != nil {
		return nil, notes, err
	}
	var more []string
	if s.polygons, more, err = repair(s.polygons); err != nil {
		return nil, notes, err
	}
	notes = append(notes, more...)
	if ground, err = s.cut(); err != nil {
		return nil, notes, err
	}
	if len(ground) > 0 && s.past {
		notes = append(notes, "it crosses the antimeridian (180 degrees) and was cut in two there")
	}
	if zoning.AreaM2(ground) < smallestM2 {
		return nil, notes, errors.New("encloses no ground: its corners lie on one line")
	}
	wind(ground)
	return ground, notes, nil
}
