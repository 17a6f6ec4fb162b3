package write

import (
	"strings"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
)

// LotProperties lists what is told of a lot of a map, in the order of files: among it
// the acres of each zone that the map's view has, by the names of [ZoneColumns].
func LotProperties(zm *zoning.ZoneMap) []Property { return inUnits(zm.Units, usLotProperties(zm)) }

// usLotProperties are those of a map that is told in US units.
func usLotProperties(zm *zoning.ZoneMap) []Property {
	out := []Property{
		{"lot", Text, "", "lot", true},
		{"feature_no", Whole, "", "number of the feature in the boundary file, from 1", false},
		{"status", Text, "", "mapped or failed", true},
		{"view", Text, "", "by limits or as planned", true},
		{"parcel_acres", Number, inAcres, "acres of the lot", true},
	}
	bands := zm.Fleet.Bands()
	for i, column := range ZoneColumns(zm.Fleet) {
		if zm.View.Has(zm.Fleet, i) {
			out = append(out, Property{column + acresSuffix, Number, inAcres, bands[i].Name + ", acres", true})
		}
	}
	return append(out,
		Property{"sure_acres", Number, inAcres, "acres of machines surely within the limit", false},
		Property{"verify_acres", Number, inAcres, "acres of machines to walk or sight first", false},
		Property{"sight_acres", Number, inAcres, "acres of those to sight from toe or crest: nobody walks there", false},
		Property{"procedure_acres", Number, inAcres, "acres that ask for a written procedure", false},
		Property{"tether_acres", Number, inAcres, "acres that ask for a tether", false},
		Property{"boundary", Text, "", "how well its line is known", false},
		Property{"line_not_flagged_acres", Number, inAcres, "acres nearer to the line than that", false},
		Property{"notes", Text, "", "what was repaired or assumed", false},
		Property{"void_until_settled", Text, "", "what makes the map void until it is settled", false},
	)
}

// lotValues are what files tell of a lot, in the order of [LotProperties]; nil where there
// is no value.
func lotValues(zm *zoning.ZoneMap, lot zoning.LotMap) []any {
	bands := zm.Fleet.Bands()
	var sure, verify, sight, procedure, tether float64
	for _, z := range lot.Zones {
		if zm.Fleet.IsMachine(z.Band) {
			sure, verify, sight = sure+z.SureAcres, verify+z.Acres-z.SureAcres, sight+z.SightAcres // NaN stays
			procedure, tether = procedure+z.ProcedureAcres, tether+z.TetherAcres
		}
	}
	out := []any{lot.Lot, counted(lot.Place, 1), lotMapped, zm.View.Words(), figure(lot.Acres)}
	for i, acres := range lot.BandAcres(len(bands)) {
		if zm.View.Has(zm.Fleet, i) {
			out = append(out, figure(acres))
		}
	}
	out = append(out, figure(sure), figure(verify), figure(sight), figure(procedure), figure(tether))
	var boundary, edge any
	if zm.Boundary != "" {
		boundary, edge = zm.Boundary, figure(lot.EdgeAcres)
	}
	return toldIn(zm.Units, usLotProperties(zm), append(out, boundary, edge, worded(lot.Notes), worded(zm.Stops())))
}

// lotMapped is the status of every lot of a zone map: one that failed is in none.
const lotMapped = "mapped"

// worded is a list in one text; nil where it is empty.
func worded(all []string) any {
	if len(all) == 0 {
		return nil
	}
	return joined(all)
}

const acresSuffix = "_acres"

// ZoneColumns are the words by which tables of lots name the fleet's zones, by the index of
// [zoning.Fleet.Bands]: the zone's key in lower case, with an underscore for what is no
// letter a-z and no digit. So the acres of zone track-loader are track_loader_acres. A name
// that another column has gets "_zone" added.
func ZoneColumns(fleet zoning.Fleet) []string {
	bands := fleet.Bands()
	out := make([]string, len(bands))
	taken := map[string]bool{}
	for i := len(bands) - 1; i >= 0; i-- { // those of no machine keep their names
		name := columnWord(bands[i].Key)
		for taken[name] || isLotFigure(name) {
			name += "_zone"
		}
		out[i], taken[name] = name, true
	}
	return out
}

// isLotFigure reports whether a table of lots has acres of that name that are no zone's.
func isLotFigure(name string) bool {
	switch name {
	case "parcel", "sure", "verify", "sight", "procedure", "tether", "line_not_flagged", "growth_no_data", "growth_water":
		return true
	}
	for class := range zoning.GrowthClasses {
		if name == "growth_"+zoning.GrowthClassKey(measure.US, class) || name == "growth_"+zoning.GrowthClassKey(measure.Metric, class) {
			return true
		}
	}
	return strings.HasSuffix(name, "_verify")
}

func columnWord(key string) string {
	return strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			return r
		}
		return '_'
	}, strings.ToLower(key))
}
