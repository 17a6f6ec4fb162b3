package read

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"sync"

	"github.com/airbusgeo/godal"

	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning/osm"
)

// format is one kind of boundary file and the GDAL drivers that may open it.
type format struct {
	name    string
	drivers []string
	// drawing: the layers of a file are folders of one drawing, in which notes
	// and pictures lie between the boundaries.
	drawing bool
	// walked: boundaries are lines that someone went along with a receiver.
	walked bool
}

var (
	geoJSON    = format{name: "GeoJSON", drivers: []string{"GeoJSON"}}
	keyhole    = format{name: "KML", drivers: []string{"LIBKML", "KML"}, drawing: true}
	shapefile  = format{name: "Shapefile", drivers: []string{"ESRI Shapefile"}}
	gpx        = format{name: "GPX", drivers: []string{"GPX"}, drawing: true, walked: true}
	geoPackage = format{name: "GeoPackage", drivers: []string{"GPKG"}}
)

const formatsTaken = "shapes are read from GeoJSON, KML, KMZ, Shapefile (.shp, or zipped), GPX or GeoPackage"

// registerDrivers makes the drivers above known to GDAL, and no others. Which
// KML driver there is depends on how GDAL was built.
var registerDrivers = sync.OnceValue(func() error {
	if err := godal.RegisterVector(godal.GeoJSON, godal.Shapefile, godal.GeoPackage, "GPX"); err != nil {
		return err
	}
	errLib := godal.RegisterVector("LIBKML")
	errOld := godal.RegisterVector("KML")
	if errLib != nil && errOld != nil {
		return errors.New("this GDAL was built without KML")
	}
	return nil
})

// recognise tells a file's format by its content, and the name under which
// GDAL finds the data. layerName chooses among the shapefiles of a zip.
func recognise(file, layerName string) (f format, gdalName string, err error) {
	info, err := os.Stat(file)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return f, "", noFile{}
	case err != nil:
		return f, "", errors.Unwrap(err)
	case !info.Mode().IsRegular():
		return f, "", errors.New("is not a file: " + formatsTaken)
	case info.Size() == 0:
		return f, "", errors.New("is empty")
	}
	head, err := readHead(file)
	if err != nil {
		return f, "", err
	}
	if gdalName, err = filepath.Abs(file); err != nil {
		return f, "", err
	}
	body := bytes.TrimLeft(bytes.TrimPrefix(head, []byte("\xef\xbb\xbf")), " \t\r\n")
	switch {
	case bytes.HasPrefix(head, []byte("SQLite format 3\x00")):
		return geoPackage, gdalName, checkTables(gdalName)
	case bytes.HasPrefix(head, []byte("\x00\x00\x27\x0a")): // ESRI 1998, table 1: file code 9994
		if !strings.EqualFold(filepath.Ext(file), ".shp") {
			return f, "", errors.New("is part of a shapefile: give the .shp, with its .shx, .dbf and .prj beside it")
		}
		return shapefile, gdalName, nil
	case bytes.HasPrefix(head, []byte("PK\x03\x04")):
		return lookIntoZip(gdalName, layerName)
	case bytes.HasPrefix(body, []byte("{")):
		return geoJSON, gdalName, geoJSON.checkText(gdalName)
	case osm.IsExtract(head):
		return f, "", errors.New("is an OpenStreetMap extract, which draws no lot: give it as " + setting.Name("site"))
	case bytes.HasPrefix(body, []byte("<")) && bytes.Contains(body, []byte("<kml")):
		return keyhole, gdalName, keyhole.checkText(gdalName)
	case bytes.HasPrefix(body, []byte("<")) && bytes.Contains(body, []byte("<gpx")):
		return gpx, gdalName, gpx.checkText(gdalName)
	}
	return f, "", errors.New("is in no format known here: " + formatsTaken)
}

// noFile is [fs.ErrNotExist] in words for people.
type noFile struct{}

func (noFile) Error() string   { return "there is no such file" }
func (noFile) Is(e error) bool { return e == fs.ErrNotExist }

func readHead(file string) ([]byte, error) {
	fh, err := os.Open(file)
	if err != nil {
		return nil, errors.Unwrap(err)
	}
	defer fh.Close()
	head := make([]byte, 16<<10)
	n, err := io.ReadFull(fh, head)
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) {
		return nil, err
	}
	return head[:n], nil
}

// lookIntoZip tells a KMZ from a zipped shapefile.
func lookIntoZip(file, layerName string) (f format, gdalName string, err error) {
	z, err := zip.OpenReader(file)
	if err != nil {
		return f, "", fmt.Errorf("is a damaged zip file (%v)", err)
	}
	defer z.Close()
	var shps, layers, all []string
	var kml *zip.File // doc.kml by convention, else the first (OGC 12-007r2, 7.2)
	for _, e := range z.File {
		// Names that climb out of the archive, and what macOS adds, are no data.
		if !fs.ValidPath(e.Name) || strings.HasPrefix(e.Name, "__MACOSX/") || strings.HasPrefix(path.Base(e.Name), ".") {
			continue
		}
		all = append(all, path.Base(e.Name))
		switch strings.ToLower(path.Ext(e.Name)) {
		case ".kml":
			if kml == nil || strings.EqualFold(e.Name, "doc.kml") {
				kml = e
			}
		case ".shp":
			layers = append(layers, strings.TrimSuffix(path.Base(e.Name), path.Ext(e.Name)))
			if layerName == "" || strings.EqualFold(layerName, layers[len(layers)-1]) {
				shps = append(shps, e.Name)
			}
		}
	}
	switch {
	case len(shps) == 1:
		return shapefile, inZip(file, shps[0]), nil
	case len(shps) > 1:
		return f, "", severalLayers(layers)
	case len(layers) > 0:
		return f, "", noSuchLayer(layerName, layers)
	case kml != nil:
		return keyhole, inZip(file, kml.Name), keyhole.checkMemberText(kml)
	case len(all) > 5:
		all = append(all[:5], "...")
	}
	return f, "", fmt.Errorf("is a zip file without a shapefile or KML in it (it holds %s): %s", strings.Join(all, ", "), formatsTaken)
}

// inZip is the name by which GDAL opens a member of a zip file.
func inZip(file, member string) string { return "/vsizip/{" + file + "}/" + member }
