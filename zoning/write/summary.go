package write

import (
	"bytes"
	"encoding/json"
	"math"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
)

type summary struct {
	ParcelAcres    number                       `json:"parcel_acres"`
	Schema         int                          `json:"schema"`
	Units          measure.Units                `json:"units,omitempty"` // none are US
	Ground         zoning.Moisture              `json:"ground,omitempty"`
	View           string                       `json:"view"`
	Acres          map[string]number            `json:"acres"`
	AcresByLimits  map[string]number            `json:"acres_by_limits,omitempty"`
	AcresDry       map[string]number            `json:"acres_dry,omitempty"`
	AcresWet       map[string]number            `json:"acres_wet,omitempty"`
	LostAcres      map[string]map[string]number `json:"lost_acres,omitempty"`
	Access         *access                      `json:"access,omitempty"`
	ProcedureAcres map[string]number            `json:"procedure_acres,omitempty"`
	TetherAcres    map[string]number            `json:"tether_acres,omitempty"`
	SureAcres      map[string]number            `json:"sure_acres,omitempty"`
	VerifyAcres    map[string]number            `json:"verify_acres,omitempty"`
	SightAcres     map[string]number            `json:"sight_acres,omitempty"`
	Boundary       string                       `json:"boundary,omitempty"`
	EdgeAcres      *number                      `json:"line_not_flagged_acres,omitempty"`
	Lots           int                          `json:"lots"`
	DTM            []elevation                  `json:"dtm"`
	ElevationError *elevationError              `json:"elevation_error,omitempty"`
	Surveyed       string                       `json:"surveyed,omitempty"`
	Growth         *growth                      `json:"growth,omitempty"`
	SlopeScale     string                       `json:"slope_scale"`
	Machines       []machine                    `json:"machines"`
	Plan           json.Marshaler               `json:"plan,omitempty"`
	Notes          []string                     `json:"notes,omitempty"`
	Assumed        []string                     `json:"assumed"`
	Warnings       []string                     `json:"warnings"`
	Cautions       []string                     `json:"cautions"`
}

type access struct {
	Checked bool        `json:"checked"`
	Staging [][2]number `json:"staging"`
	Pockets []pocket    `json:"pockets"`
	// Unloads are, by machine, the numbers of the staging that it is unloaded at, from 1.
	Unloads  map[string][]int `json:"unloads,omitempty"`
	Proposed []unloadPoint    `json:"proposed,omitempty"`
}

// unloadPoint is a place where a trailer may unload, with the acres that it opens.
type unloadPoint struct {
	At     [2]number `json:"at"`
	Acres  number    `json:"acres"`
	WayM   number    `json:"way_m"`
	SavedM number    `json:"saved_m"`
	RoadM  *number   `json:"road_m,omitempty"`
}

// pocket is ground cut off from the largest piece of what a machine works.
type pocket struct {
	Machine string    `json:"machine"`
	Acres   number    `json:"acres"`
	At      [2]number `json:"at"`
}

type elevation struct {
	Source           string    `json:"source"`
	CRS              string    `json:"crs"`
	CRSFrom          string    `json:"crs_from"`
	CellM            [2]number `json:"cell_m"`
	VerticalUnit     string    `json:"vertical_unit"`
	VerticalUnitFrom string    `json:"vertical_unit_from"`
	Assumed          bool      `json:"vertical_unit_assumed"`
	Service          string    `json:"service,omitempty"` // key of the one that found it
	Project          string    `json:"project,omitempty"`
	Surveyed         string    `json:"surveyed,omitempty"` // of what was found
	Published        string    `json:"published,omitempty"`
	Fetched          string    `json:"fetched,omitempty"`
	Acres            *number   `json:"acres,omitempty"`
}

