package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/alecthomas/kong"
)

// helpAll prints every flag of a command with all that it takes.
type helpAll bool

// BeforeReset prints and ends, as --help does, before anything is checked.
func (helpAll) BeforeReset(ctx *kong.Context) error {
	if err := kong.DefaultHelpPrinter(kong.HelpOptions{ValueFormatter: kong.DefaultHelpValueFormatter}, ctx); err != nil {
		return err
	}
	ctx.Exit(0)
	return nil
}

// helpRow is a line of short help: flags that are told together, and what they are for.
type helpRow struct {
	flags string // names, parted by spaces
	value string
	words string
}

type helpGroup struct {
	title string
	rows  []helpRow
}

// mapExamples stand first in the help of map.
var mapExamples = []string{
	"acreband map --elevation ridge.tif --parcel lot.kml --out job7",
	"acreband map --elevation tiles --parcel lot.kml --cover medium \\",
	"    --staging 36.3420,-84.2455 --site site.gpkg --out job7",
	"acreband map --elevation ridge.tif --parcel lot.kml --why 36.342,-84.2455",
}

// mapHelp has every flag of map once, in the order of a job.
var mapHelp = []helpGroup{
	{"What is read", []helpRow{
		{"parcel", "FILE", "boundary; each shape in it is a lot"},
		{"elevation", "PATH", "bare earth: rasters, folder, address, service;"},
		{"", "", "left out: the best public elevation for the lots"},
		{"site", "FILE|auto", "what is on the ground, drawn or OpenStreetMap"},
		{"staging", "FILE|LAT,LON", "where the trailer unloads"},
		{"travel", "FILE", "ground beside the parcel to drive over"},
		{"surface growth", "PATH, auto", "first surface, for the height of growth"},
		{"fleet", "FILE", "your machines, rates and costs: acreband fleet"},
		{"id layer repair", "", "field of lots' names; layer; mending, such as 5%"},
		{"elevation-unit surface-unit nodata", "", "overrule what rasters say"},
		{"elevation-crs surface-crs parcel-crs site-crs", "CRS", "overrule what files say"},
		{"site-kind water-setback", "", "field of kinds; strip along mapped water"},
		{"services allow-remote", "", "list of services; let files name addresses"},
		{"offline cache cache-limit", "", "ask no server; where answers are kept, and bound"},
		{"surveyed oldest-survey", "", "date of measuring; warn where it is before"},
	}},
	{"The ground", []helpRow{
		{"ground", "dry|wet", "zones by the limits for that ground"},
		{"slope-only", "", "ask nothing but slope"},
		{"slope-scale", "cell|machine", "take single cells, or what a machine stands on"},
		{"water-is-ground", "", "leave dead-flat water to the machines"},
		{"simplify", "3ft", "fewer corners between zones, never unsafe ground"},
		{"boundary", "QUALITY", "surveyed, county or sketched: acres near the line"},
	}},
	{"The crew", []helpRow{
		{"cover", "CLASS", "open, light, medium or heavy: for days and prices"},
		{"bring", "KEY,...", "these machines come, and no others"},
		{"worth", "DOLLARS", "what each extra acre is worth to you"},
		{"days budget", "N, DOLLARS", "at most so many working days; such a price"},
		{"view", "plan|limits", "whose ground it is, or what each could work"},
	}},
	{"How sure", []helpRow{
		{"elevation-error", "LENGTH|KIND", "of a height: 0.15m, or lidar-ql2 and such"},
		{"cautious", "", "draw zones inside the limits by that error"},
		{"margin", "3%", "points to take off every limit: acreband readings"},
	}},
	{"What is written", []helpRow{
		{"out", "DIR", "folder; - is GeoJSON to standard output"},
		{"write", "WHAT,...", "geojson png sheet pdf map kml kmz gpx gpkg bands"},
		{"", "", "slope csv"},
		{"for paper date", "", "office or crew; letter or a4; text to print"},
		{"emergency help-at", "", "whom to call, and where help is to come"},
		{"units", "us|metric", "acres and feet, or hectares and meters: screen to files"},
		{"why", "LAT,LON", "explain one spot in words"},
		{"details", "", "tables, sources, rates and cautions on the screen"},
	}},
}

// printHelp prints the short help of map, and of other commands what kong prints.
func printHelp(o kong.HelpOptions, ctx *kong.Context) error {
	node := ctx.Selected()
	if node == nil || node.Name != "map" {
		return kong.DefaultHelpPrinter(o, ctx)
	}
	return writeHelp(ctx.Stdout, node.Help, mapExamples, mapHelp)
}

func writeHelp(w io.Writer, what string, examples []string, groups []helpGroup) error {
	lines := slices.Concat([]string{what, ""}, examples)
	for _, g := range groups {
		lines = append(lines, "", g.title)
		for _, r := range g.rows {
			lines = append(lines, r.lines()...)
		}
	}
	lines = append(lines, "", "acreband map --help-all tells all that each flag takes, and its default.")
	_, err := fmt.Fprintln(w, strings.Join(lines, "\n"))
	return err
}

// helpColumn is where the words of a row begin.
const helpColumn = 30

// lines are the flags with their value, and the words beside them, or below where the flags
// are too long.
func (r helpRow) lines() []string {
	var names []string
	for _, f := range strings.Fields(r.flags) {
		names = append(names, "--"+f)
	}
	left := "  " + strings.TrimSpace(strings.Join(names, " ")+" "+r.value)
	if len(left) > helpColumn-2 && r.words != "" {
		return []string{left, strings.Repeat(" ", helpColumn) + r.words}
	}
	return []string{strings.TrimRight(fmt.Sprintf("%-*s%s", helpColumn, left, r.words), " ")}
}
