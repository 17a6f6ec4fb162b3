package main

import (
	"io"
	"slices"
	"strings"

	"github.com/acreband/acreband/cmd/acreband/internal/page"
)

// fileWords say what a file is good for, on the page.
var fileWords = map[string]string{
	"sheet.html": "the sheet to look at, on a screen or a phone", "sheet.pdf": "the sheet to print, two pages",
	"map.png": "the map alone, to send in a message", "zones.png": "picture of the zones with their acres",
	"zones.geojson": "outlines of the zones with their acres, for other map programs",
	"zones.kml":     "zones and spots for map programs that read KML", "zones.kmz": "the same packed, for a phone",
	"spots.gpx": "spots to check and to unload at, for a receiver", "zones.gpkg": "zones, lots and spots in one GeoPackage",
	"zones.sld": "how the GeoPackage is drawn", "bands.tif": "which machine, cell by cell", "bands.tif.aux.xml": "names of the machines in it",
	"slope.tif": "slope in percent, cell by cell", "zones.csv": "the table of zones", "lots.csv": "the table of lots",
}

// mediaTypes are those of files by the end of their names.
var mediaTypes = map[string]string{
	".html": "text/html; charset=utf-8", ".pdf": "application/pdf", ".png": "image/png", ".geojson": "application/geo+json",
	".kml": "application/vnd.google-earth.kml+xml", ".kmz": "application/vnd.google-earth.kmz", ".gpx": "application/gpx+xml",
	".gpkg": "application/geopackage+sqlite3", ".sld": "application/vnd.ogc.sld+xml", ".xml": "application/xml", ".tif": "image/tiff",
	".csv": "text/csv; charset=utf-8",
}

// pageOutputs are all the files that map writes, as the page offers them: what people
// look at first.
func pageOutputs(f *sheetFlags) []page.Output {
	first := []string{"sheet.pdf", "sheet.html", "map.png", "zones.png", "zones.geojson"}
	var out []page.Output
	for _, w := range writers {
		for i, file := range w.files(results{sheetFlags: f}) {
			out = append(out, page.Output{
				Name: file.name, Type: mediaTypes[file.name[strings.LastIndexByte(file.name, '.'):]], Words: fileWords[file.name],
				Write: func(to io.Writer, made *page.Result) error {
					r := results{sheetFlags: f, ground: made.Ground, zones: made.Map, plan: made.Plan}
					if needsChecks([]writer{w}) {
						if err := r.pickChecks(); err != nil {
							return err
						}
					}
					return w.files(r)[i].write(to)
				},
			})
		}
	}
	rank := func(o page.Output) int {
		if i := slices.Index(first, o.Name); i >= 0 {
			return i
		}
		return len(first)
	}
	slices.SortStableFunc(out, func(a, b page.Output) int { return rank(a) - rank(b) })
	return out
}