type elevationError struct {
	RMSEM     number `json:"vertical_rmse_m"`
	From      string `json:"from"`
	Assumed   bool   `json:"assumed"`
	Certainty number `json:"certainty"`
	Cautious  bool   `json:"cautious"`
	Measured  bool   `json:"measured"`
	Unseen    string `json:"unseen,omitempty"`
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

func summarise(m *zoning.ZoneMap) summary {
	s := summary{
		Schema: zoning.Schema, Units: m.Units,
		Acres: map[string]number{}, ProcedureAcres: map[string]number{}, TetherAcres: map[string]number{},
		SureAcres: map[string]number{}, VerifyAcres: map[string]number{}, SightAcres: map[string]number{},
		View: m.View.Words(),
		Plan: m.Plan, Lots: len(m.Lots), Surveyed: m.Surveyed, SlopeScale: m.Scale, Growth: summariseGrowth(m.Units, m.Growth), Assumed: orEmpty(m.Assumed), Warnings: orEmpty(m.Warnings), Cautions: orEmpty(m.Cautions),
		DTM: []elevation{}, Machines: []machine{},
	}
	if m.Boundary != "" {
		s.Boundary, s.EdgeAcres = m.Boundary, new(number)
	}
	bands := m.Fleet.Bands()
	for i, b := range bands {
		if m.View.Has(m.Fleet, i) {
			s.Acres[b.Key] = 0
		}
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
				s.SightAcres[b.Key] += number(z.SightAcres)
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
		s.ElevationError = &elevationError{number(e.SigmaM), e.From, e.Assumed, slope.Certainty, e.Cautious, e.Measured, e.Unseen}
	}
	for i, e := range m.Sources {
		one := elevationOf(e)
		if m.SourceAcres != nil {
			acres := number(m.SourceAcres[i])
			one.Acres = &acres
		}
		s.DTM = append(s.DTM, one)
	}
	for _, k := range m.Fleet {
		s.Machines = append(s.Machines, machine{
			k.Key, k.Name, number(k.SteepestPct()), number(k.ProcedureAbovePct), number(k.TetherAbovePct), k.Basis, k.Caution,
		})
	}
	s.workable(m, bands)
	return s
}

// text is the summary as it stands in a file, in the map's units.
func (s summary) text() ([]byte, error) {
	if s.Units == measure.US {
		return json.MarshalIndent(s, "  ", "  ")
	}
	text, err := json.Marshal(s)
	if err != nil {
		return nil, err
	}
	if text, err = s.Units.JSON(text); err != nil {
		return nil, err
	}
	var out bytes.Buffer
	err = json.Indent(&out, text, "  ", "  ")
	return out.Bytes(), err
}

func elevationOf(e terrain.Source) elevation {
	out := elevation{
		Source: e.Path, CRS: e.CRS, CRSFrom: e.CRSFrom, CellM: [2]number{number(e.CellM[0]), number(e.CellM[1])},
		VerticalUnit: e.Unit, VerticalUnitFrom: e.UnitFrom, Assumed: e.UnitFrom == "assumed",
		Service: e.Found.Service, Project: e.Found.Project, Published: e.Found.Published, Fetched: e.Found.Fetched,
	}
	if e.Found.Service != "" {
		out.Surveyed = e.Surveyed
	}
	return out
}

// workable adds what is known of a map for which more than slope was asked.
func (s *summary) workable(m *zoning.ZoneMap, bands []zoning.Band) {
	s.Ground = m.Ground
	if m.Otherwise == nil {
		return
	}
	here, otherwise := s.Acres, byLimits(m, m.Otherwise)
	if m.View == zoning.AsPlanned {
		here = byLimits(m, m.ByLimits().BandAcres(len(bands)))
		s.AcresByLimits = here
	}
	s.AcresDry, s.AcresWet = here, otherwise
	if m.Ground == zoning.Wet {
		s.AcresDry, s.AcresWet = otherwise, here
	}
	s.Access = &access{Checked: m.Access.Checked, Staging: [][2]number{}, Pockets: []pocket{}}
	for _, p := range m.Access.Staging {
		s.Access.Staging = append(s.Access.Staging, degrees(p))
	}
	for _, p := range m.Access.Pockets {
		s.Access.Pockets = append(s.Access.Pockets, pocket{m.Fleet[p.Machine].Key, number(p.Acres), degrees(p.At)})
	}
	for k, at := range m.Access.Unloads {
		if len(at) == 0 {
			continue
		}
		if s.Access.Unloads == nil {
			s.Access.Unloads = map[string][]int{}
		}
		for _, n := range at {
			s.Access.Unloads[m.Fleet[k].Key] = append(s.Access.Unloads[m.Fleet[k].Key], n+1)
		}
	}
	for _, p := range m.Access.Proposed {
		u := unloadPoint{degrees(p.At), number(p.Acres), number(p.WayM), number(p.SavedM), nil}
		if p.RoadM != nil {
			road := number(*p.RoadM)
			u.RoadM = &road
		}
		s.Access.Proposed = append(s.Access.Proposed, u)
	}
	s.LostAcres = map[string]map[string]number{}
	for k, reasons := range m.LostAcres() {
		s.LostAcres[m.Fleet[k].Key] = map[string]number{}
		for why, acres := range reasons {
			if acres >= leastLostAcres {
				s.LostAcres[m.Fleet[k].Key][m.Reason(zoning.Why(why)).Key] = number(acres)
			}
		}
	}
}

// byLimits are acres by band of a map by limits under the keys of the bands.
func byLimits(m *zoning.ZoneMap, acres []float64) map[string]number {
	out := map[string]number{}
	for b, band := range m.Fleet.Bands() {
		if b < len(acres) && zoning.ByLimits.Has(m.Fleet, b) {
			out[band.Key] = number(acres[b])
		}
	}
	return out
}

func orEmpty(s []string) []string {
	if s == nil {
		return []string{}
	}
	return s
}
