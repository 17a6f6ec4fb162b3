package read

/*
#include <gdal.h>
#include <ogr_api.h>

// faces cuts the plane along lines, which may cross each other, and returns
// the bounded pieces.
static OGRGeometryH faces(OGRGeometryH lines) {
	OGRGeometryH noded = OGR_G_Union(lines, lines);
	if (!noded) return NULL;
	OGRGeometryH pieces = OGR_G_Polygonize(noded);
	OGR_G_DestroyGeometry(noded);
	return pieces;
}
*/
import "C"

import (
	"encoding/binary"
	"errors"
	"fmt"
	"unsafe"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/encoding/wkb"
)

// invalidity returns "" for polygons that are valid by the OGC rules, and else
// what GEOS says is wrong with them.
func invalidity(mp orb.MultiPolygon) (reason string, err error) {
	valid := false
	warning, failure := quietly(func() {
		g := toGDAL(mp)
		if g == nil {
			return
		}
		defer C.OGR_G_DestroyGeometry(g)
		valid = C.OGR_G_IsValid(g) != 0
	})
	switch {
	case valid:
		return "", nil
	case warning != "":
		return warning, nil
	case failure != nil:
		return failure.Error(), nil
	}
	return "", errors.New("GEOS cannot tell whether it is valid: draw its boundary again, or export the file anew")
}

// faces returns the bounded pieces into which rings cut the plane.
func faces(rings []orb.Ring) (orb.MultiPolygon, error) {
	lines := make(orb.MultiLineString, len(rings))
	for i, r := range rings {
		lines[i] = orb.LineString(r)
	}
	return operate(lines, nil, func(g, _ C.OGRGeometryH) C.OGRGeometryH { return C.faces(g) })
}

// union returns the ground that any of the polygons covers. They may overlap
// and share edges, but each must be valid.
func union(mp orb.MultiPolygon) (orb.MultiPolygon, error) {
	return operate(mp, nil, func(g, _ C.OGRGeometryH) C.OGRGeometryH { return C.OGR_G_UnionCascaded(g) })
}

// intersection returns the ground that both cover.
func intersection(a, b orb.MultiPolygon) (orb.MultiPolygon, error) {
	return operate(a, b, func(g, h C.OGRGeometryH) C.OGRGeometryH { return C.OGR_G_Intersection(g, h) })
}

// difference returns the ground that a covers and b does not.
func difference(a, b orb.MultiPolygon) (orb.MultiPolygon, error) {
	return operate(a, b, func(g, h C.OGRGeometryH) C.OGRGeometryH { return C.OGR_G_Difference(g, h) })
}

// buffer grows polygons by a distance in their own unit, or shrinks them where
// it is negative. Arcs become the given number of chords for a quarter turn.
func buffer(mp orb.MultiPolygon, distance float64, chords int) (orb.MultiPolygon, error) {
	return operate(mp, nil, func(g, _ C.OGRGeometryH) C.OGRGeometryH {
		return C.OGR_G_Buffer(g, C.double(distance), C.int(chords))
	})
}

// insidePoint returns a point inside a valid polygon.
func insidePoint(p orb.Polygon) (orb.Point, bool) {
	var at orb.Point
	found := false
	_, _ = quietly(func() {
		g := toGDAL(p)
		if g == nil {
			return
		}
		defer C.OGR_G_DestroyGeometry(g)
		if pt := C.OGR_G_PointOnSurface(g); pt != nil {
			defer C.OGR_G_DestroyGeometry(pt)
			at, found = orb.Point{float64(C.OGR_G_GetX(pt, 0)), float64(C.OGR_G_GetY(pt, 0))}, true
		}
	})
	return at, found
}

// operate hands geometries to GEOS and returns the polygons that come back.
func operate(a, b orb.Geometry, op func(a, b C.OGRGeometryH) C.OGRGeometryH) (orb.MultiPolygon, error) {
	var out orb.Geometry
	var err error
	_, failure := quietly(func() {
		ga := toGDAL(a)
		if ga == nil {
			return
		}
		defer C.OGR_G_DestroyGeometry(ga)
		var gb C.OGRGeometryH
		if b != nil {
			if gb = toGDAL(b); gb == nil {
				return
			}
			defer C.OGR_G_DestroyGeometry(gb)
		}
		if r := op(ga, gb); r != nil {
			defer C.OGR_G_DestroyGeometry(r)
			out, err = exportGeometry(r)
		}
	})
	if err == nil && out == nil {
		err = fmt.Errorf("GEOS cannot work on it: %v; draw its boundary again where it crosses or touches itself, or export the file anew", failure)
	}
	if err != nil {
		return nil, err
	}
	return sortOut(out).polygons, nil
}

func toGDAL(g orb.Geometry) C.OGRGeometryH {
	buf, err := wkb.Marshal(g, binary.LittleEndian)
	if err != nil || len(buf) == 0 {
		return nil
	}
	var h C.OGRGeometryH
	C.OGR_G_CreateFromWkb(unsafe.Pointer(&buf[0]), nil, &h, C.int(len(buf)))
	return h
}
