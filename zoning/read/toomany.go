package read

import (
	"errors"
	"fmt"

	"github.com/paulmach/orb"
)

// TooMany says that a file holds more than is read.
type TooMany struct {
	What string // "lots", "corners" or "features"
	Most int
}

// Error says how many are read.
func (e *TooMany) Error() string {
	return fmt.Sprintf("holds more than %d %s: give the part of it that belongs to this job", e.Most, e.What)
}

// checkMost refuses the lot after the last one allowed, before anything is made of it.
func (r *reader) checkMost(f *feature) error {
	if f.unwanted {
		return nil
	}
	if most := r.opts.MostLots; most > 0 && r.lots >= most {
		return errors.Join(r.release(), &TooMany{"lots", most})
	}
	r.corners += cornersOf(f.geometry)
	if most := r.opts.MostCorners; most > 0 && r.corners > most {
		return errors.Join(r.release(), &TooMany{"corners", most})
	}
	return nil
}

// cornersOf counts those of lines and polygons.
func cornersOf(g orb.Geometry) (n int) {
	switch g := g.(type) {
	case orb.LineString:
		return len(g)
	case orb.MultiLineString:
		for _, line := range g {
			n += len(line)
		}
	case orb.Polygon:
		for _, ring := range g {
			n += len(ring)
		}
	case orb.MultiPolygon:
		for _, poly := range g {
			n += cornersOf(poly)
		}
	case orb.Collection:
		for _, one := range g {
			n += cornersOf(one)
		}
	}
	return n
}
