package export

import (
	"math"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning"
)

// Layer is a map laid out as a table: a row for each thing, with its shape.
type Layer struct {
	Name    string // in files: "zones"
	Words   string // what it holds, in a sentence
	Columns []Column
	Rows    []Row
}

// Column is a column of a layer.
type Column struct {
	Name  string // in files: "slope_mean_pct"
	Kind  Kind
	Words string // for people: "mean slope, percent"
}

// Kind is the kind of a column's values.
type Kind int

// Kinds of values.
const (
	Text   Kind = iota // string
	Whole              // int64
	Number             // float64, rounded to 9 decimals
)

// Row is a row of a layer. Values are string, int64 or float64 by the columns'
// kinds; nil where there is none.
type Row struct {
	Values []any
	Shape  orb.Geometry // WGS84 longitude and latitude
}

// Names of the layers.
const (
	ZonesLayer = "zones" // polygons
	LotsLayer  = "lots"  // polygons
	SpotsLayer = "spots" // points
)

// Zones lays out a map's zones, a row for each band of each lot.
func Zones(zm *zoning.ZoneMap) Layer {
	layer := Layer{Name: ZonesLayer, Words: "Ground by the first machine that may work it, a zone for each band of each lot."}
	for _, c := range zoneColumns {
		layer.Columns = append(layer.Columns, c.Column)
	}
	for _, lot := range zm.Lots {
		for _, z := range zonesOf(zm, lot) {
			layer.Rows = append(layer.Rows, Row{z.values(), z.zone.Ground})
		}
	}
	return layer
}

// zoneOf is a zone with what it belongs to; machine is nil for a band of none.
type zoneOf struct {
	lot     zoning.LotMap
	zone    zoning.Zone
	band    zoning.Band
	machine *zoning.Machine
}

func zonesOf(zm *zoning.ZoneMap, lot zoning.LotMap) []zoneOf {
	bands := zoning.Bands(zm.Fleet)
	all := make([]zoneOf, len(lot.Zones))
	for i, z := range lot.Zones {
		all[i] = zoneOf{lot, z, bands[z.Band], nil}
		if m := bands[z.Band].Machine; m >= 0 {
			all[i].machine = &zm.Fleet[m]
		}
	}
	return all
}

func (z zoneOf) values() []any {
	values := make([]any, len(zoneColumns))
	for i, c := range zoneColumns {
		values[i] = c.value(z)
	}
	return values
}

type zoneColumn struct {
	Column
	value func(zoneOf) any
}

// zoneColumns are the columns of zones, named as the properties of the GeoJSON.
var zoneColumns = []zoneColumn{
	{Column{"lot", Text, "lot"}, func(z zoneOf) any { return z.lot.Lot }},
	{Column{"place", Whole, "place in the file"}, func(z zoneOf) any { return place(z.lot.Place) }},
	{Column{"band", Text, "band"}, func(z zoneOf) any { return z.band.Key }},
	ofMachine(Column{"machine", Text, "machine"}, func(z zoneOf) any { return z.machine.Name }),
	{Column{"acres", Number, "acres"}, func(z zoneOf) any { return number(z.zone.Acres) }},
	{Column{"surface_acres", Number, "acres along the slope"}, func(z zoneOf) any { return number(z.zone.SurfaceAcres) }},
	{Column{"slope_mean_pct", Number, "mean slope, percent"}, func(z zoneOf) any { return number(z.zone.SlopeMeanPct) }},
	{Column{"slope_max_pct", Number, "greatest slope, percent"}, func(z zoneOf) any { return number(z.zone.SlopeMaxPct) }},
	ofMachine(Column{"sure_acres", Number, "acres surely within the limit"}, func(z zoneOf) any { return number(z.zone.SureAcres) }),
	ofMachine(Column{"verify_acres", Number, "acres to verify on foot"}, func(z zoneOf) any { return number(z.zone.Acres - z.zone.SureAcres) }),
	ofMachine(Column{"limit_pct", Number, "limit, percent"}, func(z zoneOf) any { return number(z.machine.LimitPct) }),
	ofMachine(Column{"procedure_above_pct", Number, "written procedure above, percent"}, func(z zoneOf) any { return above(z.machine.ProcedureAbovePct, z.machine.ProcedureAbovePct) }),
	ofMachine(Column{"procedure_acres", Number, "acres that ask for a written procedure"}, func(z zoneOf) any { return above(z.machine.ProcedureAbovePct, z.zone.ProcedureAcres) }),
	ofMachine(Column{"tether_above_pct", Number, "tether above, percent"}, func(z zoneOf) any { return above(z.machine.TetherAbovePct, z.machine.TetherAbovePct) }),
	ofMachine(Column{"tether_acres", Number, "acres that ask for a tether"}, func(z zoneOf) any { return above(z.machine.TetherAbovePct, z.zone.TetherAcres) }),
}

// ofMachine is a column that only the zones of a machine fill.
func ofMachine(c Column, value func(zoneOf) any) zoneColumn {
	return zoneColumn{c, func(z zoneOf) any {
		if z.machine == nil {
			return nil
		}
		return value(z)
	}}
}

// above is a figure that counts from a slope on; nil where none is set.
func above(pct, v float64) any {
	if !(pct > 0) {
		return nil
	}
	return number(v)
}

func place(n int) any {
	if n == 0 {
		return nil
	}
	return int64(n)
}

// number rounds to 9 decimals, as the GeoJSON does; nil where it is not known.
func number(v float64) any {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return math.Round(v*1e9) / 1e9
}

// Lots lays out a map's lots, each with its outline.
func Lots(zm *zoning.ZoneMap) Layer {
	layer := Layer{Name: LotsLayer, Words: "Lots as they were mapped: the owner's line, and where zones meet it.", Columns: []Column{
		{"lot", Text, "lot"},
		{"place", Whole, "place in the file"},
		{"acres", Number, "acres"},
		{"boundary", Text, "how well its line is known"},
		{"line_not_flagged_acres", Number, "acres nearer to the line than that"},
		{"notes", Text, "what was repaired or assumed"},
	}}
	for _, lot := range zm.Lots {
		values := []any{lot.Lot, place(lot.Place), number(lot.Acres), nil, nil, nil}
		if zm.Boundary != "" {
			values[3], values[4] = zm.Boundary, number(lot.EdgeAcres)
		}
		if len(lot.Notes) > 0 {
			values[5] = joined(lot.Notes)
		}
		layer.Rows = append(layer.Rows, Row{values, lot.Coverage.Outline()})
	}
	return layer
}

// Spots lays out spots, in the order of their kinds.
func Spots(spots []Spot) Layer {
	layer := Layer{Name: SpotsLayer, Words: "Places to go to or to mind.", Columns: []Column{
		{"kind", Text, "kind"}, {"name", Text, "name"}, {"words", Text, "what to do or to mind there"},
	}}
	for _, kind := range byKind(spots) {
		for _, s := range kind {
			layer.Rows = append(layer.Rows, Row{[]any{string(s.Kind), s.Name, s.Words}, s.At})
		}
	}
	return layer
}
