package read

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
)

// degreeRangeLat is the latitude of a pole; degreeRangeLon the greatest
// longitude taken: boundaries near the antimeridian may run on past 180.
const (
	degreeRangeLat = 90
	degreeRangeLon = 360
)

// noShiftDeg is the greatest move, in degrees, that still counts as none: 1 µm.
const noShiftDeg = 1e-11

// crs takes coordinates of one CRS to WGS84 longitude and latitude.
type crs struct {
	name      string
	flag      string           // that tells the CRS, for errors
	degrees   bool             // coordinates are longitude and latitude
	transform *godal.Transform // nil where there is nothing to do
}

// wgs84Name stands for WGS84 longitude and latitude where WKT is asked for.
const wgs84Name = "WGS84"

// newCRS makes ready to transform from a CRS given as WKT. Errors name the flag
// that tells another.
func newCRS(wkt, flag string) (*crs, error) {
	if wkt == wgs84Name {
		return &crs{name: "WGS 84", flag: flag, degrees: true}, nil
	}
	from, err := godal.NewSpatialRefFromWKT(wkt, failuresOnly)
	if err != nil {
		return nil, fmt.Errorf("its CRS cannot be read (%v): name it with %s", err, flag)
	}
	defer from.Close()
	c := &crs{name: crsName(from), flag: flag}
	switch {
	case from.Geographic():
		// A CRS that GeoPackage gives to layers whose CRS nobody knows.
		if c.name == "Undefined geographic SRS" {
			return nil, noCRS(flag)
		}
		unit, _ := from.AttrValue("GEOGCS|UNIT", 0)
		c.degrees = unit == "degree" || unit == "Degree"
	case !from.Projected():
		if _, local := from.AttrValue("LOCAL_CS", 0); local {
			return nil, noCRS(flag)
		}
		return nil, fmt.Errorf("its CRS (%s) is neither geographic nor projected: name another with %s", c.name, flag)
	}
	to, err := godal.NewSpatialRefFromEPSG(4326, failuresOnly)
	if err != nil {
		return nil, err
	}
	defer to.Close()
	if c.transform, err = godal.NewTransform(from, to, failuresOnly); err != nil {
		return nil, fmt.Errorf("PROJ knows no way from its CRS (%s) to WGS 84 (%v): name another with %s", c.name, err, flag)
	}
	return c, nil
}

func noCRS(flag string) error {
	return fmt.Errorf("its CRS is not known (a shapefile without .prj, for one): name it with %s, such as %s EPSG:2227", flag, flag)
}

// failuresOnly lets warnings pass, which godal would return as errors.
var failuresOnly = godal.ErrLogger(func(level godal.ErrorCategory, _ int, msg string) error {
	if level >= godal.CE_Failure {
		return errors.New(msg)
	}
	return nil
})

func crsName(sr *godal.SpatialRef) string {
	name := "unnamed"
	for _, node := range []string{"PROJCS", "GEOGCS", "LOCAL_CS", "GEOCCS"} {
		if v, ok := sr.AttrValue(node, 0); ok {
			name = v
			break
		}
	}
	if code := sr.AuthorityCode(""); code != "" {
		name += ", " + sr.AuthorityName("") + ":" + code
	}
	return name
}

func (c *crs) close() {
	if c.transform != nil {
		c.transform.Close()
	}
}

// check returns why a corner cannot be one, as far as its figures tell.
func (c *crs) check(p orb.Point) error {
	x, y := p[0], p[1]
	switch {
	case math.IsNaN(x) || math.IsNaN(y) || math.IsInf(x, 0) || math.IsInf(y, 0):
		return fmt.Errorf("a corner (%s) is not a number: draw that corner again", figures(p))
	case !c.degrees || math.Abs(y) <= degreeRangeLat && math.Abs(x) <= degreeRangeLon:
		return nil
	case math.Abs(x) <= degreeRangeLat && math.Abs(y) <= 180:
		return fmt.Errorf("a corner (%s) has latitude %g, beyond a pole: longitude and latitude look swapped; longitude comes first", figures(p), y)
	}
	return fmt.Errorf("a corner (%s) is not in degrees of longitude and latitude: name the CRS of the file with %s", figures(p), c.flag)
}

// figures writes a corner as a file would, without exponents.
func figures(p orb.Point) string {
	return strconv.FormatFloat(p[0], 'f', -1, 64) + ", " + strconv.FormatFloat(p[1], 'f', -1, 64)
}

// toLonLat transforms points. Points that PROJ cannot place come back as NaN.
func (c *crs) toLonLat(src []orb.Point) []orb.Point {
	if len(src) == 0 {
		return nil
	}
	x, y, ok := make([]float64, len(src)), make([]float64, len(src)), make([]bool, len(src))
	for i, p := range src {
		x[i], y[i] = p[0], p[1]
	}
	// The error says that some points failed, which ok says one by one.
	_, _ = quietly(func() { _ = c.transform.TransformEx(x, y, nil, ok) })
	out := make([]orb.Point, len(src))
	for i := range out {
		out[i] = orb.Point{x[i], y[i]}
		if !ok[i] || math.IsInf(x[i], 0) || math.IsInf(y[i], 0) {
			out[i] = orb.Point{math.NaN(), math.NaN()}
		}
	}
	return out
}
