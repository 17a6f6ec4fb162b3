// Package osm reads OpenStreetMap extracts: what volunteers have mapped around lots, as
// features of package site. It needs neither GDAL nor cgo.
//
// [Read] takes both forms, XML (.osm) and packed (.osm.pbf), told apart by their first bytes,
// and goes through a file up to three times: it keeps what lies within 200 m of the box
// around the lots, which is twice the thrown-object distance, so that memory grows with the
// ground and not with the file. A shape is found by a corner within two miles of the box.
//
// # What each tag becomes
//
// Keys and values are those of the map's own wiki. An element may be several things, each
// kind once; what has a building, a road or a path is no further place of people.
//
//	building = any but no: building, area where it closes
//	building:part = any but no: building, area where it closes
//	power = line minor_line: overhead-line
//	power = cable: pipeline
//	power = tower portal: tower, 30 ft around
//	power = pole: tower, 10 ft around
//	power = substation plant generator transformer switchgear: no-go, area where it closes,
//	10 ft around
//	man_made = mast: tower, area where it closes, 100 ft around
//	man_made = tower communications_tower antenna chimney water_tower silo storage_tank
//	windmill windpump flagpole: tower, area where it closes, 30 ft around
//	man_made = pipeline: pipeline
//	man_made = embankment dyke: cliff
//	man_made = petroleum_well water_well works wastewater_plant water_works: no-go, area
//	where it closes, 10 ft around
//	highway = motorway trunk primary secondary tertiary unclassified residential
//	living_street service road busway construction motorway_link trunk_link primary_link
//	secondary_link tertiary_link raceway escape: road
//	highway = track path footway cycleway bridleway steps pedestrian via_ferrata ladder:
//	path
//	railway = rail light_rail narrow_gauge tram monorail funicular preserved subway
//	construction disused miniature: railway
//	aerialway = any but no: people
//	aeroway = runway taxiway apron helipad: no-go, area where it closes
//	waterway = river: water, 30 ft around
//	waterway = canal: water, 15 ft around
//	waterway = stream ditch drain brook tidal_channel: water
//	waterway = riverbank dock: water, area where it closes
//	waterway = dam weir lock_gate: no-go, area where it closes
//	waterway = waterfall: cliff
//	natural = water wetland bay strait spring hot_spring: water, area where it closes
//	natural = coastline: water
//	landuse = reservoir basin salt_pond aquaculture: water, area where it closes
//	leisure = swimming_pool: no-go, area where it closes
//	natural = cliff earth_bank arete gully: cliff
//	barrier = retaining_wall ditch: cliff
//	natural = sinkhole cave_entrance: no-go, area where it closes, 30 ft around
//	landuse = quarry landfill military: no-go, area where it closes
//	barrier = wall city_wall: no-go
//	barrier = gate lift_gate swing_gate sliding_gate hampshire_gate wicket_gate kissing_gate
//	cattle_grid bollard chain height_restrictor: gate
//	amenity = school kindergarten college university childcare hospital clinic doctors
//	nursing_home social_facility prison place_of_worship community_centre grave_yard
//	marketplace bus_station fuel parking shelter bench bbq restaurant cafe pub bar
//	animal_boarding: people, area where it closes
//	leisure = playground park pitch sports_centre stadium golf_course track picnic_table
//	picnic_site garden dog_park horse_riding summer_camp fitness_station swimming_area
//	beach_resort marina slipway bandstand bird_hide fishing: people, area where it closes
//	tourism = camp_site camp_pitch caravan_site picnic_site viewpoint alpine_hut
//	wilderness_hut chalet hotel motel guest_house hostel apartment attraction museum
//	theme_park zoo artwork information: people, area where it closes
//	landuse = cemetery recreation_ground allotments farmyard village_green education
//	religious: people, area where it closes
//	highway = rest_area services bus_stop: people, area where it closes
//	public_transport = platform station stop_area: people, area where it closes
//	railway = station halt platform tram_stop: people, area where it closes
//	natural = beach: people, area where it closes
//
// On a road or path, bridge = any but no: a bridge by its maxweight, maxwidth and maxheight; one
// whose weight is not told is no-go. Gates have maxwidth (or width), maxheight and maxweight.
// A mast keeps its height around it where that is told, for its guys. A waterway is as wide
// as width or est_width say. What lies in a tunnel, a culvert or under the ground (tunnel,
// location) is left out where only its being on the ground matters, and an overhead line that
// goes under the ground is a buried one there.
//
// Not read: fences, hedges, telephone lines, land cover, boundaries, and what is proposed,
// abandoned or gone.
//
// # Figures
//
// Bare numbers are meters, metric tons and volts; "7 ft", 12'6", "15 st" (tons of 2000 lb), "20 t",
// "40000 lbs" and "115 kV" say their unit. Of several voltages the highest counts. "none",
// "default", "unsigned" and the like are no figure. A figure that cannot be read is not known,
// and said to be.
//
// # Limits
//
// Coverage is never complete: an empty map is no proof of empty ground, and a pipe or a line
// that is not mapped may be there. Areas that the extract has only a part of are lines. What
// rests on an extract must say © OpenStreetMap contributors, ODbL ([zoning.OpenStreetMapCredit]).
//
// # Files from strangers
//
// A file may say anything of itself: blocks take no more memory than the format allows, every
// number that points into a table is checked, nothing recurses, and what is cut off or damaged is an
// error. A server's answer that says that it is not whole is refused. Elements keep the order
// of their ids, so that both forms of one map give the same features.
package osm
