package fieldfile

import (
	"bytes"
	"encoding/xml"
	"io"
	"math"
	"strings"
	"time"

	"github.com/paulmach/orb"
)

// Waypoint is a named spot of a GPX file.
type Waypoint struct {
	Line                       int
	At                         orb.Point
	Name, Comment, Description string
}

// Track is a track of a GPX file: stretches that the receiver recorded without a
// break.
type Track struct {
	Line       int
	Name, Type string
	Stretches  [][]Fix
}

// Fix is a spot of a track; Time is zero where none was recorded.
type Fix struct {
	At   orb.Point
	Time time.Time
}

type gpxPoint struct {
	Lat  *float64 `xml:"lat,attr"`
	Lon  *float64 `xml:"lon,attr"`
	Time string   `xml:"time"`
	Name string   `xml:"name"`
	Cmt  string   `xml:"cmt"`
	Desc string   `xml:"desc"`
}

const gpxCure = "export it again as GPX 1.1"

// ReadGPX reads the waypoints and tracks of a GPX file. Routes are passed over.
func ReadGPX(file string, data []byte) (spots []Waypoint, tracks []Track, err error) {
	data = withoutMark(data)
	if err := parsable(file, xmlLimits.XML, data); err != nil {
		return nil, nil, err
	}
	r := gpxReader{file: file, d: xml.NewDecoder(bytes.NewReader(data)), lines: lines{data: data}}
	for root := true; ; {
		before := r.d.InputOffset()
		token, err := r.d.Token()
		if err == io.EOF && !root {
			return r.spots, r.tracks, nil
		}
		if err != nil {
			return nil, nil, Refuse(file, r.lines.at(r.d.InputOffset()), gpxCure, "the GPX file breaks off or is damaged: %v", err)
		}
		start, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		line := r.lines.at(before)
		switch {
		case root && start.Name.Local != "gpx":
			return nil, nil, Refuse(file, line, gpxCure, "the file is XML but no GPX: it begins with <%s>", start.Name.Local)
		case root:
			root = false
		default:
			if err := r.element(start, line); err != nil {
				return nil, nil, err
			}
		}
	}
}

// gpxReader reads the elements of a file one by one, the spots of a track too, so that
// what it holds is no more than what the file tells.
type gpxReader struct {
	file   string
	d      *xml.Decoder
	lines  lines
	spots  []Waypoint
	tracks []Track
}

// element reads one below the root.
func (r *gpxReader) element(start xml.StartElement, line int) error {
	switch start.Name.Local {
	case "wpt":
		var p gpxPoint
		at, err := r.point(&p, start, line)
		if err != nil {
			return err
		}
		r.spots = append(r.spots, Waypoint{Line: line, At: at, Name: oneLine(p.Name), Comment: oneLine(p.Cmt), Description: oneLine(p.Desc)})
		return nil
	case "trk":
		r.tracks = append(r.tracks, Track{Line: line})
		return r.children("trk", line, r.partOfTrack)
	}
	return r.unread(start.Name.Local, line, r.d.Skip())
}

// unread is the error of an element that cannot be read; nil where it was.
func (r *gpxReader) unread(name string, line int, err error) error {
	if err == nil {
		return nil
	}
	return Refuse(r.file, line, gpxCure, "<%s> cannot be read: %v", name, err)
}

// children reads the elements inside one, up to its end.
func (r *gpxReader) children(name string, line int, read func(xml.StartElement, int) error) error {
	for {
		token, err := r.d.Token()
		if err != nil {
			return r.unread(name, line, err)
		}
		switch e := token.(type) {
		case xml.EndElement:
			return nil
		case xml.StartElement:
			if err := read(e, line); err != nil {
				return err
			}
		}
	}
}

// partOfTrack reads a part of the last track.
func (r *gpxReader) partOfTrack(start xml.StartElement, line int) error {
	t := &r.tracks[len(r.tracks)-1]
	switch start.Name.Local {
	case "name":
		return r.text(&t.Name, start, line)
	case "type":
		return r.text(&t.Type, start, line)
	case "trkseg":
		t.Stretches = append(t.Stretches, nil)
		return r.children("trk", line, r.partOfStretch)
	}
	return r.unread("trk", line, r.d.Skip())
}

func (r *gpxReader) text(out *string, start xml.StartElement, line int) error {
	var text string
	err := r.d.DecodeElement(&text, &start)
	*out = oneLine(text)
	return r.unread("trk", line, err)
}

// partOfStretch reads a spot of the last track's last stretch.
func (r *gpxReader) partOfStretch(start xml.StartElement, line int) error {
	if start.Name.Local != "trkpt" {
		return r.unread("trk", line, r.d.Skip())
	}
	var p gpxPoint
	at, err := r.point(&p, start, line)
	if err != nil {
		return err
	}
	fix := Fix{At: at}
	if text := strings.TrimSpace(p.Time); text != "" {
		if fix.Time, err = time.Parse(time.RFC3339, text); err != nil {
			return Refuse(r.file, line, "write times as 2026-05-04T13:05:00Z", "a spot of the track has the time %q", text)
		}
	}
	t := &r.tracks[len(r.tracks)-1]
	last := len(t.Stretches) - 1
	t.Stretches[last] = append(t.Stretches[last], fix)
	return nil
}

// point decodes a spot and its place.
func (r *gpxReader) point(p *gpxPoint, start xml.StartElement, line int) (orb.Point, error) {
	if err := r.d.DecodeElement(p, &start); err != nil {
		name := start.Name.Local
		if name == "trkpt" {
			name = "trk"
		}
		return orb.Point{}, r.unread(name, line, err)
	}
	return p.place(r.file, line)
}

func (p gpxPoint) place(file string, line int) (orb.Point, error) {
	if p.Lat == nil || p.Lon == nil {
		return orb.Point{}, Refuse(file, line, gpxCure, "a spot lacks lat or lon")
	}
	at := orb.Point{*p.Lon, *p.Lat}
	if !OnEarth(at) {
		return at, Refuse(file, line, "give degrees, latitude within 90 and longitude within 180", "lat %g, lon %g is no spot on earth", at[1], at[0])
	}
	return at, nil
}

// OnEarth reports whether a longitude and latitude are within 180 and 90 degrees.
func OnEarth(p orb.Point) bool { return math.Abs(p[0]) <= 180 && math.Abs(p[1]) <= 90 }

// oneLine makes any run of white space a space.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }
