package progress

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning/field/fieldfile"
	"github.com/acreband/acreband/zoning/units"
)

// Options say what a file leaves open.
type Options struct {
	Machines []string // keys of the fleet

	// Machine, Day and CutWidthM stand where the file has none.
	Machine   string
	Day       string
	CutWidthM float64

	// Zone is that of the days of a track, whose times are in UTC. Where it is nil,
	// noon is that of the longitude, to the hour.
	Zone *time.Location
}

// ReadWorked reads worked ground:
//
//   - from GeoJSON polygons and lines with the properties date, machine, hours and,
//     for lines, cut_width with its unit (6ft, 1.8m);
//   - from GPX tracks. The machine is the fleet's key that is the track's type or
//     name; each local day of a track is one. Hours are the time recorded.
//
// Errors are [*fieldfile.Error].
func ReadWorked(file string, data []byte, o Options) ([]Worked, error) {
	var all []Worked
	var err error
	switch fieldfile.FormatOf(data) {
	case fieldfile.GPX:
		all, err = o.readTracks(file, data)
	case fieldfile.GeoJSON:
		all, err = o.readShapes(file, data)
	default:
		return nil, fieldfile.Refuse(file, 0, "give GPX tracks, or GeoJSON polygons or lines", "the file is neither GPX nor GeoJSON")
	}
	if err == nil && len(all) == 0 {
		err = fieldfile.Refuse(file, 0, "give polygons, lines or tracks with two spots or more", "the file has no worked ground")
	}
	return all, err
}

const dayCure = "write the day as 2026-05-04"

func checkDay(file string, line int, day string) error {
	if day == "" {
		return fieldfile.Refuse(file, line, "write its date such as 2026-05-04, or give "+setting.Name("day"), "no day is told")
	}
	if _, err := time.Parse(time.DateOnly, day); err != nil {
		return fieldfile.Refuse(file, line, dayCure, "%q is no day", day)
	}
	return nil
}

func (o Options) machine(file string, line int, key string) (string, error) {
	key = cmp.Or(key, o.Machine)
	if key == "" {
		return "", fieldfile.Refuse(file, line, "write one of "+strings.Join(o.Machines, ", ")+", or give "+setting.Name("machine"), "no machine is told")
	}
	i := slices.IndexFunc(o.Machines, func(m string) bool { return strings.EqualFold(m, key) })
	if i < 0 {
		return "", fieldfile.Refuse(file, line, "write one of "+strings.Join(o.Machines, ", "), "machine %q is not in the fleet", key)
	}
	return o.Machines[i], nil
}

// hoursOf reads the hours of a machine on a day; text that is empty is 0.
func hoursOf(file string, line int, text string) (float64, error) {
	if text == "" {
		return 0, nil
	}
	v, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(text, "h")), 64)
	if err != nil || !(v > 0 && v <= 24) {
		return 0, fieldfile.Refuse(file, line, "write hours above 0 and up to 24, such as 6.5", "%q are no hours of a day", text)
	}
	return v, nil
}

func (o Options) readShapes(file string, data []byte) ([]Worked, error) {
	features, _, err := fieldfile.ReadGeoJSON(file, data)
	if err != nil {
		return nil, err
	}
	var all []Worked
	for _, f := range features {
		w := Worked{Line: f.Line, CutWidthM: o.CutWidthM}
		switch g := f.Geometry.(type) {
		case orb.Polygon:
			w.Ground = orb.MultiPolygon{g}
		case orb.MultiPolygon:
			w.Ground = g
		case orb.LineString:
			w.Tracks = orb.MultiLineString{g}
		case orb.MultiLineString:
			w.Tracks = g
		default:
			continue
		}
		text := map[string]string{}
		for _, key := range []string{"date", "machine", "hours", "cut_width"} {
			v, ok := f.Text(key)
			if n, isNumber := f.Properties[key].(json.Number); isNumber && key == "hours" {
				v, ok = n.String(), true
			}
			if !ok {
				return nil, fieldfile.Refuse(file, f.Line, "write it as text", "the property %s is %v", key, f.Properties[key])
			}
			text[key] = v
		}
		w.Day = cmp.Or(text["date"], o.Day)
		if err := checkDay(file, f.Line, w.Day); err != nil {
			return nil, err
		}
		if w.Machine, err = o.machine(file, f.Line, text["machine"]); err != nil {
			return nil, err
		}
		if w.Hours, err = hoursOf(file, f.Line, text["hours"]); err != nil {
			return nil, err
		}
		if text["cut_width"] != "" {
			w.CutWidthM, err = units.Length(text["cut_width"])
			var bad *units.Error
			if errors.As(err, &bad) {
				return nil, fieldfile.Refuse(file, f.Line, bad.Cure, "cut_width %s", bad.Problem)
			}
		}
		if len(w.Tracks) > 0 {
			if err := checkCut(file, f.Line, w.CutWidthM); err != nil {
				return nil, err
			}
		}
		all = append(all, w)
	}
	return all, nil
}

