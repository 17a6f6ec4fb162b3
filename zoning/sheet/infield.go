package sheet

import (
	"crypto/sha256"
	_ "embed"
	"encoding/hex"
	"fmt"
	"strconv"
	"strings"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/field"
	"github.com/acreband/acreband/zoning/sheet/internal/scripts"
	"github.com/acreband/acreband/zoning/text"
)

// What the sheet on a screen does in the field: it tells the zone one stands in and takes
// readings at the checks.
//
//go:embed infield.css
var fieldCSS string

//go:embed infield.js
var fieldJS string

// htmlPlace tells the script where places lie on the map: points of the map from the place
// in its middle, x to the east and y to the south.
type htmlPlace struct {
	Lon, Lat       string // of the middle, in degrees
	X, Y           string // of the middle, in points
	PerLon, PerLat string // points in a degree
	Meters         string // in a point
	Left, Top      string // of the map's frame, and its size, in points
	Width, Height  string
	Blur           string // points by which an outline may be off, see ringApart
}

// places are where places lie on each pane.
func (j *jobMap) places() []htmlPlace {
	out := make([]htmlPlace, len(j.panes))
	for i, p := range j.panes {
		out[i] = p.place()
	}
	return out
}

func (p *pane) place() htmlPlace {
	perPoint := p.v.metres * reliefPx
	x, y := p.at.X+float64(p.v.w)/2/reliefPx, p.at.Y+float64(p.v.h)/2/reliefPx
	return htmlPlace{exact(p.v.lon0), exact(p.v.lat0), exact(x), exact(y),
		exact(p.v.perLon / perPoint), exact(p.v.perLat / perPoint), exact(perPoint),
		exact(p.at.X), exact(p.at.Y), exact(p.frame.Right), exact(p.frame.Bottom), exact(ringApart)}
}

// exact writes a number for the script.
func exact(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// htmlReadings are the checks to type readings at.
type htmlReadings struct {
	Job      string // by which the browser keeps the readings of this sheet apart from others'
	Cautions []string
	Checks   []htmlCheck
}

type htmlCheck struct {
	ID, Where, Do string
	Lon, Lat      string // where one stands, in degrees
	// Below is what a reading stays below, in percent, and Limit the same in words; both ""
	// where the ground is no machine's.
	Below, Limit string
}

// readings are the checks of the sheet, in their order; none where none were picked.
func (p *Page) readings(title string) htmlReadings {
	var out htmlReadings
	if p.Checks == nil {
		return out
	}
	out.Cautions = p.Checks.Cautions()
	job := sha256.New()
	fmt.Fprintln(job, title)
	for _, s := range p.Checks.Spots {
		c := p.checkOf(s)
		fmt.Fprintf(job, "%q\n", []string{c.ID, c.Lon, c.Lat, s.Band})
		out.Checks = append(out.Checks, c)
	}
	out.Job = hex.EncodeToString(job.Sum(nil)[:8])
	return out
}

func (p *Page) checkOf(s field.Spot) htmlCheck {
	at := s.Stand()
	zone := s.Band
	for _, b := range p.Map.Fleet.Bands() {
		if b.Key == s.Band {
			zone = b.Name
		}
	}
	where := []string{text.OneLine(zone)}
	if len(p.Map.Lots) > 1 && s.Lot != "" {
		where = append(where, text.OneLine(s.Lot))
	}
	c := htmlCheck{ID: text.OneLine(s.ID), Do: p.Checks.Do(s), Lon: exact(at[0]), Lat: exact(at[1])}
	where = append(where, "stand at "+degreesText(at), "mapped "+slopeText(s.MappedPct))
	if s.LimitPct > 0 {
		c.Below, c.Limit = exact(s.LimitPct-100*zoning.TieRise), limitText(s.LimitPct)
		where = append(where, "limit "+c.Limit)
	}
	c.Where = scripts.InOrder(strings.Join(where, "; "))
	return c
}
