package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/read"
	"github.com/acreband/acreband/zoning/text"
)

type elevationCmd struct {
	Rasters []string `arg:"" name:"raster" help:"Elevation rasters, or zips of rasters."`
	Parcel  string   `placeholder:"FILE" help:"A boundary: say whether it lies on each raster."`
	elevationFlags
	ElevationError string `placeholder:"LENGTH|KIND" help:"Standard deviation of a height, or a kind of elevation: ${kinds}. Default: assumed from the cell."`
	Fleet          string `placeholder:"FILE" help:"Fleet whose limits the error is held against. Default: the built-in fleet."`
	ParcelCRS      string `name:"parcel-crs" placeholder:"CRS" help:"CRS of the boundary; overrules what it declares."`
}

func (c *elevationCmd) Run(s streams) error {
	options, err := c.options()
	if err != nil {
		return err
	}
	noise, err := readNoise(c.ElevationError)
	if err != nil {
		return usageError{err}
	}
	machines, err := readFleet(c.Fleet)
	if err != nil {
		return inputError{err}
	}
	names, err := raster.Expand(context.Background(), c.Rasters, options.Named...)
	if err != nil {
		return inputError{err}
	}
	var lots []zoning.Lot
	if c.Parcel != "" {
		if lots, err = read.Read(context.Background(), c.Parcel, read.Options{CRS: c.ParcelCRS}); err != nil {
			return inputError{err}
		}
	}
	var refused []error
	for i, name := range names {
		var words bytes.Buffer
		if i > 0 {
			fmt.Fprintln(&words)
		}
		if err := describe(&words, name, options, lots, machines, mapping.Options{Noise: noise}); err != nil {
			refused = append(refused, err)
		}
		if _, err := s.out.Write(words.Bytes()); err != nil {
			return err
		}
	}
	if err := errors.Join(refused...); err != nil {
		return inputError{err}
	}
	if c.Parcel != "" && len(names) > 1 {
		return c.shares(s.out, options, machines, mapping.Options{Noise: noise})
	}
	return nil
}

// shares tells which of several sources the boundary's ground would rest on.
func (c *elevationCmd) shares(out io.Writer, options raster.Options, fleet zoning.Fleet, o mapping.Options) error {
	ground, err := read.Prepare(context.Background(), read.Request{
		Elevation: c.Rasters, ElevationOptions: options, Parcel: c.Parcel, ParcelOptions: read.Options{CRS: c.ParcelCRS},
	})
	if err != nil {
		return inputError{err}
	}
	m, err := mapping.Map(context.Background(), ground, fleet, o)
	if err != nil {
		return inputError{err}
	}
	var words strings.Builder
	words.WriteString("\n")
	text.Fold(&words, "", c.Parcel+" would rest on", columns)
	for i, s := range m.Sources {
		acres := 0.0
		for _, lot := range m.Lots {
			acres += lot.Acres
		}
		if m.SourceAcres != nil {
			acres = m.SourceAcres[i]
		}
		text.Fold(&words, fmt.Sprintf("  %.1f acres  ", acres), s.Path, columns)
	}
	for _, w := range ground.Warnings {
		text.Fold(&words, "  warning  ", w, columns)
	}
	_, err = io.WriteString(out, words.String())
	return err
}

// describe writes what a raster is, and returns why it is refused.
func describe(out *bytes.Buffer, name string, options raster.Options, lots []zoning.Lot, fleet zoning.Fleet, o mapping.Options) error {
	var words strings.Builder
	text.Fold(&words, "", name, columns)
	r, source, err := raster.Examine(context.Background(), name, options)
	line := func(what, format string, a ...any) {
		text.Fold(&words, fmt.Sprintf("  %-*s  ", aspectWidth, what), fmt.Sprintf(format, a...), columns)
	}
	describeSource(line, source)
	if r != nil {
		defer r.Close()
		err = errors.Join(err, describeGround(line, r, lots), describeWorth(line, r, lots, fleet, o))
	}
	for _, a := range source.Assumed {
		line("assumed", "%s", a)
	}
	for _, w := range source.Warnings {
		line("warning", "%s", w)
	}
	if err != nil {
		line("refused", "%s", strings.TrimPrefix(err.Error(), name+": "))
	}
	out.WriteString(words.String())
	return err
}

