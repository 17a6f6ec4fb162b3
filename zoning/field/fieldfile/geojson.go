package fieldfile

import (
	"bytes"
	"encoding/json"
	"errors"
	"strings"

	"github.com/paulmach/orb"
)

// Feature is a feature of a GeoJSON file. Its geometry is nil where the file has
// null.
type Feature struct {
	Line       int
	ID         string
	Properties map[string]any // numbers are json.Number
	Geometry   orb.Geometry
}

// Text returns a property that is text, trimmed; ok is false where it is of
// another kind. A property that is missing or null is "".
func (f Feature) Text(key string) (text string, ok bool) {
	switch v := f.Properties[key].(type) {
	case nil:
		return "", true
	case string:
		return oneLine(v), true
	}
	return "", false
}

type featureJSON struct {
	Type       string          `json:"type"`
	ID         any             `json:"id"`
	Properties map[string]any  `json:"properties"`
	Geometry   json.RawMessage `json:"geometry"`
}

const geojsonCure = "export it again as a GeoJSON FeatureCollection in WGS84"

// ReadGeoJSON reads the features of a FeatureCollection, and its other members
// undecoded. Geometries are points, lines and polygons, single or multiple.
func ReadGeoJSON(file string, data []byte) (features []Feature, members map[string]json.RawMessage, err error) {
	data = withoutMark(data)
	if err := parsable(file, jsonLimits.JSON, data); err != nil {
		return nil, nil, err
	}
	line := lines{data: data}
	bad := func(offset int64, err error) *Error {
		var at *json.SyntaxError
		if errors.As(err, &at) {
			offset = at.Offset
		}
		return Refuse(file, line.at(offset), geojsonCure, "the GeoJSON file breaks off or is damaged: %v", err)
	}
	d := json.NewDecoder(bytes.NewReader(data))
	if t, err := d.Token(); err != nil || t != json.Delim('{') {
		return nil, nil, Refuse(file, 1, geojsonCure, "the file is no GeoJSON object")
	}
	members = map[string]json.RawMessage{}
	for d.More() {
		key, err := d.Token()
		if err != nil {
			return nil, nil, bad(d.InputOffset(), err)
		}
		if key != "features" {
			var v json.RawMessage
			if err := d.Decode(&v); err != nil {
				return nil, nil, bad(d.InputOffset(), err)
			}
			members[key.(string)] = v
			continue
		}
		if t, err := d.Token(); err != nil || t != json.Delim('[') {
			return nil, nil, Refuse(file, line.at(d.InputOffset()), geojsonCure, "\"features\" is no list")
		}
		for d.More() {
			at := d.InputOffset()
			var v json.RawMessage
			if err := d.Decode(&v); err != nil {
				return nil, nil, bad(at, err)
			}
			f, err := feature(file, line.at(d.InputOffset()-int64(len(v))), v)
			if err != nil {
				return nil, nil, err
			}
			features = append(features, f)
		}
		if _, err := d.Token(); err != nil {
			return nil, nil, bad(d.InputOffset(), err)
		}
	}
	if _, err := d.Token(); err != nil {
		return nil, nil, bad(d.InputOffset(), err)
	}
	if string(members["type"]) != `"FeatureCollection"` {
		return nil, nil, Refuse(file, 1, geojsonCure, "the file is JSON but no FeatureCollection")
	}
	return features, members, nil
}

func feature(file string, line int, raw json.RawMessage) (Feature, error) {
	var v featureJSON
	d := json.NewDecoder(bytes.NewReader(raw))
	d.UseNumber()
	if err := d.Decode(&v); err != nil || v.Type != "Feature" {
		return Feature{}, Refuse(file, line, geojsonCure, "this is no GeoJSON feature")
	}
	f := Feature{Line: line, Properties: v.Properties}
	switch id := v.ID.(type) {
	case string:
		f.ID = strings.TrimSpace(id)
	case json.Number:
		f.ID = id.String()
	}
	if len(v.Geometry) == 0 || string(v.Geometry) == "null" {
		return f, nil
	}
	var err error
	f.Geometry, err = geometry(v.Geometry)
	if err != nil {
		return f, Refuse(file, line, geojsonCure, "the geometry cannot be read: %v", err)
	}
	if b := f.Geometry.Bound(); !b.IsEmpty() && !(OnEarth(b.Min) && OnEarth(b.Max)) {
		return f, Refuse(file, line, "give WGS84 degrees, longitude first", "the geometry reaches from %g, %g to %g, %g, which is not on earth", b.Min[0], b.Min[1], b.Max[0], b.Max[1])
	}
	return f, nil
}

// geometry decodes the kinds that field work needs. A third coordinate, height,
// is passed over.
func geometry(raw json.RawMessage) (orb.Geometry, error) {
	var v struct {
		Type        string          `json:"type"`
		Coordinates json.RawMessage `json:"coordinates"`
	}
	if err := json.Unmarshal(raw, &v); err != nil {
		return nil, err
	}
	switch v.Type {
	case "Point":
		return decode(v.Coordinates, pointOf)
	case "LineString":
		return decode(v.Coordinates, lineOf)
	case "MultiLineString":
		return decode(v.Coordinates, func(c [][]position) (orb.MultiLineString, error) { return each(c, lineOf) })
	case "Polygon":
		return decode(v.Coordinates, polygonOf)
	case "MultiPolygon":
		return decode(v.Coordinates, func(c [][][]position) (orb.MultiPolygon, error) { return each(c, polygonOf) })
	}
	return nil, errors.New(v.Type + " is neither a point, a line nor a polygon")
}

func decode[C any, G orb.Geometry](raw json.RawMessage, shape func(C) (G, error)) (orb.Geometry, error) {
	var c C
	if err := json.Unmarshal(raw, &c); err != nil {
		return nil, err
	}
	return shape(c)
}

func each[C, G any](all []C, shape func(C) (G, error)) ([]G, error) {
	out := make([]G, 0, len(all))
	for _, c := range all {
		g, err := shape(c)
		if err != nil {
			return nil, err
		}
		out = append(out, g)
	}
	return out, nil
}

// position holds pointers because null would decode as 0.
type position []*float64

func pointOf(c position) (orb.Point, error) {
	if len(c) < 2 || c[0] == nil || c[1] == nil {
		return orb.Point{}, errors.New("a position needs a longitude and a latitude")
	}
	return orb.Point{*c[0], *c[1]}, nil
}

func lineOf(c []position) (orb.LineString, error) { return each(c, pointOf) }

func polygonOf(c [][]position) (orb.Polygon, error) {
	return each(c, func(r []position) (orb.Ring, error) { return each(r, pointOf) })
}
