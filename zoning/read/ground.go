package read

import (
	"errors"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning/coverage"
)

// ground takes a lot's polygons to valid polygons in longitude and latitude, if a repair
// need not change more than a share of their acres. Where it would, the error comes with
// what it would have changed.
func (c *crs) ground(drawn orb.MultiPolygon, by mending) (mended, error) {
	mp, notes, err := closeRings(drawn)
	if err != nil {
		return mended{notes: notes}, err
	}
	for i := range mp {
		for j := range mp[i] {
			if mp[i][j], err = c.path(mp[i][j]); err != nil {
				return mended{notes: notes}, err
			}
		}
	}
	s, err := unwrap(mp)
	if err != nil {
		return mended{notes: notes}, err
	}
	m, err := repair(s.polygons, by)
	m.notes = append(notes, m.notes...)
	if err != nil {
		m.ground = nil
		return m, err
	}
	s.polygons = m.ground
	if m.ground, err = s.cut(); err != nil {
		return mended{notes: notes}, err
	}
	if len(m.ground) > 0 && s.past {
		m.notes = append(m.notes, "it crosses the antimeridian (180 degrees) and was cut in two there")
	}
	if coverage.AreaM2(m.ground) < smallestM2 {
		return mended{notes: notes}, errors.New("encloses no ground: its corners lie on one line")
	}
	wind(m.ground)
	return m, nil
}
