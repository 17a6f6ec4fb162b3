package zoning

import (
	"bufio"
	"encoding/json"
	"io"
	"math"
	"strconv"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
)

// WriteGeoJSON writes a zone map as an RFC 7946 FeatureCollection: a feature
// for each band of each lot, and a summary member. Coordinates have 9 decimals,
// so that the acres written beside an outline are what it measures.
func WriteGeoJSON(w io.Writer, m *ZoneMap) error {
	out := bufio.NewWriterSize(w, 1<<16)
	bands := Bands(m.Fleet)
	summary, err := json.MarshalIndent(summarise(m), "  ", "  ")
	if err != nil {
		return err
	}
	out.WriteString("{\n  \"type\": \"FeatureCollection\",\n  \"summary\": ")
	out.Write(summary)
	out.WriteString(",\n  \"features\": [")
	g := geometryWriter{out: out}
	comma := "\n"
	for _, lot := range m.Lots {
		for _, z := range lot.Zones {
			p, err := json.Marshal(propertiesOf(m, lot, z, bands[z.Band]))
			if err != nil {
				return err
			}
			out.WriteString(comma)
			out.WriteString(`    {"type": "Feature", "properties": `)
			out.Write(p)
			out.WriteString(`, "geometry": `)
			g.write(z.Ground)
			out.WriteString("}")
			comma = ",\n"
		}
	}
	out.WriteString("\n  ]\n}\n")
	return out.Flush()
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
}

