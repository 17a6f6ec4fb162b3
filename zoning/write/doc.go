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
// # Properties, schema 2
//
// [Zones], [Lots], [Hazards] and [Spots] lay a map out as [Layer]s, a row and a shape for
// each zone, lot, hazard and spot. What is told of one is listed once: a property has the same
// name, kind and value in GeoJSON, GeoPackage, KML (ExtendedData) and CSV. Numbers of acres
// are on the map, unless told otherwise; a name ends in its unit. Files that are read again
// carry schema 2 and are refused where it is another.
//
//	zones
//	  lot                     text    lot
//	  feature_no              whole   number of the feature in the boundary file, from 1
//	  view                    text    by limits or as planned
//	  zone                    text    zone
//	  machine_name            text    name of its machine
//	  acres                   number  acres
//	  surface_acres           number  acres along the slope
//	  slope_mean_pct          number  mean slope, percent
//	  slope_max_pct           number  greatest slope, percent
//	  sure_acres              number  acres surely within the limit
//	  verify_acres            number  acres to walk or sight first
//	  sight_acres             number  acres of those to sight from toe or crest: nobody walks there
//	  limit_pct               number  limit, percent
//	  procedure_above_pct     number  written procedure above, percent
//	  procedure_acres         number  acres that ask for a written procedure
//	  tether_above_pct        number  tether above, percent
//	  tether_acres            number  acres that ask for a tether
//	  water_crossings         whole   drainage lines to be crossed on the access route, at least
//	  working_directions      nested  which way its patches are worked
//	  lost_acres              nested  acres that each machine does not work, by reason
//	lots
//	  lot                     text    lot
//	  feature_no              whole   number of the feature in the boundary file, from 1
//	  status                  text    mapped or failed
//	  view                    text    by limits or as planned
//	  parcel_acres            number  acres of the lot
//	  ZONE_acres              number  acres of each zone
//	  sure_acres              number  acres of machines surely within the limit
//	  verify_acres            number  acres of machines to walk or sight first
//	  sight_acres             number  acres of those to sight from toe or crest: nobody walks there
//	  procedure_acres         number  acres that ask for a written procedure
//	  tether_acres            number  acres that ask for a tether
//	  boundary                text    how well its line is known
//	  line_not_flagged_acres  number  acres nearer to the line than that
//	  notes                   text    what was repaired or assumed
//	  void_until_settled      text    what makes the map void until it is settled
//	hazards
//	  hazard                  text    what it is
//	  words                   text    what is there
//	  machine                 text    key of the machine that it concerns; none: all
//	  caution                 text    what to mind near it
//	spots
//	  kind                    text    what it is for
//	  name                    text    name, as it stands on a map
//	  words                   text    what to do or to mind there
//
// GeoJSON holds the zones, the hazards and a summary of the map; the acres in the summary are
// by the values of zone, those of a whole map's acres_dry and acres_wet too. ZONE stands for the
// zone's key in a column ([ZoneColumns]): track_loader_acres. Values of zone that are no
// machine's key are needs-machine, waits-dry, no-machine, no_data and no-go, as in the files
// that the program reads. Heights of the ground are the summary's dtm, those of a first surface
// its growth's dsm, and the error of heights is elevation_error's vertical_rmse_m. What is nested has
// no form in a table, and is in GeoJSON alone. Where each lot was mapped by itself, a hazard begins with the lot
// and feature_no that it stands with. A last column credit of a CSV table is what is owed to
// whose map its figures rest on.
//
// # CSV
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
