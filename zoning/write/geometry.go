package write

import (
	"bufio"
	"errors"
	"fmt"
	"math"
	"strconv"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning/coverage"
)

// geometryWriter writes polygons without a detour through other types: outlines
// of rough ground have a hundred thousand vertices.
type geometryWriter struct {
	out *bufio.Writer
	buf []byte
	bad bool // whether something came that is no coordinate
}

func (g *geometryWriter) write(mp orb.MultiPolygon) {
	if len(mp) == 1 {
		g.out.WriteString(`{"type": "Polygon", "coordinates": `)
		g.polygon(mp[0])
		g.out.WriteString("}")
		return
	}
	g.out.WriteString(`{"type": "MultiPolygon", "coordinates": [`)
	for i, poly := range mp {
		if i > 0 {
			g.out.WriteString(", ")
		}
		g.polygon(poly)
	}
	g.out.WriteString("]}")
}

// shape writes a geometry; null where there is none.
func (g *geometryWriter) shape(shape orb.Geometry) error {
	many := func(kind string, n int, one func(i int)) {
		g.out.WriteString(`{"type": "` + kind + `", "coordinates": [`)
		for i := range n {
			if i > 0 {
				g.out.WriteString(", ")
			}
			one(i)
		}
		g.out.WriteString("]}")
	}
	switch s := shape.(type) {
	case orb.Point:
		g.out.WriteString(`{"type": "Point", "coordinates": `)
		g.point(s)
		g.out.WriteString("}")
	case orb.MultiPoint:
		many("MultiPoint", len(s), func(i int) { g.point(s[i]) })
	case orb.LineString:
		many("LineString", len(s), func(i int) { g.point(s[i]) })
	case orb.MultiLineString:
		many("MultiLineString", len(s), func(i int) {
			for k, p := range s[i] {
				g.out.WriteString([]string{"[", ", "}[min(k, 1)])
				g.point(p)
			}
			g.out.WriteString("]")
		})
	case orb.Polygon:
		g.write(orb.MultiPolygon{s})
	case orb.MultiPolygon:
		g.write(s)
	case orb.Ring:
		g.write(orb.MultiPolygon{{s}})
	case orb.Bound:
		g.write(orb.MultiPolygon{s.ToPolygon()})
	case orb.Collection:
		g.out.WriteString(`{"type": "GeometryCollection", "geometries": [`)
		for i, one := range s {
			if i > 0 {
				g.out.WriteString(", ")
			}
			if err := g.shape(one); err != nil {
				return err
			}
		}
		g.out.WriteString("]}")
	case nil:
		g.out.WriteString("null")
	default:
		return fmt.Errorf("GeoJSON has no form for a %s", shape.GeoJSONType())
	}
	if g.bad {
		return errors.New("its shape has a coordinate that is no number of degrees")
	}
	return nil
}

func (g *geometryWriter) point(p orb.Point) {
	b := append(g.buf[:0], '[')
	b = g.degrees(b, p[0])
	b = append(b, ", "...)
	b = g.degrees(b, p[1])
	g.buf = append(b, ']')
	g.out.Write(g.buf)
}

func (g *geometryWriter) polygon(poly orb.Polygon) {
	open := "[["
	for _, ring := range poly {
		b := append(g.buf[:0], open...)
		for k, p := range ring {
			if k > 0 {
				b = append(b, ", "...)
			}
			b = append(b, '[')
			b = g.degrees(b, p[0])
			b = append(b, ", "...)
			b = g.degrees(b, p[1])
			b = append(b, ']')
			if len(b) > 1<<16 {
				g.out.Write(b)
				b = b[:0]
			}
		}
		g.buf = append(b, ']')
		g.out.Write(g.buf)
		open = ", ["
	}
	g.out.WriteString("]")
}

// mostDegrees is more than any longitude of a shape that goes around the earth.
const mostDegrees = 1080

func (g *geometryWriter) degrees(b []byte, deg float64) []byte {
	if !(math.Abs(deg) <= mostDegrees) {
		g.bad = true
		return b
	}
	return appendDegrees(b, deg)
}

// appendDegrees writes degrees with up to 9 decimals, trailing zeros left out.
func appendDegrees(b []byte, deg float64) []byte {
	v := int64(math.Round(deg * coverage.UnitsPerDegree))
	if v < 0 {
		b, v = append(b, '-'), -v
	}
	b = strconv.AppendInt(b, v/coverage.UnitsPerDegree, 10)
	frac := v % coverage.UnitsPerDegree
	if frac == 0 {
		return b
	}
	var digits [9]byte
	for i := len(digits) - 1; i >= 0; i-- {
		digits[i], frac = '0'+byte(frac%10), frac/10
	}
	n := len(digits)
	for digits[n-1] == '0' {
		n--
	}
	return append(append(b, '.'), digits[:n]...)
}
