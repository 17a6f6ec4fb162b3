package lots

import (
	"bufio"
	"bytes"
	"encoding/json"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/paulmach/orb/simplify"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/write"
)

// record is what is kept of a lot, in acres whatever it is told in, but for its features, which are the
// body of its frame and in the units of the journal, as words are: zones as [write.Features] writes them, then hazards as
// [write.HazardFeatures] does, then the lot's outline as coarse as an overview needs it.
type record struct {
	ZoneBytes   int `json:"zone_bytes,omitempty"` // of the body
	HazardBytes int `json:"hazard_bytes,omitempty"`
	Hazards     int `json:"hazards,omitempty"`

	Lot   string   `json:"lot"`
	Notes []string `json:"notes,omitempty"` // on its boundary
	Fault *Fault   `json:"fault,omitempty"` // why it was not mapped

	Repair     zoning.Repair `json:"repair,omitzero"`
	SameGround int           `json:"same_ground,omitempty"` // place of the first lot with its ground

	At        orb.Point `json:"at"` // the middle of its ground
	Acres     float64   `json:"acres,omitempty"`
	EdgeAcres float64   `json:"edge_acres,omitempty"`
	Zones     []zoneSum `json:"zones,omitempty"`

	Sources     []terrain.Source `json:"sources,omitempty"`
	SourceAcres []float64        `json:"source_acres,omitempty"`
	Scale       string           `json:"scale,omitempty"`
	Surveyed    string           `json:"surveyed,omitempty"`
	Boundary    string           `json:"boundary,omitempty"`
	Ground      zoning.Moisture  `json:"ground,omitempty"`
	Otherwise   []float64        `json:"otherwise,omitempty"` // acres by band
	Access      zoning.Access    `json:"access,omitzero"`
	Stamps      []string         `json:"stamps,omitempty"` // cautions beside those of every map
	Growth      *zoning.Growth   `json:"growth,omitempty"`
	SigmaM      nullable         `json:"sigma_m"`
	SigmaFrom   string           `json:"sigma_from,omitempty"`
	SigmaGuess  bool             `json:"sigma_guess,omitempty"`
	Cautious    bool             `json:"cautious,omitempty"`
	Measured    bool             `json:"measured,omitempty"`
	Unseen      string           `json:"unseen,omitempty"`
	Assumed     []string         `json:"assumed,omitempty"`
	Warnings    []string         `json:"warnings,omitempty"`
}

// zoneSum is the acres of a zone, by which lots are summed.
type zoneSum struct {
	Band      int      `json:"band"`
	Acres     float64  `json:"acres"`
	Procedure float64  `json:"procedure,omitempty"`
	Tether    float64  `json:"tether,omitempty"`
	Sight     nullable `json:"sight"`
	Sure      nullable `json:"sure"`
	SlopePct  nullable `json:"slope_pct"` // mean
	Lost      []lost   `json:"lost,omitempty"`
}

// lost is the acres of a zone that a machine does not work, for a reason.
type lost struct {
	Machine int        `json:"machine"`
	Why     zoning.Why `json:"why"`
	Acres   float64    `json:"acres"`
}

// lostOf lists what is not nothing.
func lostOf(z zoning.Zone) (out []lost) {
	for k, reasons := range z.LostAcres {
		for why, acres := range reasons {
			if acres != 0 {
				out = append(out, lost{k, zoning.Why(why), acres})
			}
		}
	}
	return out
}

// lostAcres is what lostOf listed; nil where nobody asked.
func (r *record) lostAcres(z zoneSum, machines int) [][]float64 {
	if r.Otherwise == nil {
		return nil
	}
	out := make([][]float64, machines)
	for k := range out {
		out[k] = make([]float64, zoning.Reasons)
	}
	for _, l := range z.Lost {
		out[l.Machine][l.Why] = l.Acres
	}
	return out
}

// credit is what is owed to those whose map the lot's figures rest on; "" where there is none.
func (r *record) credit() string {
	return (&zoning.ZoneMap{Cautions: r.Stamps}).Credit()
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

// recorder makes records of maps. It belongs to one goroutine.
type recorder struct {
	features bytes.Buffer
	buffered *bufio.Writer // before features; zoning's writers make no other where they find it
}

func newRecorder() *recorder {
	r := &recorder{}
	r.buffered = bufio.NewWriterSize(&r.features, 1<<16)
	return r
}

// mapped makes the record of a lot from its map. It is good until the next is made.
func (w *recorder) mapped(of zoning.Lot, m *zoning.ZoneMap) (frame, error) {
	lot := m.Lots[0]
	r := record{
		Lot: lot.Lot, Notes: lot.Notes, Repair: of.Repair, SameGround: of.SameGround, At: middle(lot), Acres: lot.Acres, EdgeAcres: lot.EdgeAcres,
		Sources: m.Sources, SourceAcres: m.SourceAcres, Scale: m.Scale, Surveyed: m.Surveyed, Boundary: m.Boundary,
		SigmaM: nullable(m.Error.SigmaM), SigmaFrom: m.Error.From, SigmaGuess: m.Error.Assumed, Cautious: m.Error.Cautious, Measured: m.Error.Measured, Unseen: m.Error.Unseen,
		Ground: m.Ground, Otherwise: m.Otherwise, Access: m.Access, Growth: m.Growth,
		Assumed: m.Assumed, Warnings: m.Warnings,
	}
	everywhere := cautionsOf(m.Units, m.Growth, nil)
	for _, c := range m.Cautions {
		if !slices.Contains(everywhere, c) {
			r.Stamps = append(r.Stamps, c)
		}
	}
	for _, z := range lot.Zones {
		r.Zones = append(r.Zones, zoneSum{z.Band, z.Acres, z.ProcedureAcres, z.TetherAcres, nullable(z.SightAcres), nullable(z.SureAcres), nullable(z.SlopeMeanPct), lostOf(z)})
	}
	w.features.Reset()
	w.buffered.Reset(&w.features)
	if err := write.Features(w.buffered, m); err != nil {
		return frame{}, err
	}
	r.ZoneBytes = w.features.Len()
	if err := write.HazardFeatures(w.buffered, m); err != nil {
		return frame{}, err
	}
	r.HazardBytes, r.Hazards = w.features.Len()-r.ZoneBytes, len(m.Hazards)
	var outline orb.MultiPolygon
	if lot.Coverage != nil {
		outline = lot.Coverage.Outline()
	}
	return headed(kindMapped, lot.Place, r, appendGround(w.features.Bytes(), coarse(outline)))
}

// coarseParts is the part of a polygon's size by which its coarse outline may be off: a
// lot alone on a sheet is a few hundred points wide.
const coarseParts = 1000

// coarse is an outline with few vertices.
func coarse(ground orb.MultiPolygon) orb.MultiPolygon {
	out := make(orb.MultiPolygon, 0, len(ground))
	for _, poly := range ground {
		b := poly.Bound()
		off := max(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]) / coarseParts
		// Near points go first: the second method takes the square of their number at
		// worst, and a lot may have a million.
		poly = simplify.Radial(planar.Distance, off/2).Polygon(poly.Clone())
		out = append(out, simplify.DouglasPeucker(off/2).Polygon(poly))
	}
	return out
}

// cautionsOf are those of a map with stamps of its own, in the map's order.
func cautionsOf(u measure.Units, g *zoning.Growth, stamps []string) []string {
	out := slices.Insert(zoning.Cautions(u), 1, stamps...)
	if g != nil {
		out = append(out, zoning.GrowthCautions()...)
	}
	return out
}

// middle is that of the box around a lot, of one on both sides of the antimeridian that
// around its first part.
func middle(lot zoning.LotMap) orb.Point {
	if len(lot.Zones) == 0 {
		return orb.Point{}
	}
	all := lot.Zones[0].Ground[0].Bound()
	for _, z := range lot.Zones {
		for _, poly := range z.Ground {
			if b := poly.Bound(); math.Abs(b.Center()[0]-all.Center()[0]) < 180 {
				all = all.Union(b)
			}
		}
	}
	return all.Center()
}

// failed makes the record of a lot that has no map; its ground is nil where it is not
// known.
func failed(place int, lot string, notes []string, ground orb.MultiPolygon, f *Fault) (frame, error) {
	return headed(kindFailed, place, record{Lot: lot, Notes: notes, Fault: f}, appendGround(nil, coarse(ground)))
}

// failedLot is failed of a lot that was read.
func failedLot(lot zoning.Lot, f *Fault) (frame, error) {
	return headed(kindFailed, lot.Place, record{Lot: lot.Lot, Notes: lot.Notes, Fault: f, Repair: lot.Repair}, appendGround(nil, coarse(lot.Ground)))
}

// lotMap is the lot without its ground, in a fleet of so many machines.
func (r *record) lotMap(machines int) zoning.LotMap {
	lot := zoning.LotMap{Lot: r.Lot, Acres: r.Acres, EdgeAcres: r.EdgeAcres, Notes: r.Notes}
	for _, z := range r.Zones {
		lot.Zones = append(lot.Zones, zoning.Zone{
			Band: z.Band, Acres: z.Acres, ProcedureAcres: z.Procedure, TetherAcres: z.Tether, SightAcres: float64(z.Sight), SureAcres: float64(z.Sure),
			LostAcres: r.lostAcres(z, machines),
		})
	}
	return lot
}

// zoneMap is the map of the lot without its ground, as [write.Collection] takes it. The record's words are
// in units already.
func (r *record) zoneMap(fleet zoning.Fleet, units measure.Units) *zoning.ZoneMap {
	return &zoning.ZoneMap{
		Units: units, Fleet: fleet, Lots: []zoning.LotMap{r.lotMap(len(fleet))},
		Sources: r.Sources, SourceAcres: r.SourceAcres, Scale: r.Scale, Surveyed: r.Surveyed, Boundary: r.Boundary,
		Error:  zoning.ElevationError{SigmaM: float64(r.SigmaM), From: r.SigmaFrom, Assumed: r.SigmaGuess, Cautious: r.Cautious, Measured: r.Measured, Unseen: r.Unseen},
		Ground: r.Ground, Otherwise: r.Otherwise, Access: r.Access, Growth: r.Growth,
		Assumed: r.Assumed, Warnings: r.warnings(), Cautions: cautionsOf(units, r.Growth, r.Stamps),
	}
}

// warnings are those of the lot, with what its sums with others want to be told.
func (r *record) warnings() []string {
	if r.SameGround == 0 {
		return r.Warnings
	}
	return append(slices.Clip(r.Warnings), "its ground is that of an earlier lot of the file: sums count it again, the plan does not")
}
