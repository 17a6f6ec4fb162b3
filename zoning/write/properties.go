package write

import (
	"math"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
)

// Property is one thing that files tell of a zone or a hazard. Every writer takes names,
// units and values from the same list, so that no two files tell different things of the
// same ground.
type Property struct {
	Name  string // in files: "slope_mean_pct"
	Kind  Kind
	Unit  string // "acres" or "percent"; "" where it has none
	Words string // for people: "mean slope, percent"

	null bool // whether GeoJSON writes null where there is no value, instead of leaving it out
}

// Kind is the kind of a property's values.
type Kind int

// Kinds of values.
const (
	Text   Kind = iota // string
	Whole              // int64
	Number             // float64, rounded to 9 decimals
	Nested             // what JSON has a form for and a table has none
)

// Units of properties.
const (
	inAcres   = "acres"
	inPercent = "percent"
)

// ZoneProperties lists what is told of a zone, in the order of files, by their names
// in units.
func ZoneProperties(u measure.Units) []Property { return inUnits(u, usZoneProperties()) }

// usZoneProperties are those of a map that is told in US units.
func usZoneProperties() []Property {
	out := make([]Property, len(zoneProperties))
	for i, p := range zoneProperties {
		out[i] = p.Property
	}
	return out
}

// zoneValues are what files tell of a zone of one of the map's lots, in the order of
// [ZoneProperties]; nil where there is no value.
func zoneValues(m *zoning.ZoneMap, lot zoning.LotMap, z zoning.Zone) []any {
	told := toldZone{m: m, lot: lot, zone: z}
	told.band = m.Fleet.Bands()[z.Band]
	return toldIn(m.Units, usZoneProperties(), told.values())
}

// toldZone is a zone with what it belongs to.
type toldZone struct {
	m    *zoning.ZoneMap
	lot  zoning.LotMap
	zone zoning.Zone
	band zoning.Band
}

func (t toldZone) values() []any {
	out := make([]any, len(zoneProperties))
	for i, p := range zoneProperties {
		out[i] = p.value(t)
	}
	return out
}

type zoneProperty struct {
	Property
	value func(toldZone) any
}

var zoneProperties = []zoneProperty{
	{Property{"lot", Text, "", "lot", true}, func(t toldZone) any { return t.lot.Lot }},
	{Property{"feature_no", Whole, "", "number of the feature in the boundary file, from 1", false}, func(t toldZone) any { return counted(t.lot.Place, 1) }},
	{Property{"view", Text, "", "by limits or as planned", true}, func(t toldZone) any { return t.m.View.Words() }},
	{Property{"zone", Text, "", "zone", true}, func(t toldZone) any { return t.band.Key }},
	{Property{"machine_name", Text, "", "name of its machine", true}, ofMachine(func(_ toldZone, m zoning.Machine) any { return m.Name })},
	{Property{"acres", Number, inAcres, "acres", true}, func(t toldZone) any { return figure(t.zone.Acres) }},
	{Property{"surface_acres", Number, inAcres, "acres along the slope", true}, func(t toldZone) any { return figure(t.zone.SurfaceAcres) }},
	{Property{"slope_mean_pct", Number, inPercent, "mean slope, percent", true}, func(t toldZone) any { return figure(t.zone.SlopeMeanPct) }},
	{Property{"slope_max_pct", Number, inPercent, "greatest slope, percent", true}, func(t toldZone) any { return figure(t.zone.SlopeMaxPct) }},
	{Property{"sure_acres", Number, inAcres, "acres surely within the limit", false}, ofMachine(func(t toldZone, _ zoning.Machine) any { return figure(t.zone.SureAcres) })},
	{Property{"verify_acres", Number, inAcres, "acres to walk or sight first", false}, ofMachine(func(t toldZone, _ zoning.Machine) any { return figure(t.zone.Acres - t.zone.SureAcres) })},
	{Property{"sight_acres", Number, inAcres, "acres of those to sight from toe or crest: nobody walks there", false}, ofMachine(func(t toldZone, _ zoning.Machine) any { return figure(t.zone.SightAcres) })},
	{Property{"limit_pct", Number, inPercent, "limit, percent", false}, ofMachine(func(_ toldZone, m zoning.Machine) any { return figure(m.SteepestPct()) })},
	{Property{"procedure_above_pct", Number, inPercent, "written procedure above, percent", false}, ofMachine(func(_ toldZone, m zoning.Machine) any { return above(m.ProcedureAbovePct, m.ProcedureAbovePct) })},
	{Property{"procedure_acres", Number, inAcres, "acres that ask for a written procedure", false}, ofMachine(func(t toldZone, m zoning.Machine) any { return above(m.ProcedureAbovePct, t.zone.ProcedureAcres) })},
	{Property{"tether_above_pct", Number, inPercent, "tether above, percent", false}, ofMachine(func(_ toldZone, m zoning.Machine) any { return above(m.TetherAbovePct, m.TetherAbovePct) })},
	{Property{"tether_acres", Number, inAcres, "acres that ask for a tether", false}, ofMachine(func(t toldZone, m zoning.Machine) any { return above(m.TetherAbovePct, t.zone.TetherAcres) })},
	{Property{"water_crossings", Whole, "", "drainage lines to be crossed on the access route, at least", false}, ofMachine(func(t toldZone, _ zoning.Machine) any { return counted(t.zone.Crossings, 0) })},
	{Property{"working_directions", Nested, "", "which way its patches are worked", false}, ofMachine(func(t toldZone, _ zoning.Machine) any { return directionsOf(t.zone) })},
	{Property{"lost_acres", Nested, inAcres, "acres that each machine does not work, by reason", false}, func(t toldZone) any { return lostAcres(t.m, t.zone) }},
}

