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

type gpxTrack struct {
	Name     string `xml:"name"`
	Type     string `xml:"type"`
	Segments []struct {
		Points []gpxPoint `xml:"trkpt"`
	} `xml:"trkseg"`
}

const gpxCure = "export it again as GPX 1.1"

// ReadGPX reads the waypoints and tracks of a GPX file. Routes are passed over.
func ReadGPX(file string, data []byte) (spots []Waypoint, tracks []Track, err error) {
	data = withoutMark(data)
	d := xml.NewDecoder(bytes.NewReader(data))
	for root := true; ; {
		before := d.InputOffset()
		token, err := d.Token()
		if err == io.EOF && !root {
			return spots, tracks, nil
		}
		if err != nil {
			return nil, nil, Refuse(file, lineAt(data, d.InputOffset()), gpxCure, "the GPX file breaks off or is damaged: %v", err)
		}
		start, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		line := lineAt(data, before)
		if root && start.Name.Local != "gpx" {
			return nil, nil, Refuse(file, line, gpxCure, "the file is XML but no GPX: it begins with <%s>", start.Name.Local)
		}
		switch {
		case root:
			root = false
			continue
		case start.Name.Local == "wpt":
			var p gpxPoint
			if err = d.DecodeElement(&p, &start); err == nil {
				w := Waypoint{Line: line, Name: oneLine(p.Name), Comment: oneLine(p.Cmt), Description: oneLine(p.Desc)}
				if w.At, err = p.place(file, line); err != nil {
					return nil, nil, err
				}
				spots = append(spots, w)
			}
		case start.Name.Local == "trk":
			var t gpxTrack
			if err = d.DecodeElement(&t, &start); err == nil {
				track, err := t.track(file, line)
				if err != nil {
					return nil, nil, err
				}
				tracks = append(tracks, track)
			}
		default:
			err = d.Skip()
		}
		if err != nil {
			return nil, nil, Refuse(file, line, gpxCure, "<%s> cannot be read: %v", start.Name.Local, err)
		}
	}
}

func (t gpxTrack) track(file string, line int) (Track, error) {
	out := Track{Line: line, Name: oneLine(t.Name), Type: oneLine(t.Type)}
	for _, s := range t.Segments {
		var fixes []Fix
		for _, p := range s.Points {
			at, err := p.place(file, line)
			if err != nil {
				return out, err
			}
			fix := Fix{At: at}
			if text := strings.TrimSpace(p.Time); text != "" {
				if fix.Time, err = time.Parse(time.RFC3339, text); err != nil {
					return out, Refuse(file, line, "write times as 2026-05-04T13:05:00Z", "a spot of the track has the time %q", text)
				}
			}
			fixes = append(fixes, fix)
		}
		out.Stretches = append(out.Stretches, fixes)
	}
	return out, nil
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

// OnEarth tells whether a longitude and latitude are within 180 and 90 degrees.
func OnEarth(p orb.Point) bool { return math.Abs(p[0]) <= 180 && math.Abs(p[1]) <= 90 }

// oneLine makes any run of white space a space.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }
