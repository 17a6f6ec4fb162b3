package read

import (
	"errors"
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/clip"
)

// lines takes lines to longitude and latitude, cut where they cross the
// antimeridian.
func (c *crs) lines(drawn []orb.LineString) (orb.MultiLineString, error) {
	var out orb.MultiLineString
	for _, line := range drawn {
		if len(line) < 2 {
			return nil, errors.New("a line of it has one point: draw it through two or more")
		}
		path, err := c.path(line)
		if err != nil {
			return nil, err
		}
		if path, err = unwrapPath(path); err != nil {
			return nil, err
		}
		out = append(out, cutLine(path)...)
	}
	return out, nil
}

// cutLine cuts a line whose longitudes run on into pieces between -180 and 180.
func cutLine(line orb.LineString) (out orb.MultiLineString) {
	b := line.Bound()
	if b.Min[0] >= -180 && b.Max[0] <= 180 {
		return orb.MultiLineString{line}
	}
	for turn := math.Floor((b.Min[0] + 180) / 360); turn <= math.Floor((b.Max[0]+180)/360); turn++ {
		box := orb.Bound{Min: orb.Point{360*turn - 180, -90}, Max: orb.Point{360*turn + 180, 90}}
		for _, piece := range clip.LineString(box, line) {
			if reach := piece.Bound(); reach.Min == reach.Max {
				continue // it comes to the antimeridian and no further
			}
			for i := range piece {
				piece[i][0] = round9(piece[i][0] - 360*turn)
			}
			out = append(out, piece)
		}
	}
	return out
}

// points takes points to longitude and latitude.
func (c *crs) points(drawn orb.MultiPoint) (orb.MultiPoint, error) {
	var out orb.MultiPoint
	for _, p := range drawn {
		at, err := c.path(orb.MultiPoint{p})
		if err != nil {
			return nil, err
		}
		if lon := at[0][0]; lon < -180 || lon > 180 {
			at[0][0] = round9(math.Remainder(lon, 360))
		}
		out = append(out, at[0])
	}
	return out, nil
}