// ofMachine is the value of a property that only the zones of a machine have.
func ofMachine(value func(toldZone, zoning.Machine) any) func(toldZone) any {
	return func(t toldZone) any {
		if t.band.Machine < 0 {
			return nil
		}
		return value(t, t.m.Fleet[t.band.Machine])
	}
}

// figure rounds to 9 decimals; nil where a figure is not known.
func figure(v float64) any {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return math.Round(v*1e9) / 1e9
}

// above is a figure that counts from a slope on; nil where none is set.
func above(pct, v float64) any {
	if !(pct > 0) {
		return nil
	}
	return figure(v)
}

// counted is a whole number; nil where it is below the least that tells something.
func counted(n, least int) any {
	if n < least {
		return nil
	}
	return int64(n)
}

// direction is which way a patch of a zone is worked.
type direction struct {
	Acres      number    `json:"acres"`
	AzimuthDeg number    `json:"azimuth_deg"`
	At         [2]number `json:"at"`
}

func directionsOf(z zoning.Zone) any {
	if len(z.Patches) == 0 {
		return nil
	}
	out := make([]direction, len(z.Patches))
	for i, p := range z.Patches {
		out[i] = direction{number(p.Acres), number(math.Round(p.AzimuthDeg*10) / 10), degrees(p.At)}
	}
	return out
}

// lostAcres lists by machine and reason the acres of a zone that it does not work.
func lostAcres(m *zoning.ZoneMap, z zoning.Zone) any {
	out := map[string]map[string]number{}
	for k, reasons := range z.LostAcres {
		for why, acres := range reasons {
			if acres < leastLostAcres {
				continue
			}
			key := m.Fleet[k].Key
			if out[key] == nil {
				out[key] = map[string]number{}
			}
			out[key][m.Reason(zoning.Why(why)).Key] = number(acres)
		}
	}
	if len(out) == 0 {
		return nil
	}
	return out
}

// leastLostAcres is less than any cell: what rounding leaves is not told.
const leastLostAcres = 1e-9

// HazardProperties lists what is told of a hazard, in the order of files.
func HazardProperties() []Property {
	return []Property{
		{"hazard", Text, "", "what it is", true},
		{"words", Text, "", "what is there", true},
		{"machine", Text, "", "key of the machine that it concerns; none: all", false},
		{"caution", Text, "", "what to mind near it", true},
	}
}

// LotHazardProperties lists what is told of a hazard where each lot was mapped by itself: first
// whose it is.
func LotHazardProperties() []Property {
	return append(usZoneProperties()[:2:2], HazardProperties()...)
}

// hazardValues are what files tell of a hazard, in the order of [HazardProperties]; nil where
// there is no value.
func hazardValues(h zoning.Hazard) []any {
	out := []any{string(h.Kind), h.Words, nil, h.Kind.Caution()}
	if h.Machine != "" {
		out[2] = h.Machine
	}
	return out
}
