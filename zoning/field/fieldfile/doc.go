// Package fieldfile reads the small files that come back from the field: tables
// (CSV), waypoints and tracks of a phone (GPX 1.0 and 1.1), features of a mapping
// program (GeoJSON, RFC 7946).
//
// It knows formats, not what they are for: zoning/field takes readings from
// them, zoning/field/progress worked ground.
//
// # Files from strangers
//
// A file is read whole, up to [MaxBytes]. XML entities other than the five of XML
// itself are refused, nothing is fetched, and no file names another one.
// Coordinates are WGS84 longitude and latitude in degrees; one that is not on
// earth is refused.
//
// # Errors
//
// All are [*Error]: file, line, what is wrong with its value, what to do.
package fieldfile
