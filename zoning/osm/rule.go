package osm

import (
	"slices"
	"strings"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
)

// rule says what a tag makes of an element.
type rule struct {
	key    string
	values string // with spaces between; "" is any but "no"
	kind   site.Kind
	area   bool // a line that comes back to its start is an area, unless area=no
	// halfM is how far what is drawn as a line or a spot reaches to its sides where no width is
	// told, in meters (common practice, no source).
	halfM float64
}

// rules are asked in their order; an element may be several things, each kind once. The
// table of the package comment is printed from them.
var rules = []rule{
	{"building", "", site.Building, true, 0},
	{"building:part", "", site.Building, true, 0},

	{"power", "line minor_line", site.OverheadLine, false, 0},
	{"power", "cable", site.Pipeline, false, 0},
	{"power", "tower portal", site.Tower, false, 30 * foot},
	{"power", "pole", site.Tower, false, 10 * foot},
	{"power", "substation plant generator transformer switchgear", site.NoGo, true, 10 * foot},
	{"man_made", "mast", site.Tower, true, 100 * foot},
	{"man_made", "tower communications_tower antenna chimney water_tower silo storage_tank windmill windpump flagpole", site.Tower, true, 30 * foot},
	{"man_made", "pipeline", site.Pipeline, false, 0},
	{"man_made", "embankment dyke", site.Edge, false, 0},
	{"man_made", "petroleum_well water_well works wastewater_plant water_works", site.NoGo, true, 10 * foot},

	{"highway", "motorway trunk primary secondary tertiary unclassified residential living_street service road busway construction " +
		"motorway_link trunk_link primary_link secondary_link tertiary_link raceway escape", site.Road, false, 0},
	{"highway", "track path footway cycleway bridleway steps pedestrian via_ferrata ladder", site.Path, false, 0},
	{"railway", "rail light_rail narrow_gauge tram monorail funicular preserved subway construction disused miniature", site.Railway, false, 0},
	{"aerialway", "", site.People, false, 0},
	{"aeroway", "runway taxiway apron helipad", site.NoGo, true, 0},

	{"waterway", "river", site.Water, false, 30 * foot},
	{"waterway", "canal", site.Water, false, 15 * foot},
	{"waterway", "stream ditch drain brook tidal_channel", site.Water, false, 0},
	{"waterway", "riverbank dock", site.Water, true, 0},
	{"waterway", "dam weir lock_gate", site.NoGo, true, 0},
	{"waterway", "waterfall", site.Edge, false, 0},
	{"natural", "water wetland bay strait spring hot_spring", site.Water, true, 0},
	{"natural", "coastline", site.Water, false, 0}, // round an island it comes back to its start
	{"landuse", "reservoir basin salt_pond aquaculture", site.Water, true, 0},
	{"leisure", "swimming_pool", site.NoGo, true, 0},

	{"natural", "cliff earth_bank arete gully", site.Edge, false, 0},
	{"barrier", "retaining_wall ditch", site.Edge, false, 0},
	{"natural", "sinkhole cave_entrance", site.NoGo, true, 30 * foot},
	{"landuse", "quarry landfill military", site.NoGo, true, 0},
	{"barrier", "wall city_wall", site.NoGo, false, 0},
	{"barrier", "gate lift_gate swing_gate sliding_gate hampshire_gate wicket_gate kissing_gate cattle_grid bollard chain height_restrictor", site.Gate, false, 0},

	{"amenity", "school kindergarten college university childcare hospital clinic doctors nursing_home social_facility prison place_of_worship " +
		"community_centre grave_yard marketplace bus_station fuel parking shelter bench bbq restaurant cafe pub bar animal_boarding", site.People, true, 0},
	{"leisure", "playground park pitch sports_centre stadium golf_course track picnic_table picnic_site garden dog_park horse_riding summer_camp " +
		"fitness_station swimming_area beach_resort marina slipway bandstand bird_hide fishing", site.People, true, 0},
	{"tourism", "camp_site camp_pitch caravan_site picnic_site viewpoint alpine_hut wilderness_hut chalet hotel motel guest_house hostel apartment " +
		"attraction museum theme_park zoo artwork information", site.People, true, 0},
	{"landuse", "cemetery recreation_ground allotments farmyard village_green education religious", site.People, true, 0},
	{"highway", "rest_area services bus_stop", site.People, true, 0},
	{"public_transport", "platform station stop_area", site.People, true, 0},
	{"railway", "station halt platform tram_stop", site.People, true, 0},
	{"natural", "beach", site.People, true, 0},
}

const foot = zoning.MetresPerFoot

// matches reports whether a tag is one that the rule is about.
func (r *rule) matches(t tag) bool {
	if t.key != r.key || t.value == "" || t.value == "no" {
		return false
	}
	if r.values == "" {
		return true
	}
	for v := range strings.SplitSeq(r.values, " ") {
		for said := range strings.SplitSeq(t.value, ";") {
			if strings.TrimSpace(said) == v {
				return true
			}
		}
	}
	return false
}

// keys are those that any rule is about.
var keys = func() map[string][]*rule {
	out := map[string][]*rule{}
	for i := range rules {
		out[rules[i].key] = append(out[rules[i].key], &rules[i])
	}
	return out
}()

// rulesFor are the rules that an element's tags meet, in their order, one for each kind.
func rulesFor(tags []tag) (out []*rule) {
	for _, t := range tags {
		for _, r := range keys[t.key] {
			if r.matches(t) {
				out = append(out, r)
			}
		}
	}
	slices.SortFunc(out, func(a, b *rule) int { return order[a] - order[b] })
	seen := map[site.Kind]bool{}
	out = slices.DeleteFunc(out, func(r *rule) bool {
		again := seen[r.kind]
		seen[r.kind] = true
		return again
	})
	if seen[site.Building] || seen[site.Road] || seen[site.Path] { // which are places of people themselves
		out = slices.DeleteFunc(out, func(r *rule) bool { return r.kind == site.People })
	}
	if buried(tags) {
		out = slices.DeleteFunc(out, func(r *rule) bool { return surfaceOnly[r.kind] })
		if tagged(tags, "power") == "line" || tagged(tags, "power") == "minor_line" {
			out = append(out, &rules[slices.IndexFunc(rules, func(r rule) bool { return r.kind == site.Pipeline })])
		}
	}
	return out
}

// order is the place of each rule.
var order = func() map[*rule]int {
	out := map[*rule]int{}
	for i := range rules {
		out[&rules[i]] = i
	}
	return out
}()

// surfaceOnly are the kinds that mean nothing to a machine above them where they lie in a
// tunnel or a culvert.
var surfaceOnly = map[site.Kind]bool{
	site.OverheadLine: true, site.Road: true, site.Path: true, site.Railway: true, site.Water: true, site.People: true,
}

// buried reports whether an element lies under the ground.
func buried(tags []tag) bool {
	switch tagged(tags, "location") {
	case "underground", "underwater":
		return true
	}
	switch tagged(tags, "tunnel") {
	case "", "no", "building_passage", "avalanche_protector":
		return false
	}
	return true
}
