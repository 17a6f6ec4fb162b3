package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"sync"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/field"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/sheet"
	"github.com/acreband/acreband/zoning/write"
	"github.com/acreband/acreband/zoning/write/gdal"
)

// writeFlags say what map writes into its folder.
type writeFlags struct {
	Write []string `default:"${usual}" placeholder:"WHAT" help:"What to write: ${outputs}."`
	sheetFlags
}

// sheetFlags say what stands on the sheet.
type sheetFlags struct {
	For       string `default:"office" enum:"office,crew" placeholder:"office|crew" help:"Whom the sheet is for; a crew's leaves prices out."`
	Paper     string `default:"letter" enum:"letter,a4" placeholder:"letter|a4" help:"Paper of the sheet."`
	Date      string `placeholder:"TEXT" help:"Date to print on the sheet; none is printed otherwise."`
	Emergency string `placeholder:"TEXT" help:"Where help is to come and whom to call, for the sheet; else left to be filled in by hand."`
	HelpAt    *spot  `placeholder:"LAT,LON" help:"Where help is to come, for the sheet and the phone."`
}

// usualWords are what is written where --write is left out.
var usualWords = []string{"geojson", "png", "sheet", "pdf"}

// results are what writers take.
type results struct {
	*sheetFlags
	ground *mapping.Ground
	zones  *zoning.ZoneMap
	plan   *plan.Plan
	checks *field.Checks // nil where no spot can be walked to or sighted
	laid   *sheet.Laid   // with the checks
}

// writer is one word of --write and the files it makes.
type writer struct {
	word  string
	files func(r results) []output
}

func one(name string, write func(r results, w io.Writer) error) func(results) []output {
	return func(r results) []output {
		return []output{{name, func(w io.Writer) error { return write(r, w) }}}
	}
}

var writers = []writer{
	{"geojson", one("zones.geojson", func(r results, w io.Writer) error { return write.GeoJSON(w, r.zones) })},
	{"png", one("zones.png", func(r results, w io.Writer) error { return sheet.Picture(w, r.ground.Elevation.Grid, r.zones) })},
	{"sheet", one("sheet.html", func(r results, w io.Writer) error { return r.laid.WriteHTML(w) })},
	{"pdf", one("sheet.pdf", func(r results, w io.Writer) error { return r.laid.WritePDF(w) })},
	{"map", one("map.png", func(r results, w io.Writer) error { return r.page().WritePNG(w) })},
	{"kml", one("zones.kml", func(r results, w io.Writer) error { return write.KML(w, r.zones, r.spots()) })},
	{"kmz", one("zones.kmz", func(r results, w io.Writer) error { return write.KMZ(w, r.zones, r.spots()) })},
	{"gpx", one("spots.gpx", func(r results, w io.Writer) error { return write.GPX(w, r.zones, r.spots()) })},
	{"gpkg", func(r results) []output {
		return []output{
			{"zones.gpkg", func(w io.Writer) error { return gdal.GeoPackage(w, r.zones, r.spots()) }},
			{"zones.sld", func(w io.Writer) error { return write.SLD(w, r.zones) }},
		}
	}},
	{"bands", func(r results) []output {
		return []output{
			{"bands.tif", func(w io.Writer) error { return gdal.Bands(w, r.ground, r.zones, r.zones.Cells) }},
			{"bands.tif.aux.xml", func(w io.Writer) error { return write.BandNames(w, r.zones) }},
		}
	}},
	{"slope", one("slope.tif", func(r results, w io.Writer) error { return gdal.Slope(w, r.ground, r.zones, r.zones.Field) })},
	{"csv", func(r results) []output {
		return []output{
			{"zones.csv", func(w io.Writer) error { return write.ZonesCSV(w, r.zones) }},
			{"lots.csv", func(w io.Writer) error { return write.LotsCSV(w, r.zones) }},
		}
	}},
}

