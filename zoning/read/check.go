package read

import (
	"fmt"
	"math"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
)

// checkGround returns why a parcel that somebody gave has no place: no ring, or corners that
// are no longitude and latitude.
func checkGround(p zoning.Parcel) error {
	corners := 0
	for _, poly := range p.Ground {
		if len(poly) == 0 {
			return fmt.Errorf("lot %s: one of its polygons has no ring; leave it out", p.Lot)
		}
		for _, ring := range poly {
			corners += len(ring)
			for _, c := range ring {
				if !(math.Abs(c[0]) <= mostDegrees && math.Abs(c[1]) <= mostDegrees) {
					return fmt.Errorf("lot %s: its corner at %v is no longitude and latitude in degrees", p.Lot, c)
				}
			}
		}
	}
	if corners == 0 {
		return fmt.Errorf("lot %s has no ground; draw its boundary", p.Lot)
	}
	return nil
}

// mostDegrees is more than any coordinate of ground that goes around the earth.
const mostDegrees = 1080

// checkFeatures refuses features that have no shape.
func checkFeatures(features []site.Feature) error {
	for _, f := range features {
		if f.Geometry == nil {
			return fmt.Errorf("%s has no shape; draw it, or leave it out", f.Title())
		}
	}
	return nil
}
