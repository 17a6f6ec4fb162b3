package main

import (
	"errors"
	"flag"
	"fmt"
	"log"
	"strconv"
	"strings"

	"github.com/airbusgeo/godal"
)

// formats of boundaries that box writes, by the end of the file's name.
var formats = map[string]godal.DriverName{
	".geojson": godal.GeoJSON, ".kml": "KML", ".shp.zip": godal.Shapefile, ".gpkg": godal.GeoPackage,
}

// writeBox is the script command box: a rectangle given in cells of a raster,
// counted from its north-west, as a boundary. GeoJSON and KML are in degrees,
// others in the raster's own CRS unless -crs names one.
func writeBox() {
	log.SetFlags(0)
	crs := flag.String("crs", "", "CRS of the file")
	gridCRS := flag.String("grid", "", "CRS of a raster that declares none")
	name := flag.String("lot", "Box", "name of the lot")
	flag.Parse()
	if flag.NArg() != 6 {
		log.Fatal("usage: box FLAGS RASTER C0 R0 C1 R1 FILE")
	}
	var cells [4]float64
	for i, text := range flag.Args()[1:5] {
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			log.Fatal("box: ", err)
		}
		cells[i] = v
	}
	if err := saveBox(flag.Arg(0), *gridCRS, cells, *name, *crs, flag.Arg(5)); err != nil {
		log.Fatal("box: ", err)
	}
}

func saveBox(raster, gridCRS string, cells [4]float64, name, crs, file string) error {
	if err := errors.Join(godal.RegisterRaster(godal.GTiff),
		godal.RegisterVector(godal.Memory, godal.GeoJSON, godal.Shapefile, godal.GeoPackage, "KML")); err != nil {
		return err
	}
	ds, err := godal.Open(raster)
	if err != nil {
		return err
	}
	defer ds.Close()
	g, err := ds.GeoTransform()
	if err != nil {
		return err
	}
	if gridCRS == "" {
		gridCRS = ds.Projection()
	}
	sr, err := godal.NewSpatialRef(gridCRS)
	if err != nil {
		return err
	}
	defer sr.Close()

	at := func(c, r float64) string {
		return fmt.Sprintf("%.12g %.12g", g[0]+c*g[1]+r*g[2], g[3]+c*g[4]+r*g[5])
	}
	corners := []string{at(cells[0], cells[1]), at(cells[0], cells[3]), at(cells[2], cells[3]), at(cells[2], cells[1]), at(cells[0], cells[1])}
	shape, err := godal.NewGeometryFromWKT("POLYGON (("+strings.Join(corners, ",")+"))", sr)
	if err != nil {
		return err
	}
	defer shape.Close()
	mem, err := godal.CreateVector(godal.Memory, "")
	if err != nil {
		return err
	}
	defer mem.Close()
	layer, err := mem.CreateLayer("lots", sr, godal.GTPolygon, godal.NewFieldDefinition("name", godal.FTString))
	if err != nil {
		return err
	}
	feature, err := layer.NewFeature(shape)
	if err != nil {
		return err
	}
	defer feature.Close()
	if err := feature.SetFieldValue(feature.Fields()["name"], name); err != nil {
		return err
	}
	if err := layer.UpdateFeature(feature); err != nil {
		return err
	}
	return translate(mem, crs, file)
}

func translate(mem *godal.Dataset, crs, file string) error {
	for end, driver := range formats {
		if !strings.HasSuffix(file, end) {
			continue
		}
		if crs == "" && (end == ".geojson" || end == ".kml") {
			crs = "EPSG:4326"
		}
		var switches []string
		if crs != "" {
			switches = []string{"-t_srs", crs}
		}
		out, err := mem.VectorTranslate(file, switches, driver)
		if err != nil {
			return err
		}
		return out.Close()
	}
	return fmt.Errorf("%s: no format known here", file)
}
