package batch

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"

	"github.com/airbusgeo/godal"
)

// packageDate stands in a GeoPackage as the day of its last change. It is always the
// same, so that the same zones give the same bytes.
const packageDate = "2000-01-01T00:00:00Z"

// writePackage writes zones.gpkg: a layer zones in WGS84, a feature for each zone
// with the properties of zones.geojson as its fields. GDAL makes it from the features
// as a text sequence (RFC 8142 without the separators), which it reads piece by piece.
func (a *assembly) writePackage() (err error) {
	if err := godal.RegisterVector("GeoJSONSeq", godal.GeoPackage); err != nil {
		return err
	}
	sequence, err := createWhole(filepath.Join(a.dir, "zones.geojsons"))
	if err != nil {
		return err
	}
	defer sequence.discard()
	for f, err := range a.features() {
		if err != nil {
			return err
		}
		if len(f) > 0 {
			_, _ = sequence.Write(append(bytes.ReplaceAll(f, []byte(",\n"), []byte("\n")), '\n')) // errors stay until it is closed
		}
	}
	if err := sequence.close(); err != nil {
		return err
	}
	w := &whole{path: filepath.Join(a.dir, packageName)}
	a.files = append(a.files, w)
	part := partOf(w.path)
	if err := os.Remove(part); err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	// GDAL asks for it when a file is closed too, so an option of one call will not do.
	if err := os.Setenv("OGR_CURRENT_DATE", packageDate); err != nil {
		return err
	}
	from, err := godal.Open(partOf(sequence.path), godal.VectorOnly(), godal.Drivers("GeoJSONSeq"), godal.DriverOpenOption("DATE_AS_STRING=YES"), godal.ErrLogger(onlyFailures))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, from.Close(godal.ErrLogger(onlyFailures))) }()
	to, err := from.VectorTranslate(part, []string{"-nln", "zones", "-nlt", "MULTIPOLYGON", "-a_srs", "OGC:CRS84"}, godal.GeoPackage, godal.ErrLogger(onlyFailures))
	if err != nil {
		return err
	}
	if err := to.Close(godal.ErrLogger(onlyFailures)); err != nil {
		return err
	}
	w.file, err = os.OpenFile(part, os.O_RDWR, 0)
	return err
}

// onlyFailures lets GDAL's warnings pass.
func onlyFailures(ec godal.ErrorCategory, _ int, msg string) error {
	if ec >= godal.CE_Failure {
		return errors.New(strings.TrimSpace(msg))
	}
	return nil
}
