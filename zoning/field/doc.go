// Package field picks spots of a zone map to measure with a clinometer, and
// judges the map by what was measured.
//
// # Spots
//
// [Pick] chooses at least [Options.PerZone] spots in each zone that has room for
// them, spread out, first where a machine's band could tip (ground that the error
// of the heights does not let be sure), then at hazards. A zone is one band of one
// lot; no-go ground and ground without elevation are left out, since there is no
// slope to check. [Checks] holds the spots; WriteGPX, WriteGeoJSON, WriteText and
// WriteCSV write them.
//
// Nobody is sent on foot onto ground mapped steeper than [FootPct], or [WetFootPct]
// where it is wet, nor onto gentler ground that only steeper ground leads to. Such
// spots are sighted along the fall line from their toe or crest. Every coordinate
// that is written is one to stand on; the spot that is sighted is told beside it.
//
// # Readings
//
// [ReadReadings] takes measured slopes back, [Match] puts them to their spots, and
// [Judge] finds which spots are over their machine's limit, how map and ground
// agree, and the margin, in points of slope to take off every limit, at which each
// spot measured would have gone to a machine within its limit.
//
// # Units
//
// Slopes are in percent, rise over run times 100, measured straight up and down;
// differences of slope are in points of percent. Distances are in meters in Go and
// in files, in feet for people. Bearings are in degrees from true north. Places are
// WGS84, longitude first.
package field
