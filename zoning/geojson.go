package zoning

import (
	"bufio"
	"encoding/json"
	"io"
	"math"

	"github.com/paulmach/orb"
)

// WriteGeoJSON writes a zone map as an RFC 7946 FeatureCollection: a feature
// for each band of each lot, and a summary member. Coordinates have 9 decimals,
// so that the acres written beside an outline are what it measures.
func WriteGeoJSON(w io.Writer, m *ZoneMap) error {
	return writeCollection(w, summarise(m), func(out *bufio.Writer) error {
		if err := writeFeatures(out, m, "\n"); err != nil {
			return err
		}
		return writeHazards(out, m, ",\n") // a map has a zone
	})
}

// WriteFeatures writes the features of a zone map's zones alone, as they stand in
// [WriteGeoJSON]: one a line, with commas between.
func WriteFeatures(w io.Writer, m *ZoneMap) error {
	out := bufio.NewWriterSize(w, 1<<16)
	if err := writeFeatures(out, m, ""); err != nil {
		return err
	}
	return out.Flush()
}

// writeCollection writes a FeatureCollection around features, which begin with a
// new line where there are any.
func writeCollection(w io.Writer, s summary, features func(*bufio.Writer) error) error {
	out := bufio.NewWriterSize(w, 1<<16)
	text, err := json.MarshalIndent(s, "  ", "  ")
	if err != nil {
		return err
	}
	out.WriteString("{\n  \"type\": \"FeatureCollection\",\n  \"summary\": ")
	out.Write(text)
	out.WriteString(",\n  \"features\": [")
	if err := features(out); err != nil {
		return err
	}
	out.WriteString("\n  ]\n}\n")
	return out.Flush()
}

func writeFeatures(out *bufio.Writer, m *ZoneMap, before string) error {
	bands := Bands(m.Fleet)
	g := geometryWriter{out: out}
	for _, lot := range m.Lots {
		for _, z := range lot.Zones {
			p, err := json.Marshal(propertiesOf(m, lot, z, bands[z.Band]))
			if err != nil {
				return err
			}
			out.WriteString(before)
			out.WriteString(`    {"type": "Feature", "properties": `)
			out.Write(p)
			out.WriteString(`, "geometry": `)
			g.write(z.Ground)
			out.WriteString("}")
			before = ",\n"
		}
	}
	return nil
}

// writeHazards writes hazards as features after those of zones.
func writeHazards(out *bufio.Writer, m *ZoneMap, before string) error {
	g := geometryWriter{out: out}
	for _, h := range m.Hazards {
		if err := g.hazard(before, h); err != nil {
			return err
		}
		before = ",\n"
	}
	return nil
}

type hazardProperties struct {
	Hazard  HazardKind `json:"hazard"`
	Words   string     `json:"words"`
	Machine string     `json:"machine,omitempty"`
	Caution string     `json:"caution"`
}

// hazard writes a hazard as a feature of its own.
func (g *geometryWriter) hazard(comma string, h Hazard) error {
	p, err := json.Marshal(hazardProperties{h.Kind, h.Words, h.Machine, h.Kind.Caution()})
	if err != nil {
		return err
	}
	g.out.WriteString(comma)
	g.out.WriteString(`    {"type": "Feature", "properties": `)
	g.out.Write(p)
	g.out.WriteString(`, "geometry": `)
	g.shape(h.Geometry)
	g.out.WriteString("}")
	return nil
}

// number is a JSON number with at most 9 decimals; null where it is NaN.
type number float64

func (n number) MarshalJSON() ([]byte, error) {
	v := float64(n)
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return []byte("null"), nil
	}
	return json.Marshal(math.Round(v*1e9) / 1e9)
}

type zoneProperties struct {
	Lot          string  `json:"lot"`
	Place        int     `json:"place,omitempty"`
	Band         string  `json:"band"`
	Machine      *string `json:"machine"`
	Acres        number  `json:"acres"`
	SurfaceAcres number  `json:"surface_acres"`
	SlopeMeanPct number  `json:"slope_mean_pct"`
	SlopeMaxPct  number  `json:"slope_max_pct"`

	SureAcres   *number `json:"sure_acres,omitempty"`
	VerifyAcres *number `json:"verify_acres,omitempty"`

	LimitPct          *number `json:"limit_pct,omitempty"`
	ProcedureAbovePct *number `json:"procedure_above_pct,omitempty"`
	ProcedureAcres    *number `json:"procedure_acres,omitempty"`
	TetherAbovePct    *number `json:"tether_above_pct,omitempty"`
	TetherAcres       *number `json:"tether_acres,omitempty"`

	Crossings  *int                         `json:"water_crossings,omitempty"`
	Directions []direction                  `json:"working_directions,omitempty"`
	LostAcres  map[string]map[string]number `json:"lost_acres,omitempty"`
}

// direction is which way a patch of a zone is worked.
type direction struct {
	Acres      number    `json:"acres"`
	AzimuthDeg number    `json:"azimuth_deg"`
	At         [2]number `json:"at"`
}

func propertiesOf(m *ZoneMap, lot LotMap, z Zone, b Band) zoneProperties {
	p := zoneProperties{
		Lot: lot.Lot, Place: lot.Place, Band: b.Key, Acres: number(z.Acres), SurfaceAcres: number(z.SurfaceAcres),
		SlopeMeanPct: number(z.SlopeMeanPct), SlopeMaxPct: number(z.SlopeMaxPct),
	}
	p.LostAcres = lostAcres(m.Fleet, z)
	if b.Machine < 0 {
		return p
	}
	if z.Crossings >= 0 {
		p.Crossings = &z.Crossings
	}
	for _, patch := range z.Patches {
		p.Directions = append(p.Directions, direction{number(patch.Acres), number(math.Round(patch.AzimuthDeg*10) / 10), degrees(patch.At)})
	}
	at := func(v float64) *number { n := number(v); return &n }
	machine := m.Fleet[b.Machine]
	p.Machine, p.LimitPct = &machine.Name, at(machine.SteepestPct())
	if !math.IsNaN(z.SureAcres) {
		p.SureAcres, p.VerifyAcres = at(z.SureAcres), at(z.Acres-z.SureAcres)
	}
	if machine.ProcedureAbovePct > 0 {
		p.ProcedureAbovePct, p.ProcedureAcres = at(machine.ProcedureAbovePct), at(z.ProcedureAcres)
	}
	if machine.TetherAbovePct > 0 {
		p.TetherAbovePct, p.TetherAcres = at(machine.TetherAbovePct), at(z.TetherAcres)
	}
	return p
}

func degrees(p orb.Point) [2]number { return [2]number{number(p[0]), number(p[1])} }

// lostAcres lists by machine and reason the acres of a zone that it does not work.
func lostAcres(fleet []Machine, z Zone) map[string]map[string]number {
	if z.LostAcres == nil {
		return nil
	}
	out := map[string]map[string]number{}
	for k, reasons := range z.LostAcres {
		for why, acres := range reasons {
			if acres < leastLostAcres {
				continue
			}
			if out[fleet[k].Key] == nil {
				out[fleet[k].Key] = map[string]number{}
			}
			out[fleet[k].Key][Reason(why).Key()] = number(acres)
		}
	}
	return out
}

// leastLostAcres is less than any cell: what rounding leaves is not told.
const leastLostAcres = 1e-9