func checkCut(file string, line int, widthM float64) error {
	if widthM >= minCutM && widthM <= maxCutM {
		return nil
	}
	return fieldfile.Refuse(file, line, "give the cutting width of the head, from 1ft to 50ft", "a track has the cutting width %.3g m", widthM)
}

func (o Options) readTracks(file string, data []byte) ([]Worked, error) {
	_, tracks, err := fieldfile.ReadGPX(file, data)
	if err != nil {
		return nil, err
	}
	if o.Day != "" {
		if err := checkDay(file, 0, o.Day); err != nil {
			return nil, err
		}
	}
	var all []Worked
	for _, t := range tracks {
		named := ""
		for _, key := range o.Machines {
			if strings.EqualFold(t.Type, key) || named == "" && strings.EqualFold(t.Name, key) {
				named = key
			}
		}
		machine, err := o.machine(file, t.Line, cmp.Or(named, o.Machine, t.Type, t.Name))
		if err != nil {
			return nil, err
		}
		days, err := o.days(file, t)
		if err != nil {
			return nil, err
		}
		for _, w := range days {
			w.Line, w.Machine, w.CutWidthM = t.Line, machine, o.CutWidthM
			if err := checkCut(file, t.Line, w.CutWidthM); err != nil {
				return nil, err
			}
			all = append(all, w)
		}
	}
	return all, nil
}

// days parts a track by local day. A fix without a time is of the day of the one
// before it.
func (o Options) days(file string, t fieldfile.Track) (days []Worked, err error) {
	for _, stretch := range t.Stretches {
		from := -1 // the stretch's first fix of the day
		day := o.Day
		flush := func(to int) {
			if from >= 0 && to > from {
				days = addStretch(days, day, stretch[from:to])
			}
			from = to
		}
		for i, fix := range stretch {
			at := day
			if !fix.Time.IsZero() {
				at = fix.Time.In(o.zone(fix.At)).Format(time.DateOnly)
			}
			if at == "" {
				return nil, fieldfile.Refuse(file, t.Line, "say on which day it was worked ("+setting.Name("day")+"), or export the track with its times", "track %q has no times", t.Name)
			}
			if at != day || from < 0 {
				flush(i)
				from, day = i, at
			}
		}
		flush(len(stretch))
	}
	return days, nil
}

func addStretch(days []Worked, day string, fixes []fieldfile.Fix) []Worked {
	i := slices.IndexFunc(days, func(w Worked) bool { return w.Day == day })
	if i < 0 {
		i = len(days)
		days = append(days, Worked{Day: day})
	}
	line := make(orb.LineString, len(fixes))
	for k, f := range fixes {
		line[k] = f.At
	}
	days[i].Tracks = append(days[i].Tracks, line)
	if first, last := fixes[0].Time, fixes[len(fixes)-1].Time; !first.IsZero() && last.After(first) {
		days[i].Hours += last.Sub(first).Hours()
		days[i].Recorded = true
	}
	return days
}

func (o Options) zone(at orb.Point) *time.Location {
	if o.Zone != nil {
		return o.Zone
	}
	return time.FixedZone("", int(math.Round(at[0]/15))*3600)
}

// ReadHours reads a table (CSV) of hours with the columns date, machine and hours.
// Errors are [*fieldfile.Error].
func ReadHours(file string, data []byte, o Options) ([]Hours, error) {
	rows, err := fieldfile.Table(file, data, []string{"date", "machine", "hours"})
	if err != nil {
		return nil, err
	}
	var all []Hours
	for _, row := range rows {
		h := Hours{Line: row.Line, Day: cmp.Or(row.Get("date"), o.Day)}
		if err := checkDay(file, row.Line, h.Day); err != nil {
			return nil, err
		}
		if h.Machine, err = o.machine(file, row.Line, row.Get("machine")); err != nil {
			return nil, err
		}
		if h.Hours, err = hoursOf(file, row.Line, row.Get("hours")); err != nil {
			return nil, err
		}
		if h.Hours == 0 {
			return nil, fieldfile.Refuse(file, row.Line, "fill in the column hours, or leave the line out", "%s, %s has no hours", h.Day, h.Machine)
		}
		all = append(all, h)
	}
	if len(all) == 0 {
		return nil, fieldfile.Refuse(file, 0, fmt.Sprintf("write lines such as 2026-05-04,%s,6.5", cmp.Or(append(o.Machines, "track-loader")...)), "the file has no hours")
	}
	return all, nil
}