// aspectWidth is how many characters the widest word takes for what is told of a raster.
const aspectWidth = len("cell on the ground")

func describeSource(line func(what, format string, a ...any), s terrain.Source) {
	if s.Cols > 0 {
		line("cells", "%d columns × %d rows of %s", s.Cols, s.Rows, s.ValueType)
	}
	if s.CRS != "" {
		line("CRS", "%s, %s", s.CRS, s.CRSFrom)
	}
	if s.Datum != "" {
		heights := s.Heights
		if heights == "" {
			heights = "not declared"
		}
		line("datum", "%s; of heights: %s", s.Datum, heights)
	}
	if s.Surveyed != "" {
		line("surveyed", "%s, by its metadata", s.Surveyed)
	}
	if s.CellM[0] > 0 {
		line("cell on the ground", "%.4g × %.4g m (%.4g × %.4g ft)", s.CellM[0], s.CellM[1], s.CellM[0]/0.3048, s.CellM[1]/0.3048)
	}
	if s.Unit != "" {
		line("unit of heights", "%s, %s", s.Unit, s.UnitFrom)
	}
	if s.Scale != 0 && (s.Scale != 1 || s.Offset != 0) {
		line("stored values", "× %g + %g", s.Scale, s.Offset)
	}
	if s.Cols > 0 {
		nodata := s.NoData
		if nodata == "" {
			nodata = "none declared"
		}
		line("no-data value", "%s", nodata)
	}
	for _, tag := range s.Tags {
		line("tag", "%s (not relied on)", tag)
	}
}

func describeGround(line func(what, format string, a ...any), r *raster.Raster, lots []zoning.Lot) error {
	c := r.Corners()
	line("corners", "%s to %s", text.Degrees(c[0]), text.Degrees(c[1]))
	if k, ok := r.GroundPerMap(); ok && math.Abs(k-1) > 0.004 {
		line("map scale", "a meter of its map is %.4f m on the ground; slopes and acres are taken on the ground", k)
	}
	sample, err := r.Sample(context.Background())
	if err != nil {
		return err
	}
	if sample.Cells > sample.Voids {
		line("heights", "%.1f to %.1f m (%.0f to %.0f ft)", sample.LowestM, sample.HighestM, sample.LowestM/0.3048, sample.HighestM/0.3048)
	}
	line("without elevation", "%.1f%% of %d cells looked at", 100*float64(sample.Voids)/float64(sample.Cells), sample.Cells)
	if sample.NotGround > 0 {
		line("not ground", "%d cells hold heights that no ground has: is the unit right, or is a no-data value not declared?", sample.NotGround)
	}
	for _, lot := range lots {
		switch on, err := r.Touches(lot.Ground); {
		case lot.Err != nil:
			line("lot", "%s: %v", lot.Lot, lot.Err)
		case err != nil:
			return err
		case on:
			line("lot", "%s lies on it, at least in part", lot.Lot)
		default:
			line("lot", "%s lies %.1f km off it", lot.Lot, r.DistanceKM(lot.Ground[0].Bound().Center()))
		}
	}
	return nil
}

// describeWorth says what slopes from the raster are worth, by the ground of the
// lots that lie on it, or else by up to 1024 × 1024 cells in its middle.
func describeWorth(line func(what, format string, a ...any), r *raster.Raster, lots []zoning.Lot, fleet zoning.Fleet, o mapping.Options) error {
	var ground orb.MultiPolygon
	for _, lot := range lots {
		if on, err := r.Touches(lot.Ground); err == nil && on {
			ground = append(ground, lot.Ground...)
		}
	}
	if ground == nil {
		middle, err := r.MiddleGround(1024)
		if err != nil {
			return err
		}
		ground = middle
	}
	e, err := raster.Read(context.Background(), []*raster.Raster{r}, ground)
	if err != nil {
		return err
	}
	w, err := mapping.WorthOf(e, fleet, o)
	if err != nil {
		return err
	}
	line("slope", "%s", w.Scale)
	line("error of a height", "%s", w.Error)
	line("error of a slope", "%.2g points of percent", w.SlopeErrorPct)
	for _, words := range w.SureWords(fleet) {
		line("limit", "%s", words)
	}
	for _, words := range w.Warnings {
		line("warning", "%s", words)
	}
	return nil
}
