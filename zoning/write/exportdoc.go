// Package export writes a zone map for phones and for other programs: KML and
// KMZ, GPX, CSV, a style by the Open Geospatial Consortium's SLD, and the cells
// and names of a raster of bands.
//
// Writers take a [zoning.ZoneMap] as it is and compute nothing about the ground
// again. Each writes one whole file to an [io.Writer]; the same map gives the same
// bytes, for no date goes in. Coordinates are WGS84 longitude and latitude
// with 9 decimals, so that the acres written beside an outline are what it
// measures; numbers in tables have at most 9 decimals, and what is not known is
// left empty.
//
// Every file carries the map's cautions, but for the CSV tables, whose rows are
// data only.
//
// # Tables
//
// [Zones], [Lots], [Hazards] and [Spots] lay a map out as [Layer]s, a row and a shape
// for each zone, lot, hazard and spot. The properties of zones and hazards are those of
// package zoning, which GeoJSON takes too. The CSV files here and the GeoPackage of
// [github.com/acreband/acreband/zoning/write/gdal] are those layers, under the same
// names as the properties of the GeoJSON.
//
// CSV is by RFC 4180: a heading, records that end in CR LF, text in UTF-8 without
// a byte order mark. A spreadsheet runs text that begins with =, +, -, @ and the like
// as a formula, and names of lots come from strangers' files; so such text has an
// apostrophe put before it ([github.com/acreband/acreband/zoning/plain.Guarded]), unless it is a plain number such as -12.
// The GeoPackage and the GeoJSON keep names as they are.
//
// # Cells
//
// [BandCells] and [SlopeCells] are what a raster of the map holds; package
// [github.com/acreband/acreband/terrain/raster] writes it. A cell belongs to it
// where half of it or more lies in the lots: along a boundary a raster is true to
// half a cell, the outlines are exact.
package write
