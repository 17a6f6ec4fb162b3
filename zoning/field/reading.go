package field

import (
	"errors"
	"regexp"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning/field/fieldfile"
	"github.com/acreband/acreband/zoning/text"
	"github.com/acreband/acreband/zoning/units"
)

// Reading is a slope that was measured.
type Reading struct {
	Line     int
	ID       string     // of its spot; "" where only the place is known
	At       *orb.Point // nil where only the spot is known
	SlopePct float64
	Note     string
}

var readingColumns = []string{"id", "slope", "note", "lat", "lon"}

// ReadReadings reads measured slopes, each written with its unit, 32% or 18deg (or
// 18°):
//
//   - from a table (CSV) with the columns id and slope, or lat, lon and slope, and
//     note if wanted; without a heading the columns are id, slope, note, lat, lon;
//   - from GPX waypoints named by the spot: the reading follows the name ("S07 32%"),
//     or is all of the comment or description, or follows the word measured there;
//   - from GeoJSON points with the properties id and slope, or name, cmt and desc as
//     in GPX, and note.
//
// A spot without a reading is passed over; a file without any is refused. Errors are
// [*fieldfile.Error].
func ReadReadings(file string, data []byte) ([]Reading, error) {
	var all []Reading
	var err error
	switch fieldfile.FormatOf(data) {
	case fieldfile.GPX:
		all, err = gpxReadings(file, data)
	case fieldfile.GeoJSON:
		all, err = geojsonReadings(file, data)
	default:
		all, err = tableReadings(file, data)
	}
	if err == nil && len(all) == 0 {
		err = fieldfile.Refuse(file, 0, "fill in the column slope of the list of spots, or name waypoints such as S07 32%", "the file has no reading")
	}
	return all, err
}

// slopeOf reads one slope and says where it stands when it cannot be read.
func slopeOf(file string, line int, text string) (float64, error) {
	pct, err := units.Slope(strings.ReplaceAll(text, "°", "deg"))
	var bad *units.Error
	if errors.As(err, &bad) {
		return 0, fieldfile.Refuse(file, line, bad.Cure, "reading %s", bad.Problem)
	}
	return pct, err
}

func tableReadings(file string, data []byte) ([]Reading, error) {
	rows, err := fieldfile.Table(file, data, readingColumns)
	if err != nil {
		return nil, err
	}
	var all []Reading
	for _, row := range rows {
		slope := row.Get("slope")
		if slope == "" {
			continue
		}
		r := Reading{Line: row.Line, ID: row.Get("id"), Note: text.OneLine(row.Get("note"))}
		if r.SlopePct, err = slopeOf(file, row.Line, slope); err != nil {
			return nil, err
		}
		lat, lon := row.Get("lat"), row.Get("lon")
		if lat != "" || lon != "" {
			y, errY := strconv.ParseFloat(lat, 64)
			x, errX := strconv.ParseFloat(lon, 64)
			at := orb.Point{x, y}
			if errY != nil || errX != nil || !fieldfile.OnEarth(at) {
				return nil, fieldfile.Refuse(file, row.Line, "give both in degrees, such as 36.123456 and -84.123456", "lat %q, lon %q is no place", lat, lon)
			}
			r.At = &at
		}
		if r.ID == "" && r.At == nil {
			return nil, fieldfile.Refuse(file, row.Line, "give the id of a spot, or lat and lon", "the reading %s is of no spot", slope)
		}
		all = append(all, r)
	}
	return all, nil
}

func gpxReadings(file string, data []byte) ([]Reading, error) {
	spots, _, err := fieldfile.ReadGPX(file, data)
	if err != nil {
		return nil, err
	}
	var all []Reading
	for _, w := range spots {
		r := Reading{Line: w.Line, At: &w.At}
		found, err := r.take(file, w.Name, w.Comment, w.Description)
		if err != nil {
			return nil, err
		}
		if found {
			all = append(all, r)
		}
	}
	return all, nil
}

func geojsonReadings(file string, data []byte) ([]Reading, error) {
	features, _, err := fieldfile.ReadGeoJSON(file, data)
	if err != nil {
		return nil, err
	}
	var all []Reading
	for _, f := range features {
		r := Reading{Line: f.Line}
		if at, ok := f.Geometry.(orb.Point); ok {
			r.At = &at
		}
		text := map[string]string{}
		for _, key := range []string{"id", "slope", "note", "name", "cmt", "desc"} {
			v, ok := f.Text(key)
			if !ok && key == "slope" {
				return nil, fieldfile.Refuse(file, f.Line, "write it as text with its unit, \"32%\" or \"18deg\"", "the property slope is %v", f.Properties[key])
			}
			text[key] = v
		}
		if text["id"] == "" {
			text["id"] = f.ID
		}
		found := text["slope"] != ""
		if found {
			r.ID, r.Note = text["id"], text["note"]
			if r.SlopePct, err = slopeOf(file, f.Line, text["slope"]); err != nil {
				return nil, err
			}
		} else if found, err = r.take(file, text["name"], text["cmt"], text["desc"]); err != nil {
			return nil, err
		}
		if !found {
			continue
		}
		if r.ID == "" && r.At == nil {
			return nil, fieldfile.Refuse(file, f.Line, "give it the id of a spot, or a point", "the reading is of no spot")
		}
		all = append(all, r)
	}
	return all, nil
}

var (
	// slopeWords finds what is meant for a slope in a name: a number with a unit.
	slopeWords = regexp.MustCompile(`^(.*?)\s*(-?[0-9.]+\s*(?:%|deg|°))(?:\s+(.*))?$`)
	measured   = regexp.MustCompile(`(?i)\bmeasured:?\s+(-?[0-9.]+\s*(?:%|deg|°)?)`)
	// A number without a unit after an id, or by itself, is a reading too: it is to be
	// refused, not passed over. A number after another name is none ("Gate 2").
	bareName = regexp.MustCompile(`^([A-Za-z][0-9]+)\s+(-?[0-9.]+)$`)
	bare     = regexp.MustCompile(`^-?[0-9.]+$`)
)

// take finds the reading of a waypoint: in its name, which may begin with the id
// of a spot, then in its comment, then in its description.
func (r *Reading) take(file, name, comment, description string) (found bool, err error) {
	r.ID = name
	var text string
	if m := slopeWords.FindStringSubmatch(name); m != nil {
		r.ID, text, r.Note = m[1], m[2], m[3]
	} else if m := bareName.FindStringSubmatch(name); m != nil {
		r.ID, text = m[1], m[2]
	}
	for _, s := range []string{comment, description} {
		if text != "" {
			break
		}
		if m := slopeWords.FindStringSubmatch(s); m != nil && m[1] == "" {
			text, r.Note = m[2], m[3]
		} else if m := measured.FindStringSubmatch(s); m != nil {
			text = m[1]
		} else if bare.MatchString(s) {
			text = s
		}
	}
	if text == "" {
		return false, nil
	}
	r.SlopePct, err = slopeOf(file, r.Line, strings.TrimSpace(text))
	return err == nil, err
}
