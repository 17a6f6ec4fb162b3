package zoning

import (
	"fmt"

	"github.com/acreband/acreband/terrain/measure"
)

// BoundaryQuality is how well a boundary is known: how far the line in the file may be
// from the line on the ground.
type BoundaryQuality string

// A boundary was measured between monuments, taken from a map of parcels that
// an office keeps, or drawn over a picture or walked with a receiver.
const (
	Surveyed BoundaryQuality = "surveyed"
	County   BoundaryQuality = "county"
	Sketched BoundaryQuality = "sketched"
)

// insetsFt are planning values: common practice, no source.
var insetsFt = map[BoundaryQuality]float64{Surveyed: 1, County: 10, Sketched: 30}

// BoundaryQualityOf reads one of the three words above.
func BoundaryQualityOf(word string) (BoundaryQuality, error) {
	if _, known := insetsFt[BoundaryQuality(word)]; !known {
		return "", fmt.Errorf("%q is no quality of a boundary: say %s, %s or %s", word, Surveyed, County, Sketched)
	}
	return BoundaryQuality(word), nil
}

// InsetM is how far inside the line, in metres, ground may still be the
// neighbour's: 0.3048 (1 ft) surveyed, 3.048 (10 ft) county, 9.144 (30 ft)
// sketched, 0 for any other word. These are planning values, common practice
// without a published source.
func (q BoundaryQuality) InsetM() float64 { return insetsFt[q] * MetresPerFoot }

// Words says the quality and what is taken from it, as people read it in their units.
func (q BoundaryQuality) Words(u measure.Units) string {
	_, known := insetsFt[q]
	if !known {
		return fmt.Sprintf("boundary of unknown quality (%q)", string(q))
	}
	return fmt.Sprintf("%s boundary, taken as good to %s (common practice, no published source)", string(q), u.AtLeast(q.InsetM()))
}
