// Package section cuts a zone map along a line: the ground from the side, with the slope at
// each place, the machine whose limit that slope meets, the zone of the map, and the hazards
// that the line meets.
//
// # Two slopes
//
// A line across a hillside is gentler than the hillside. Each place therefore has two slopes:
// along the line, over a machine's length, and that of the ground, as the map has it, in
// whatever direction it falls. The limit that a place meets is asked of the steeper.
//
// # What it does not say
//
// A limit is one rule of many: ground within a machine's limit may be closed to it, out of
// reach, or without a way in. The zone of the map has all rules, and a place has both. Where
// there is no elevation nothing is said, and hazards that no map has are not found here.
//
// # Units
//
// Lengths and heights are in meters, slopes in percent, places in WGS84 degrees, longitude
// first.
package section
