package write

import (
	"encoding/xml"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning"
)

// GPX writes spots as waypoints and the lots' lines as tracks, by GPX 1.1
// (Topografix 2004), for a receiver to lead to. A hole in a lot is a segment of its
// track. Hazards come after them with their cautions, spots as waypoints, lines and
// ground as tracks of the type [HazardType]. The cautions of the map stand in the
// metadata.
func GPX(w io.Writer, zm *zoning.ZoneMap, spots []Spot) error {
	if err := checkOutlined(zm); err != nil {
		return err
	}
	file := gpxFile{
		Version: "1.1", Creator: "acreband", Namespace: "http://www.topografix.com/GPX/1/1",
		Metadata: gpxMetadata{Name: title(zm), Words: strings.Join(Remarks(zm), "\n")},
	}
	var bound orb.Bound
	widen := func(g orb.Geometry) {
		if bound == (orb.Bound{}) {
			bound = g.Bound()
		}
		bound = bound.Union(g.Bound())
	}
	for _, kind := range byKind(spots) {
		for _, s := range kind {
			widen(s.At)
			file.Waypoints = append(file.Waypoints, gpxWaypoint{gpxPointAt(s.At), s.Name, s.Words, spotHeading(s.Kind)})
		}
	}
	for _, h := range zm.Hazards {
		if p, ok := h.Geometry.(orb.Point); ok {
			widen(p)
			file.Waypoints = append(file.Waypoints, gpxWaypoint{gpxPointAt(p), h.Kind.Name(), hazardWords(h), HazardType})
		}
	}
	for _, lot := range zm.Lots {
		track := gpxTrack{Name: lotName(lot.Lot), Words: "Boundary as it was mapped. " + boundaryWords(zm)}
		outline := lot.Coverage.Outline()
		widen(outline)
		track.Segments = segmentsOf(outline)
		file.Tracks = append(file.Tracks, track)
	}
	for _, h := range zm.Hazards {
		if segments := segmentsOf(h.Geometry); len(segments) > 0 {
			widen(h.Geometry)
			file.Tracks = append(file.Tracks, gpxTrack{h.Kind.Name(), hazardWords(h), HazardType, segments})
		}
	}
	if bound != (orb.Bound{}) {
		file.Metadata.Bounds = &gpxBounds{gpxDegrees(bound.Min[1]), gpxDegrees(bound.Min[0]), gpxDegrees(bound.Max[1]), gpxDegrees(bound.Max[0])}
	}
	if _, err := io.WriteString(w, xml.Header); err != nil {
		return err
	}
	out := xml.NewEncoder(w)
	out.Indent("", " ")
	if err := out.Encode(file); err != nil {
		return err
	}
	_, err := io.WriteString(w, "\n")
	return err
}

// HazardType is the type of a hazard's waypoint or track in a GPX file. A track of that
// type is no boundary.
const HazardType = hazardHeading

// segmentsOf are the lines and rings of a shape.
func segmentsOf(g orb.Geometry) (out []gpxSegment) {
	switch g := g.(type) {
	case nil, orb.Point:
		return nil
	case orb.LineString:
		segment := gpxSegment{}
		for _, p := range g {
			segment.Points = append(segment.Points, gpxPointAt(p))
		}
		return []gpxSegment{segment}
	}
	for _, part := range partsOf(g) {
		out = append(out, segmentsOf(part)...)
	}
	return out
}

// boundaryWords says how well the lots' lines are known.
func boundaryWords(zm *zoning.ZoneMap) string {
	if zm.Boundary == "" {
		return "How well its line is known was not said."
	}
	return "Its line is known so well: " + zm.Boundary + "."
}

// The elements of a file in the order that GPX asks for.
type gpxFile struct {
	XMLName   xml.Name      `xml:"gpx"`
	Version   string        `xml:"version,attr"`
	Creator   string        `xml:"creator,attr"`
	Namespace string        `xml:"xmlns,attr"`
	Metadata  gpxMetadata   `xml:"metadata"`
	Waypoints []gpxWaypoint `xml:"wpt"`
	Tracks    []gpxTrack    `xml:"trk"`
}

type gpxMetadata struct {
	Name   string     `xml:"name"`
	Words  string     `xml:"desc"`
	Bounds *gpxBounds `xml:"bounds"`
}

type gpxBounds struct {
	MinLat gpxDegrees `xml:"minlat,attr"`
	MinLon gpxDegrees `xml:"minlon,attr"`
	MaxLat gpxDegrees `xml:"maxlat,attr"`
	MaxLon gpxDegrees `xml:"maxlon,attr"`
}

type gpxWaypoint struct {
	gpxPoint
	Name  string `xml:"name"`
	Words string `xml:"desc,omitempty"`
	Type  string `xml:"type"`
}

type gpxTrack struct {
	Name     string       `xml:"name"`
	Words    string       `xml:"desc"`
	Type     string       `xml:"type,omitempty"`
	Segments []gpxSegment `xml:"trkseg"`
}

type gpxSegment struct {
	Points []gpxPoint `xml:"trkpt"`
}

type gpxPoint struct {
	Lat gpxDegrees `xml:"lat,attr"`
	Lon gpxDegrees `xml:"lon,attr"`
}

// gpxPointAt keeps longitude below 180, which GPX leaves out.
func gpxPointAt(p orb.Point) gpxPoint {
	lon := p[0]
	if lon >= 180 {
		lon -= 360
	}
	return gpxPoint{gpxDegrees(p[1]), gpxDegrees(lon)}
}

// gpxDegrees are written with at most 9 decimals and never with an exponent.
type gpxDegrees float64

func (d gpxDegrees) MarshalXMLAttr(name xml.Name) (xml.Attr, error) {
	v := math.Round(float64(d)*1e9) / 1e9
	return xml.Attr{Name: name, Value: strconv.FormatFloat(v, 'f', -1, 64)}, nil
}
