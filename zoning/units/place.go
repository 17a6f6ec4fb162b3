package units

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"github.com/paulmach/orb"
)

// Place is a spot on earth as its text may be read: longitude and latitude of WGS84, the
// likelier reading first. It holds two points where two bare numbers do not say which of them
// is the latitude.
type Place []orb.Point

// number matches a bare number of degrees.
const number = `[-+]?(?:\d+\.?\d*|\.\d+)`

var (
	barePair     = regexp.MustCompile(`^(` + number + `)°?\s*[, ;]\s*(` + number + `)°?$`)
	letteredPair = regexp.MustCompile(`^(\d+\.?\d*|\.\d+)\s*°?\s*([NSEW])\s*[, ;]?\s*(\d+\.?\d*|\.\d+)\s*°?\s*([NSEW])$`)
)

// ParsePlace reads degrees with the letters of their hemispheres, in either order, as
// 36.3420 N, 84.2455 W; or two bare numbers, as -84.2455,36.342 and 36.342,-84.2455. Two bare
// numbers that may both be latitudes have two readings, longitude first before latitude
// first.
func ParsePlace(text string) (Place, error) {
	trimmed := strings.ToUpper(strings.TrimSpace(text))
	if m := letteredPair.FindStringSubmatch(trimmed); m != nil {
		if p, ok := lettered(m); ok {
			return Place{p}, nil
		}
	} else if m := barePair.FindStringSubmatch(trimmed); m != nil {
		if p := bare(m[1], m[2]); len(p) > 0 {
			return p, nil
		}
	}
	return nil, fmt.Errorf("%q is no spot; write latitude and longitude as 36.3420 N, 84.2455 W, or longitude,latitude as -84.2455,36.342", text)
}

// lettered reads two figures with their letters.
func lettered(m []string) (p orb.Point, ok bool) {
	var seen [2]bool
	for i := 1; i < len(m); i += 2 {
		v, err := strconv.ParseFloat(m[i], 64)
		axis := 0
		if m[i+1] == "N" || m[i+1] == "S" {
			axis = 1
		}
		if m[i+1] == "S" || m[i+1] == "W" {
			v = -v
		}
		if err != nil || seen[axis] {
			return p, false
		}
		p[axis], seen[axis] = v, true
	}
	return p, onEarth(p)
}

// bare are the readings of two numbers.
func bare(first, second string) (p Place) {
	a, errA := strconv.ParseFloat(first, 64)
	b, errB := strconv.ParseFloat(second, 64)
	if errA != nil || errB != nil {
		return nil
	}
	for _, reading := range []orb.Point{{a, b}, {b, a}} {
		if onEarth(reading) && (len(p) == 0 || p[0] != reading) {
			p = append(p, reading)
		}
	}
	return p
}

func onEarth(p orb.Point) bool { return math.Abs(p[0]) <= 180 && math.Abs(p[1]) <= 90 }

// Near is the reading that lies nearest to a box of longitudes and latitudes, such as that of
// a parcel; the likelier one where the box is empty.
func (p Place) Near(box orb.Bound) orb.Point {
	best := p[0]
	if box.IsEmpty() {
		return best
	}
	for _, other := range p[1:] {
		if off(other, box) < off(best, box) {
			best = other
		}
	}
	return best
}

// off is how many degrees a point lies from a box, the farther way counted.
func off(p orb.Point, box orb.Bound) float64 {
	return math.Max(math.Max(box.Min[0]-p[0], p[0]-box.Max[0]), math.Max(box.Min[1]-p[1], p[1]-box.Max[1]))
}
