// Package write makes files: every file that leaves the program, whole or not at all.
//
// # Formats
//
// A zone map goes out as GeoJSON, KML and KMZ, GPX, CSV and a style by the Open Geospatial
// Consortium's SLD, each by one func to an [io.Writer]. What GDAL writes of it, a GeoPackage
// and rasters, is in [github.com/acreband/acreband/zoning/write/gdal]. A [Collection] is the
// GeoJSON of many maps, one after another.
//
// Writers take a [zoning.ZoneMap] as it is and compute nothing about the ground again. The same map gives the same bytes, for no date goes in. Coordinates are
// WGS84 longitude and latitude with 9 decimals, so that the acres written beside an outline
// are what it measures; numbers in tables have at most 9 decimals, and what is not known is
// null, or left empty. Every file carries the map's cautions, but for the CSV tables, whose
// rows are data only.
//
// # Tables
//
// [Zones], [Lots], [Hazards] and [Spots] lay a map out as [Layer]s, a row and a shape for
// each zone, lot, hazard and spot. What is told of a zone or hazard is listed once, for
// GeoJSON, KML, CSV and GeoPackage alike.
//
// CSV is by RFC 4180: a heading, records that end in CR LF, text in UTF-8 without a byte
// order mark. A spreadsheet runs text that begins with =, +, -, @ and the like as a formula,
// and names of lots come from strangers' files; so such text has an apostrophe put before it
// ([github.com/acreband/acreband/zoning/text.Guarded]), unless it is a plain number such as
// -12. The GeoPackage and the GeoJSON keep names as they are.
//
// # Cells
//
// [BandCells] and [SlopeCells] are what a raster of the map holds. A cell belongs to it where
// half of it or more lies in the lots: along a boundary a raster is true to half a cell, the
// outlines are exact.
//
// # How files appear
//
// The files of a run ([Begin]) are written into a folder of their own beside where they are
// to be, which no one else may enter and whose name no one can guess. When the last is whole
// all are put on the disk, a marker lists them, and each is given its name. The marker is
// what decides: a program or a machine that stops before it leaves the folder as it was, and
// one that stops after it leaves names that the next run in the folder gives. What was there
// under those names is kept beside them until all are given, so that where one cannot be
// the others are taken back.
//
// What a run that was killed left is finished, or taken away, by the next [Begin] in the
// folder. One that is still at work holds a lock, and is let be.
//
// # What it does not do
//
// While names are given, for some milliseconds, a reader may find new files beside old ones.
// On a disk that knows no second name for a file (FAT) nothing can be taken back: an error
// that [ErrPartly] is says so, and the next run gives the names that are missing.
package write
