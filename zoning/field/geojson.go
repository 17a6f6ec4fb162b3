package field

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/field/fieldfile"
)

type spotJSON struct {
	ID          string      `json:"id"`
	Slope       any         `json:"slope"` // the reading, to be filled in
	Note        any         `json:"note"`
	Lot         string      `json:"lot"`
	Band        string      `json:"zone"`
	MappedPct   float64     `json:"mapped_pct"`
	LimitPct    *float64    `json:"limit_pct"`
	OnFoot      bool        `json:"on_foot"`
	SightFrom   string      `json:"sight_from,omitempty"`
	SpotLonLat  *[2]float64 `json:"spot_lon_lat,omitempty"`
	DistanceM   float64     `json:"distance_m,omitempty"`
	BearingDeg  *float64    `json:"bearing_deg,omitempty"`
	DownhillDeg *float64    `json:"downhill_deg"`
	Picked      []string    `json:"picked"`
	Why         string      `json:"why"`
	Do          string      `json:"do"`
	Machines    []Held      `json:"machines"`
}

type pointJSON struct {
	Type        string     `json:"type"`
	Coordinates [2]float64 `json:"coordinates"`
}

type featureJSON struct {
	Type       string    `json:"type"`
	ID         string    `json:"id"`
	Properties spotJSON  `json:"properties"`
	Geometry   pointJSON `json:"geometry"`
}

type headJSON struct {
	Schema   int             `json:"schema"`
	View     string          `json:"view"`
	Bands    []string        `json:"zones"`
	Ground   zoning.Moisture `json:"ground"`
	LengthM  float64         `json:"length_m"`
	Units    measure.Units   `json:"units,omitempty"` // that its words are in; none are US
	Cautions []string        `json:"cautions"`
}

// WriteGeoJSON writes the spots as an RFC 7946 FeatureCollection. A feature's point
// is where to stand; the spot that is sighted from there is in spot_lon_lat. The
// collection's member checks has what [ReadChecks] needs beside.
func (c *Checks) WriteGeoJSON(w io.Writer) error {
	ground := c.On
	if ground == "" {
		ground = zoning.Dry
	}
	head, err := json.Marshal(headJSON{zoning.Schema, c.View.Words(), append([]string{}, c.Bands...), ground, c.LengthM, c.Units, c.Cautions()})
	if err != nil {
		return err
	}
	out := bufio.NewWriter(w)
	fmt.Fprintf(out, "{\n  \"type\": \"FeatureCollection\",\n  \"checks\": %s,\n  \"features\": [", head)
	for i, s := range c.Spots {
		feature, err := json.Marshal(featureJSON{"Feature", s.ID, c.propertiesOf(s), pointJSON{"Point", lonLat(s.Stand())}})
		if err != nil {
			return err
		}
		comma := ","
		if i == 0 {
			comma = ""
		}
		fmt.Fprintf(out, "%s\n    %s", comma, feature)
	}
	out.WriteString("\n  ]\n}\n")
	return out.Flush()
}

func lonLat(p orb.Point) [2]float64 { return [2]float64{written(p[0]), written(p[1])} }

func (c *Checks) propertiesOf(s Spot) spotJSON {
	v := spotJSON{
		ID: s.ID, Lot: s.Lot, Band: s.Band, MappedPct: round3(s.MappedPct), OnFoot: s.Sight == nil,
		Why: s.why(), Do: c.Do(s), Machines: s.Machines, Picked: []string{},
	}
	if v.Machines == nil {
		v.Machines = []Held{}
	}
	for _, r := range s.Why {
		v.Picked = append(v.Picked, r.Kind)
	}
	if s.LimitPct > 0 {
		v.LimitPct = &s.LimitPct
	}
	if !math.IsNaN(s.DownhillDeg) {
		deg := round3(s.DownhillDeg)
		v.DownhillDeg = &deg
	}
	if s.Sight != nil {
		at, deg := lonLat(s.At), round3(s.Sight.BearingDeg)
		v.SightFrom, v.SpotLonLat, v.DistanceM, v.BearingDeg = s.Sight.From, &at, round3(s.Sight.DistanceM), &deg
	}
	return v
}

func round3(v float64) float64 { return math.Round(v*1000) / 1000 }

const schemaCure = "pick the spots again with acreband checks"

const spotsCure = "give the checks.geojson that acreband checks wrote"

// ReadChecks reads back what WriteGeoJSON wrote: all that [Match] and [Judge] need
// of a map. Reasons come back without their words.
func ReadChecks(file string, data []byte) (*Checks, error) {
	features, members, err := fieldfile.ReadGeoJSON(file, data)
	if err != nil {
		return nil, err
	}
	var head headJSON
	if err := json.Unmarshal(members["checks"], &head); err != nil || !slices.Contains(head.Bands, zoning.NoMachineKey) {
		return nil, fieldfile.Refuse(file, 1, spotsCure, "the file has no member checks with the zones of the map")
	}
	if head.Schema != zoning.Schema {
		return nil, fieldfile.Refuse(file, 1, schemaCure, "the file is of schema %d, and this program reads schema %d", head.Schema, zoning.Schema)
	}
	if err := head.Units.Check(); err != nil {
		return nil, fieldfile.Refuse(file, 1, spotsCure, "the file is told in %v", err)
	}
	c := &Checks{Bands: head.Bands, On: head.Ground, LengthM: head.LengthM, Units: head.Units}
	if head.View == zoning.AsPlanned.Words() {
		c.View = zoning.AsPlanned
	}
	known := map[string]bool{}
	for _, b := range head.Bands {
		known[b] = true
	}
	for _, f := range features {
		s, err := readSpot(file, f)
		if err != nil {
			return nil, err
		}
		bad := !known[s.Band]
		for _, m := range s.Machines {
			bad = bad || !known[m.Key]
		}
		if bad {
			return nil, fieldfile.Refuse(file, f.Line, spotsCure, "spot %s is of zone %q, which the file does not list", s.ID, s.Band)
		}
		id := "spot " + strings.ToLower(s.ID)
		if known[id] {
			return nil, fieldfile.Refuse(file, f.Line, spotsCure, "spot %s is there twice", s.ID)
		}
		known[id] = true
		c.Spots = append(c.Spots, s)
	}
	return c, nil
}

func readSpot(file string, f fieldfile.Feature) (Spot, error) {
	text, err := json.Marshal(f.Properties)
	v := spotJSON{MappedPct: math.NaN()}
	if err == nil {
		err = json.Unmarshal(text, &v)
	}
	at, isPoint := f.Geometry.(orb.Point)
	if err != nil || !isPoint || v.ID == "" || !(v.MappedPct >= 0) {
		return Spot{}, fieldfile.Refuse(file, f.Line, spotsCure, "this is no spot to measure: id, mapped_pct or its point is missing or damaged")
	}
	s := Spot{ID: v.ID, Lot: v.Lot, Band: v.Band, At: at, MappedPct: v.MappedPct, Machines: v.Machines, DownhillDeg: math.NaN()}
	if v.LimitPct != nil {
		s.LimitPct = *v.LimitPct
	}
	if v.DownhillDeg != nil {
		s.DownhillDeg = *v.DownhillDeg
	}
	for _, kind := range v.Picked {
		s.Why = append(s.Why, Reason{Kind: kind})
	}
	if !v.OnFoot && v.SpotLonLat != nil {
		s.Sight = &Sight{At: at, From: v.SightFrom, DistanceM: v.DistanceM}
		if v.BearingDeg != nil {
			s.Sight.BearingDeg = *v.BearingDeg
		}
		s.At = *v.SpotLonLat
	}
	return s, nil
}
