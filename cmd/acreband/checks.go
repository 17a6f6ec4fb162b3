package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/acreband/acreband/zoning/field"
	"github.com/acreband/acreband/zoning/field/fieldfile"
	"github.com/acreband/acreband/zoning/text"
)

type checksCmd struct {
	groundFlags
	parcelFlags
	planFlags
	Out     string    `default:"out" placeholder:"DIR" help:"Folder for checks.gpx, checks.geojson, checks.txt and checks.csv."`
	Units   unitsFlag `default:"us" placeholder:"us|metric" help:"Units of what is told: acres and feet, or hectares and meters."`
	PerZone int       `default:"3" placeholder:"N" help:"Fewest spots in a zone that has room for them; large zones get more."`
}

func (c *checksCmd) Run(s streams) error {
	job, err := c.read()
	if err != nil {
		return err
	}
	job.tellIn(c.Units)
	c.told = c.Units.Units
	if err := c.planFlags.on(job.book, job.fleet); err != nil {
		return err
	}
	if c.PerZone < 1 {
		return usageError{fmt.Errorf("--per-zone %d: write 1 or more", c.PerZone)}
	}
	if c.Out == "-" {
		return usageError{errors.New("--out -: checks are four files; name a folder")}
	}
	if err := checkFolder(c.Out); err != nil {
		return err
	}
	meter := newMeter(s)
	defer meter.done()
	ground, zones, err := c.survey(job, meter)
	if err != nil {
		return err
	}
	zones, _, err = c.planned(context.Background(), ground, zones, job, c.Fleet)
	if err != nil {
		return err
	}
	checks, err := field.Pick(field.GroundOf(ground, zones), field.Options{PerZone: c.PerZone})
	if err != nil {
		return err
	}
	if len(checks.Spots) == 0 {
		return inputError{fmt.Errorf("%s: no ground of it can be walked or sighted for a check; look at the map first", c.Parcel)}
	}
	if err := writeTogether(c.Out, []output{
		{"checks.gpx", checks.WriteGPX},
		{"checks.geojson", checks.WriteGeoJSON},
		{"checks.txt", checks.WriteText},
		{"checks.csv", checks.WriteCSV},
	}); err != nil {
		return err
	}
	meter.done()
	var words strings.Builder
	text.Fold(&words, "", fmt.Sprintf("%d spots to measure with a clinometer: %s is the list to print, %s for a phone, %s to fill in", len(checks.Spots),
		filepath.Join(c.Out, "checks.txt"), filepath.Join(c.Out, "checks.gpx"), filepath.Join(c.Out, "checks.csv")), columns)
	words.WriteString("\n")
	for _, caution := range checks.Cautions() {
		text.Fold(&words, "caution    ", caution, columns)
	}
	if _, err := io.WriteString(s.err, words.String()); err != nil {
		return err
	}
	return lotsLeftOut(ground, zones)
}

type readingsCmd struct {
	File   string `arg:"" name:"file" help:"Measured slopes, each with its unit: a table such as checks.csv filled in, GPX waypoints, or GeoJSON points."`
	Checks string `required:"" placeholder:"FILE" help:"The checks.geojson that 'acreband checks' wrote."`
	JSON   bool   `name:"json" help:"Write the verdict as JSON."`
}

// Run writes the verdict to standard output: it is all that the command makes.
func (c *readingsCmd) Run(s streams) error {
	verdict, err := c.judge()
	if err != nil {
		return inputError{err}
	}
	if c.JSON {
		return verdict.WriteJSON(s.out)
	}
	return verdict.WriteText(s.out)
}

func (c *readingsCmd) judge() (field.Verdict, error) {
	var verdict field.Verdict
	spots, err := fieldfile.Read(c.Checks)
	if err != nil {
		return verdict, err
	}
	checks, err := field.ReadChecks(c.Checks, spots)
	if err != nil {
		return verdict, err
	}
	measured, err := fieldfile.Read(c.File)
	if err != nil {
		return verdict, err
	}
	readings, err := field.ReadReadings(c.File, measured)
	if err != nil {
		return verdict, err
	}
	compared, err := checks.Match(c.File, readings, nil)
	if err != nil {
		return verdict, err
	}
	return checks.Judge(compared)
}
