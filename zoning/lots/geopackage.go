package lots

import (
	"bytes"
	"errors"
	"os"
	"strings"

	"github.com/airbusgeo/godal"
)

// packageDate stands in a GeoPackage as the day of its last change. It is always the
// same, so that the same zones give the same bytes.
const packageDate = "2000-01-01T00:00:00Z"

// writePackage writes zones.gpkg: a layer zones in WGS84, a feature for each zone
// with the properties of zones.geojson as its fields, and where there are hazards a
// layer of those. GDAL makes it from the features as text sequences (RFC 8142 without
// the separators), which it reads piece by piece.
func (a *assembly) writePackage(part string) error {
	if err := godal.RegisterVector("GeoJSONSeq", godal.GeoPackage); err != nil {
		return err
	}
	// GDAL asks for it when a file is closed too, so an option of one call will not do.
	if err := os.Setenv("OGR_CURRENT_DATE", packageDate); err != nil {
		return err
	}
	err := a.writeLayer(part, func(zones, _ []byte) []byte { return zones }, "-nln", "zones", "-nlt", "MULTIPOLYGON")
	if err == nil {
		err = a.writeLayer(part, func(_, hazards []byte) []byte { return hazards }, "-nln", "hazards", "-nlt", "GEOMETRY", "-update")
	}
	if err != nil {
		return err
	}
	if _, err := os.Stat(part); errors.Is(err, os.ErrNotExist) { // no lot was mapped
		none, err := godal.CreateVector(godal.GeoPackage, part, godal.ErrLogger(onlyFailures))
		if err != nil {
			return err
		}
		return none.Close(godal.ErrLogger(onlyFailures))
	}
	return nil
}

// sequenceName is the text that a layer is made from, which does not stay.
const sequenceName = "layer.geojsons"

// writeLayer writes a layer of one of the parts of records, unless there is nothing
// of it.
func (a *assembly) writeLayer(path string, pick func(zones, hazards []byte) []byte, switches ...string) (err error) {
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
		if features := pick(zones, hazards); len(features) > 0 {
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
	to, err := from.VectorTranslate(path, append(switches, "-a_srs", "OGC:CRS84"), godal.GeoPackage, godal.ErrLogger(onlyFailures))
	if err != nil {
		return err
	}
	return to.Close(godal.ErrLogger(onlyFailures))
}

// onlyFailures lets GDAL's warnings pass.
func onlyFailures(ec godal.ErrorCategory, _ int, msg string) error {
	if ec >= godal.CE_Failure {
		return errors.New(strings.TrimSpace(msg))
	}
	return nil
}