// fileWords say what a file is good for, on the page.
var fileWords = map[string]string{
	"sheet.html": "the sheet to look at, on a screen or a phone", "sheet.pdf": "the sheet to print",
	"map.png": "the map alone, to send in a message", "zones.png": "picture of the zones with their areas",
	"zones.geojson": "outlines of the zones with their areas, for other map programs",
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

// outputWords lists what may be written.
func outputWords() string {
	var words []string
	for _, w := range writers {
		words = append(words, w.word)
	}
	return strings.Join(words, ", ")
}

// chosen are the writers named by --write, each once, in their own order.
func (f *writeFlags) chosen() ([]writer, error) {
	var out []writer
	for _, word := range f.Write {
		if !slices.ContainsFunc(writers, func(w writer) bool { return w.word == word }) {
			return nil, usageError{fmt.Errorf("--write %q; write one or several of %s", word, outputWords())}
		}
	}
	for _, w := range writers {
		if slices.Contains(f.Write, w.word) {
			out = append(out, w)
		}
	}
	if len(out) == 0 {
		return nil, usageError{errors.New("--write names nothing; leave it out for the usual files")}
	}
	return out, nil
}

// checkAlone refuses to drop what --write names beside --out -, which takes GeoJSON.
func (f *writeFlags) checkAlone() error {
	if slices.Equal(f.Write, usualWords) || slices.Equal(f.Write, []string{"geojson"}) {
		return nil
	}
	return usageError{fmt.Errorf("--out - with --write %s: standard output takes the GeoJSON alone; name a folder, or leave out --write",
		strings.Join(f.Write, ","))}
}

// needsChecks tells whether some of what is written shows field checks.
func needsChecks(chosen []writer) bool {
	return slices.ContainsFunc(chosen, func(w writer) bool {
		return slices.Contains([]string{"sheet", "pdf", "map", "kml", "kmz", "gpx", "gpkg"}, w.word)
	})
}

func (r results) page() *sheet.Page {
	p := &sheet.Page{
		Map: r.zones, Grid: r.ground.Elevation.Grid, Plan: r.plan, Checks: r.checks, Features: r.ground.Features,
		Emergency: sheet.Emergency{Words: r.Emergency}, Crew: r.For == "crew", Paper: sheet.Paper(r.Paper), Date: r.Date,
	}
	if r.HelpAt != nil {
		at := r.HelpAt.at(r.ground.Lots)
		p.Emergency.At = &at
	}
	return p
}

// spots are the places that a phone leads to.
func (r results) spots() []write.Spot {
	var out []write.Spot
	for i, at := range r.zones.Access.Staging {
		out = append(out, write.Spot{Kind: write.Staging, Name: fmt.Sprintf("Staging %d", i+1), Words: "where the trailer unloads", At: at})
	}
	if r.checks != nil {
		for _, s := range r.checks.Spots {
			out = append(out, write.Spot{Kind: write.FieldCheck, Name: s.ID, Words: r.checks.Do(s), At: s.At})
		}
	}
	if r.HelpAt != nil {
		words := r.Emergency
		if words == "" {
			words = "where help is to come"
		}
		out = append(out, write.Spot{Kind: write.Emergency, Name: "Help", Words: words, At: r.HelpAt.at(r.ground.Lots)})
	}
	return out
}

// pickChecks picks the checks, and has the sheet laid out with them.
func (r *results) pickChecks() (err error) {
	r.checks, err = field.Pick(field.GroundOf(r.ground, r.zones), field.Options{})
	r.laid = r.page().Lay()
	return err
}

// picking begins to pick checks where what is written shows them, beside the caller. It returns what
// waits for the results with them. What is put into the map meanwhile, such as places to unload at,
// tells nothing of checks.
func (c *mapCmd) picking(chosen []writer, r results) func() (results, error) {
	if c.Out == "-" || !needsChecks(chosen) {
		return func() (results, error) { return r, nil }
	}
	var err error
	var pick sync.WaitGroup
	pick.Go(func() { err = r.pickChecks() })
	return func() (results, error) {
		pick.Wait()
		return r, err
	}
}

// write writes the files of a run at once, or the GeoJSON alone to standard output.
func (c *mapCmd) write(chosen []writer, r results, picked func() (results, error), out io.Writer) error {
	if c.Out == "-" {
		return write.GeoJSON(out, r.zones)
	}
	var files []output
	for _, w := range chosen {
		files = append(files, w.filesOf(r, picked)...)
	}
	err := writeTogether(c.Out, files)
	if _, failed := picked(); failed != nil {
		return failed
	}
	return err
}

// filesOf are the files that a writer makes of results, or, where they show checks, of those
// with their checks picked.
func (w writer) filesOf(r results, picked func() (results, error)) []output {
	files := w.files(r)
	if !needsChecks([]writer{w}) {
		return files
	}
	for i := range files {
		files[i].write = func(to io.Writer) error {
			r, err := picked()
			if err != nil {
				return err
			}
			return w.files(r)[i].write(to)
		}
	}
	return files
}

// fileNames are the names of the files that writers make.
func fileNames(chosen []writer, f *sheetFlags) (names []string) {
	for _, w := range chosen {
		for _, file := range w.files(results{sheetFlags: f}) {
			names = append(names, file.name)
		}
	}
	return names
}
