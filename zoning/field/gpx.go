package field

import (
	"encoding/xml"
	"fmt"
	"io"
	"strings"

	"github.com/acreband/acreband/zoning/text"
)

type gpxFile struct {
	XMLName  xml.Name   `xml:"http://www.topografix.com/GPX/1/1 gpx"`
	Version  string     `xml:"version,attr"`
	Creator  string     `xml:"creator,attr"`
	Metadata gpxAbout   `xml:"metadata"`
	Spots    []gpxPoint `xml:"wpt"`
}

type gpxAbout struct {
	Name string `xml:"name"`
	Desc string `xml:"desc"`
}

// gpxPoint has its elements in the order of wptType in the GPX 1.1 schema.
type gpxPoint struct {
	Lat  string `xml:"lat,attr"`
	Lon  string `xml:"lon,attr"`
	Name string `xml:"name"`
	Desc string `xml:"desc"`
	Type string `xml:"type"`
}

// WriteGPX writes the spots as GPX 1.1 waypoints. A waypoint is where to stand, also
// for a spot that is sighted: a phone leads people to it. Named "S07 32%", or with
// the comment "32%", it gives the reading back.
func (c *Checks) WriteGPX(w io.Writer) error {
	f := gpxFile{Version: "1.1", Creator: "Acreband", Metadata: gpxAbout{
		Name: c.title(),
		Desc: strings.Join(c.Cautions(), " "),
	}}
	for _, s := range c.Spots {
		at, kind := s.Stand(), "on foot"
		if s.Sight != nil {
			kind = "sight from " + s.Sight.From
		}
		f.Spots = append(f.Spots, gpxPoint{
			Lat: fmt.Sprintf("%.7f", at[1]), Lon: fmt.Sprintf("%.7f", at[0]), Name: s.ID, Type: kind,
			Desc: text.OneLine(fmt.Sprintf("%s Lot %s, %s: %s (%s).", c.Do(s), s.Lot, s.Band, s.expects(), s.why())),
		})
	}
	text, err := xml.MarshalIndent(f, "", "  ")
	if err != nil {
		return err
	}
	_, err = io.WriteString(w, xml.Header+string(text)+"\n")
	return err
}
