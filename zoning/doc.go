// Package zoning says which machine may work which ground of a parcel, and how
// many acres that is.
//
// # From slope to zones
//
// A [Fleet] is the machines in their order. A cell has a [Mask]: the set of machines that may work it, as package
// trafficability finds them. Its band is the first machine of its mask, no machine,
// unknown or no-go ([Fleet.Bands], [Fleet.Band]). Package coverage cuts masks at a boundary and
// draws their lines; [MapLot] cuts [Cells] and gathers the bands into [Zone]s with
// acreage. A [ZoneMap] is the result for several lots, and package write writes it.
//
// # Units
//
// Slopes are in percent (rise over run times 100) where a name ends in Pct, and
// as squared rise over run in a slope.Field. Areas are in square metres or
// international acres (4046.8564224 m²). Longitude comes first, in WGS84 degrees.
//
// # Acres
//
// Plan acres are measured on the WGS84 ellipsoid along edges that are straight
// in longitude and latitude, as RFC 7946 has them, and on the outline as it is
// written, with 9 decimals. The acres of a parcel are those of its zones
// together. They differ from the owner's figure by at most half a unit of the
// ninth decimal (0.06 mm) along the boundary, where a zone's edge meets it.
// Surface acres count each cell along its slope: √(1+s²) of its plan acres.
//
// # Limits
//
// A limit is a planning value. The machine's manual, the local code and a
// competent person on the ground decide; [Cautions] must go with every output, and
// [GrowthCautions] with one that speaks of the height of growth. [Specs] lists what a
// machine is held to, with key, unit and bounds; [Fleet.Check] holds every fleet to it.
//
// # What stays
//
// Keys of limits, bands, reasons and hazards stay as they are, since files hold them, and so
// does the order of bands: the fleet's machines, no machine, unknown, no-go. Reasons and
// fields may be added, so name the fields of a literal and ask a [Fleet] for its bands.
package zoning
