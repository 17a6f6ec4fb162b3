package lots

import (
	"bytes"
	"errors"
	"os"
	"strings"

	"github.com/airbusgeo/godal"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning/write"
)

// packageDate stands in a GeoPackage as the day of its last change. It is always the
// same, so that the same zones give the same bytes.
const packageDate = "2000-01-01T00:00:00Z"

// packageLayer is a layer of zones.gpkg.
type packageLayer struct {
	name       string
	shape      godal.GeometryType
	properties func(measure.Units) []write.Property
	pick       func(zones, hazards []byte) []byte // its features
}

var packageLayers = []packageLayer{
	{write.ZonesLayer, godal.GTMultiPolygon, write.ZoneProperties, func(zones, _ []byte) []byte { return zones }},
	{write.HazardsLayer, godal.GTUnknown, func(measure.Units) []write.Property { return write.LotHazardProperties() }, func(_, hazards []byte) []byte { return hazards }},
}

// fields are the columns of a layer in units, whose kinds are fixed: features without a value, or
// with whole numbers alone, would give GDAL others.
func (l packageLayer) fields(units measure.Units) (out []godal.CreateLayerOption) {
	kinds := map[write.Kind]godal.FieldType{write.Text: godal.FTString, write.Whole: godal.FTInt64, write.Number: godal.FTReal}
	for _, p := range l.properties(units) {
		if p.Kind != write.Nested {
			out = append(out, godal.NewFieldDefinition(p.Name, kinds[p.Kind]))
		}
	}
	return out
}

// writePackage writes zones.gpkg: a layer zones in WGS84, a feature for each zone
// with the properties of [write.ZoneProperties] that a table has a form for, and where there
// are hazards a layer of those. GDAL makes it from the features as text sequences (RFC 8142 without
// the separators), which it reads piece by piece.
func (a *assembly) writePackage(part string) error {
	if err := godal.RegisterVector("GeoJSONSeq", godal.GeoPackage); err != nil {
		return err
	}
	// GDAL asks for it when a file is closed too, so an option of one call will not do.
	if err := os.Setenv("OGR_CURRENT_DATE", packageDate); err != nil {
		return err
	}
	made, err := godal.CreateVector(godal.GeoPackage, part, godal.ErrLogger(onlyFailures))
	if err != nil {
		return err
	}
	if err := made.Close(godal.ErrLogger(onlyFailures)); err != nil {
		return err
	}
	for _, l := range packageLayers {
		if err := a.writeLayer(part, l); err != nil {
			return err
		}
	}
	return nil
}

// sequenceName is the text that a layer is made from, which does not stay.
const sequenceName = "layer.geojsons"

// writeLayer writes a layer of a file, unless there is nothing of it.
func (a *assembly) writeLayer(path string, l packageLayer) (err error) {
	sequence, err := a.files.Create(sequenceName)
	if err != nil {
		return err
	}
	defer a.files.Drop(sequenceName)
	empty := true
	for f, err := range a.records() {
		if err != nil {
			return err
		}
		zones, hazards, err := parts(f)
		if err != nil {
			return err
		}
		if features := l.pick(zones, hazards); len(features) > 0 {
			empty = false
			_, _ = sequence.Write(append(bytes.ReplaceAll(features, []byte(",\n"), []byte("\n")), '\n')) // errors stay until it is closed
		}
	}
	if err := sequence.Close(); err != nil || empty {
		return err
	}
	from, err := godal.Open("GeoJSONSeq:"+sequence.Path(), godal.VectorOnly(), godal.Drivers("GeoJSONSeq"), godal.DriverOpenOption("DATE_AS_STRING=YES"), godal.ErrLogger(onlyFailures))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, from.Close(godal.ErrLogger(onlyFailures))) }()
	if err := createLayer(path, l, a.units); err != nil {
		return err
	}
	to, err := from.VectorTranslate(path, []string{"-update", "-append", "-nln", l.name}, godal.GeoPackage, godal.ErrLogger(onlyFailures))
	if err != nil {
		return err
	}
	return to.Close(godal.ErrLogger(onlyFailures))
}

// createLayer adds an empty layer to a file, its columns called as in units.
func createLayer(path string, l packageLayer, units measure.Units) (err error) {
	to, err := godal.Open(path, godal.VectorOnly(), godal.Update(), godal.Drivers("GPKG"), godal.ErrLogger(onlyFailures))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, to.Close(godal.ErrLogger(onlyFailures))) }()
	wgs84, err := godal.NewSpatialRef("OGC:CRS84", godal.ErrLogger(onlyFailures))
	if err != nil {
		return err
	}
	defer wgs84.Close()
	_, err = to.CreateLayer(l.name, wgs84, l.shape, append(l.fields(units), godal.ErrLogger(onlyFailures))...)
	return err
}

// onlyFailures lets GDAL's warnings pass.
func onlyFailures(ec godal.ErrorCategory, _ int, msg string) error {
	if ec >= godal.CE_Failure {
		return errors.New(strings.TrimSpace(msg))
	}
	return nil
}
