package write

import (
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

	HazardsLayer = "hazards" // of any shape
)

// Zones lays out a map's zones, a row for each band of each lot: every property that a
// table has a form for. A map that [zoning.ZoneMap.Check] refuses is an error.
func Zones(zm *zoning.ZoneMap) (Layer, error) {
	if err := zm.Check(); err != nil {
		return Layer{}, err
	}
	layer := Layer{Name: ZonesLayer, Words: "Zones " + BandWords(zm.View) + ", a zone for each band of each lot."}
	properties := ZoneProperties(zm.Units)
	layer.Columns = columnsOf(properties)
	for _, lot := range zm.Lots {
		for _, z := range lot.Zones {
			layer.Rows = append(layer.Rows, Row{valuesOf(properties, zoneValues(zm, lot, z)), z.Ground})
		}
	}
	return layer, nil
}

// BandWords say what a band of a view is: "by limits: the first machine ...".
func BandWords(v zoning.View) string {
	if v == zoning.AsPlanned {
		return "as planned: the machine of the crew that works the ground, or why it is not cleared"
	}
	return "by limits: the first machine that may work the ground"
}

// Hazards lays out a map's hazards, each with its caution. A map that [zoning.ZoneMap.Check] refuses is
// an error.
func Hazards(zm *zoning.ZoneMap) (Layer, error) {
	if err := zm.Check(); err != nil {
		return Layer{}, err
	}
	layer := Layer{Name: HazardsLayer, Words: "Ground and spots that people must know of before work near them."}
	properties := HazardProperties()
	layer.Columns = columnsOf(properties)
	for _, h := range zm.Hazards {
		layer.Rows = append(layer.Rows, Row{valuesOf(properties, hazardValues(h)), h.Geometry})
	}
	return layer, nil
}

// columnsOf are the properties that a table has a form for.
func columnsOf(properties []Property) (out []Column) {
	for _, p := range properties {
		if p.Kind != Nested {
			out = append(out, Column{p.Name, p.Kind, p.Words})
		}
	}
	return out
}

// valuesOf are the values of those.
func valuesOf(properties []Property, all []any) (out []any) {
	for i, v := range all {
		if properties[i].Kind != Nested {
			out = append(out, v)
		}
	}
	return out
}

// zoneOf is a zone with its band; machine is nil for a band of none.
type zoneOf struct {
	zone    zoning.Zone
	band    zoning.Band
	machine *zoning.Machine
}

func zonesOf(zm *zoning.ZoneMap, lot zoning.LotMap) []zoneOf {
	bands := zm.Fleet.Bands()
	all := make([]zoneOf, len(lot.Zones))
	for i, z := range lot.Zones {
		all[i] = zoneOf{z, bands[z.Band], nil}
		if m := bands[z.Band].Machine; m >= 0 {
			all[i].machine = &zm.Fleet[m]
		}
	}
	return all
}

// Lots lays out a map's lots by [LotProperties], each with its outline. A map that [zoning.ZoneMap.Check] refuses
// and a lot without a Coverage are errors.
func Lots(zm *zoning.ZoneMap) (Layer, error) {
	if err := checkOutlined(zm); err != nil {
		return Layer{}, err
	}
	layer := Layer{Name: LotsLayer, Words: "Lots as they were mapped: the owner's line, and where zones meet it.", Columns: columnsOf(LotProperties(zm))}
	for _, lot := range zm.Lots {
		layer.Rows = append(layer.Rows, Row{lotValues(zm, lot), lot.Coverage.Outline()})
	}
	return layer, nil
}

// Spots lays out spots, in the order of their kinds.
func Spots(spots []Spot) Layer {
	layer := Layer{Name: SpotsLayer, Words: "Places to go to or to mind.", Columns: columnsOf(SpotProperties())}
	for _, kind := range byKind(spots) {
		for _, s := range kind {
			layer.Rows = append(layer.Rows, Row{spotValues(s), s.At})
		}
	}
	return layer
}
