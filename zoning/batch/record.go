package batch

import (
	"bytes"
	"encoding/json"
	"math"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
)

// record is what is kept of a lot, but for its features, which are the body of its
// frame as [zoning.WriteFeatures] writes them.
type record struct {
	Lot   string   `json:"lot"`
	Notes []string `json:"notes,omitempty"` // on its boundary
	Fault *Fault   `json:"fault,omitempty"` // why it was not mapped

	Acres     float64   `json:"acres,omitempty"`
	EdgeAcres float64   `json:"edge_acres,omitempty"`
	Zones     []zoneSum `json:"zones,omitempty"`

	Sources     []terrain.Source `json:"sources,omitempty"`
	SourceAcres []float64        `json:"source_acres,omitempty"`
	Scale       string           `json:"scale,omitempty"`
	Surveyed    string           `json:"surveyed,omitempty"`
	Boundary    string           `json:"boundary,omitempty"`
	SigmaM      nullable         `json:"sigma_m"`
	SigmaFrom   string           `json:"sigma_from,omitempty"`
	SigmaGuess  bool             `json:"sigma_guess,omitempty"`
	Cautious    bool             `json:"cautious,omitempty"`
	Assumed     []string         `json:"assumed,omitempty"`
	Warnings    []string         `json:"warnings,omitempty"`
}

// zoneSum is the acres of a zone, by which lots are summed.
type zoneSum struct {
	Band      int      `json:"band"`
	Acres     float64  `json:"acres"`
	Procedure float64  `json:"procedure,omitempty"`
	Tether    float64  `json:"tether,omitempty"`
	Sure      nullable `json:"sure"`
}

// nullable is a number that may be NaN, which JSON has not.
type nullable float64

func (n nullable) MarshalJSON() ([]byte, error) {
	if math.IsNaN(float64(n)) {
		return []byte("null"), nil
	}
	return json.Marshal(float64(n))
}

func (n *nullable) UnmarshalJSON(text []byte) error {
	if string(text) == "null" {
		*n = nullable(math.NaN())
		return nil
	}
	return json.Unmarshal(text, (*float64)(n))
}

// mapped makes the record of a lot from its map.
func mapped(m *zoning.ZoneMap) (frame, error) {
	lot := m.Lots[0]
	r := record{
		Lot: lot.Lot, Notes: lot.Notes, Acres: lot.Acres, EdgeAcres: lot.EdgeAcres,
		Sources: m.Sources, SourceAcres: m.SourceAcres, Scale: m.Scale, Surveyed: m.Surveyed, Boundary: m.Boundary,
		SigmaM: nullable(m.Error.SigmaM), SigmaFrom: m.Error.From, SigmaGuess: m.Error.Assumed, Cautious: m.Error.Cautious,
		Assumed: m.Assumed, Warnings: m.Warnings,
	}
	for _, z := range lot.Zones {
		r.Zones = append(r.Zones, zoneSum{z.Band, z.Acres, z.ProcedureAcres, z.TetherAcres, nullable(z.SureAcres)})
	}
	var features bytes.Buffer
	if err := zoning.WriteFeatures(&features, m); err != nil {
		return frame{}, err
	}
	return headed(kindMapped, lot.Place, r, features.Bytes())
}

// failed makes the record of a lot that has no map.
func failed(place int, lot string, notes []string, f *Fault) (frame, error) {
	return headed(kindFailed, place, record{Lot: lot, Notes: notes, Fault: f}, nil)
}

// zoneMap is the map of the lot without its ground, as [zoning.Collection] takes it.
func (r *record) zoneMap(fleet []zoning.Machine) *zoning.ZoneMap {
	lot := zoning.LotMap{Lot: r.Lot, Acres: r.Acres, EdgeAcres: r.EdgeAcres, Notes: r.Notes}
	for _, z := range r.Zones {
		lot.Zones = append(lot.Zones, zoning.Zone{
			Band: z.Band, Acres: z.Acres, ProcedureAcres: z.Procedure, TetherAcres: z.Tether, SureAcres: float64(z.Sure),
		})
	}
	return &zoning.ZoneMap{
		Fleet: fleet, Lots: []zoning.LotMap{lot},
		Sources: r.Sources, SourceAcres: r.SourceAcres, Scale: r.Scale, Surveyed: r.Surveyed, Boundary: r.Boundary,
		Error:   zoning.ElevationError{SigmaM: float64(r.SigmaM), From: r.SigmaFrom, Assumed: r.SigmaGuess, Cautious: r.Cautious},
		Assumed: r.Assumed, Warnings: r.Warnings,
	}
}