func propertiesOf(m *ZoneMap, lot LotMap, z Zone, b Band) zoneProperties {
	p := zoneProperties{
		Lot: lot.Lot, Place: lot.Place, Band: b.Key, Acres: number(z.Acres), SurfaceAcres: number(z.SurfaceAcres),
		SlopeMeanPct: number(z.SlopeMeanPct), SlopeMaxPct: number(z.SlopeMaxPct),
	}
	if b.Machine < 0 {
		return p
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

type summary struct {
	ParcelAcres    number            `json:"parcel_acres"`
	Acres          map[string]number `json:"acres"`
	ProcedureAcres map[string]number `json:"procedure_acres,omitempty"`
	TetherAcres    map[string]number `json:"tether_acres,omitempty"`
	SureAcres      map[string]number `json:"sure_acres,omitempty"`
	VerifyAcres    map[string]number `json:"verify_acres,omitempty"`
	Boundary       string            `json:"boundary,omitempty"`
	EdgeAcres      *number           `json:"line_not_flagged_acres,omitempty"`
	Lots           int               `json:"lots"`
	Elevation      []elevation       `json:"elevation"`
	ElevationError *elevationError   `json:"elevation_error,omitempty"`
	Surveyed       string            `json:"surveyed,omitempty"`
	SlopeScale     string            `json:"slope_scale"`
	Growth         *growth           `json:"growth,omitempty"`
	Machines       []machine         `json:"machines"`
	Notes          []string          `json:"notes,omitempty"`
	Assumed        []string          `json:"assumed"`
	Warnings       []string          `json:"warnings"`
	Cautions       []string          `json:"cautions"`
}

type elevation struct {
	Source           string    `json:"source"`
	CRS              string    `json:"crs"`
	CRSFrom          string    `json:"crs_from"`
	CellM            [2]number `json:"cell_m"`
	VerticalUnit     string    `json:"vertical_unit"`
	VerticalUnitFrom string    `json:"vertical_unit_from"`
	Assumed          bool      `json:"vertical_unit_assumed"`
	Acres            *number   `json:"acres,omitempty"`
}

type elevationError struct {
	SigmaM    number `json:"sigma_m"`
	From      string `json:"from"`
	Assumed   bool   `json:"assumed"`
	Certainty number `json:"certainty"`
	Cautious  bool   `json:"cautious"`
}

type machine struct {
	Key               string `json:"key"`
	Name              string `json:"name"`
	LimitPct          number `json:"limit_pct"`
	ProcedureAbovePct number `json:"procedure_above_pct,omitempty"`
	TetherAbovePct    number `json:"tether_above_pct,omitempty"`
	Basis             string `json:"basis"`
	Caution           string `json:"caution,omitempty"`
}

func summarise(m *ZoneMap) summary {
	s := summary{
		Acres: map[string]number{}, ProcedureAcres: map[string]number{}, TetherAcres: map[string]number{},
		SureAcres: map[string]number{}, VerifyAcres: map[string]number{},
		Lots: len(m.Lots), Surveyed: m.Surveyed, SlopeScale: m.Scale, Growth: summariseGrowth(m.Growth), Assumed: orEmpty(m.Assumed), Warnings: orEmpty(m.Warnings), Cautions: m.Cautions,
	}
	if m.Boundary != "" {
		s.Boundary, s.EdgeAcres = m.Boundary, new(number)
	}
	bands := Bands(m.Fleet)
	for _, b := range bands {
		s.Acres[b.Key] = 0
	}
	for _, lot := range m.Lots {
		s.ParcelAcres += number(lot.Acres)
		if s.EdgeAcres != nil {
			*s.EdgeAcres += number(lot.EdgeAcres)
		}
		for _, n := range lot.Notes {
			s.Notes = append(s.Notes, "lot "+lot.Lot+": "+n)
		}
		for _, z := range lot.Zones {
			b := bands[z.Band]
			s.Acres[b.Key] += number(z.Acres)
			if !math.IsNaN(z.SureAcres) {
				s.SureAcres[b.Key] += number(z.SureAcres)
				s.VerifyAcres[b.Key] += number(z.Acres - z.SureAcres)
			}
			if b.Machine >= 0 && m.Fleet[b.Machine].ProcedureAbovePct > 0 {
				s.ProcedureAcres[b.Key] += number(z.ProcedureAcres)
			}
			if b.Machine >= 0 && m.Fleet[b.Machine].TetherAbovePct > 0 {
				s.TetherAcres[b.Key] += number(z.TetherAcres)
			}
		}
	}
	if e := m.Error; e.SigmaM > 0 {
		s.ElevationError = &elevationError{number(e.SigmaM), e.From, e.Assumed, slope.Certainty, e.Cautious}
	}
	for i, e := range m.Sources {
		one := elevationOf(e)
		if m.SourceAcres != nil {
			acres := number(m.SourceAcres[i])
			one.Acres = &acres
		}
		s.Elevation = append(s.Elevation, one)
	}
	for _, k := range m.Fleet {
		s.Machines = append(s.Machines, machine{
			k.Key, k.Name, number(k.SteepestPct()), number(k.ProcedureAbovePct), number(k.TetherAbovePct), k.Basis, k.Caution,
		})
	}
	return s
}

func elevationOf(e terrain.Source) elevation {
	return elevation{
		Source: e.Path, CRS: e.CRS, CRSFrom: e.CRSFrom, CellM: [2]number{number(e.CellM[0]), number(e.CellM[1])},
		VerticalUnit: e.Unit, VerticalUnitFrom: e.UnitFrom, Assumed: e.UnitFrom == "assumed",
	}
}

func orEmpty(s []string) []string {
	if s == nil {
		return []string{}
	}
	return s
}

// geometryWriter writes polygons without a detour through other types: outlines
// of rough ground have a hundred thousand vertices.
type geometryWriter struct {
	out *bufio.Writer
	buf []byte
}

func (g *geometryWriter) write(mp orb.MultiPolygon) {
	if len(mp) == 1 {
		g.out.WriteString(`{"type": "Polygon", "coordinates": `)
		g.polygon(mp[0])
		g.out.WriteString("}")
		return
	}
	g.out.WriteString(`{"type": "MultiPolygon", "coordinates": [`)
	for i, poly := range mp {
		if i > 0 {
			g.out.WriteString(", ")
		}
		g.polygon(poly)
	}
	g.out.WriteString("]}")
}

func (g *geometryWriter) polygon(poly orb.Polygon) {
	open := "[["
	for _, ring := range poly {
		b := append(g.buf[:0], open...)
		for k, p := range ring {
			if k > 0 {
				b = append(b, ", "...)
			}
			b = append(b, '[')
			b = appendDegrees(b, p[0])
			b = append(b, ", "...)
			b = appendDegrees(b, p[1])
			b = append(b, ']')
			if len(b) > 1<<16 {
				g.out.Write(b)
				b = b[:0]
			}
		}
		g.buf = append(b, ']')
		g.out.Write(g.buf)
		open = ", ["
	}
	g.out.WriteString("]")
}

// appendDegrees writes degrees with up to 9 decimals, trailing zeros left out.
func appendDegrees(b []byte, deg float64) []byte {
	v := int64(math.Round(deg * unitsPerDegree))
	if v < 0 {
		b, v = append(b, '-'), -v
	}
	b = strconv.AppendInt(b, v/unitsPerDegree, 10)
	frac := v % unitsPerDegree
	if frac == 0 {
		return b
	}
	b = append(b, '.')
	digits := 9
	for frac%10 == 0 {
		frac /= 10
		digits--
	}
	for p := int64(math.Pow10(digits - 1)); p > frac; p /= 10 {
		b = append(b, '0')
	}
	return strconv.AppendInt(b, frac, 10)
}
