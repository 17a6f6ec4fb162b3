package site

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
)

// MaxReachM is how far a setback, or what [Near] asks for, may reach: 100 km.
const MaxReachM = 100_000

// Check returns what of the feature cannot be laid on a grid: a kind or class that there is
// not, a geometry that is none or has a place off the earth, a number that is below 0, no
// number or beyond any ground.
func (f Feature) Check() error {
	of := func(err error) error { return fmt.Errorf("%s: %w", f.Title(), err) }
	if !isKind(f.Kind) {
		return of(fmt.Errorf("%q is no kind; write one of %s", string(f.Kind), Kinds()))
	}
	if f.Class > Heavy {
		return of(fmt.Errorf("cover of class %d; the thickest is %d, %s", f.Class, Heavy, Heavy))
	}
	if err := checkGeometry(f.Geometry); err != nil {
		return of(err)
	}
	for _, n := range []struct {
		name        string
		value, most float64
	}{
		{"Setback.WidthM", f.Setback.WidthM, MaxReachM}, {"BearsKPa", f.BearsKPa, math.MaxFloat32}, {"StemM", f.StemM, math.MaxFloat32}, {"TypicalM", f.TypicalM, math.MaxFloat32},
		{"TallM", f.TallM, math.MaxFloat32}, {"StemsPerAcre", f.StemsPerAcre, math.MaxFloat32}, {"KV", f.KV, math.MaxFloat32},
		{"WidthM", f.WidthM, math.MaxFloat32}, {"WeightKg", f.WeightKg, math.MaxFloat32}, {"HeightM", f.HeightM, math.MaxFloat32},
	} {
		if !(n.value >= 0 && n.value <= n.most) {
			return of(fmt.Errorf("%s is %g; it is 0 or more, and at most %g", n.name, n.value, n.most))
		}
	}
	return nil
}

func isKind(k Kind) bool {
	for _, s := range specs {
		if s.kind == k {
			return true
		}
	}
	return false
}

// checkGeometry returns why a geometry cannot be laid.
func checkGeometry(g orb.Geometry) error {
	switch g := g.(type) {
	case nil:
		return errors.New("there is no geometry")
	case orb.Point:
		return checkPlaces(g)
	case orb.MultiPoint:
		return checkPlaces(g...)
	case orb.LineString:
		return checkPlaces(g...)
	case orb.MultiLineString:
		return checkEach(g, func(l orb.LineString) error { return checkPlaces(l...) })
	case orb.Polygon:
		return checkEach(g, func(r orb.Ring) error { return checkPlaces(r...) })
	case orb.MultiPolygon:
		return checkEach(g, func(p orb.Polygon) error { return checkGeometry(p) })
	case orb.Collection:
		return checkEach(g, checkGeometry)
	}
	return fmt.Errorf("a %T cannot be laid on ground; give points, lines or polygons", g)
}

func checkEach[P any](parts []P, check func(P) error) error {
	for _, p := range parts {
		if err := check(p); err != nil {
			return err
		}
	}
	return nil
}

// checkPlaces refuses places off the earth. Longitudes may run on past the antimeridian, by
// a whole turn.
func checkPlaces(places ...orb.Point) error {
	for _, p := range places {
		if !(math.Abs(p[0]) <= 540 && math.Abs(p[1]) <= 90) {
			return fmt.Errorf("a corner lies at longitude %g, latitude %g, which is not on earth", p[0], p[1])
		}
	}
	return nil
}

// checkNear returns why [Near] cannot be asked.
func checkNear(g *terrain.Grid, geometry orb.Geometry, metres float64) error {
	if err := g.Check(); err != nil {
		return err
	}
	if !(metres >= 0 && metres <= MaxReachM) {
		return fmt.Errorf("cells within %g m of a shape; write 0 m to %d m", metres, MaxReachM)
	}
	return checkGeometry(geometry)
}
