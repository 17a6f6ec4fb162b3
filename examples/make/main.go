// Command make writes the files of the sites in examples/site, examples/creek and examples/subdivision: their
// elevation, and what is drawn on it. They are invented from end to end; the same program
// gives the same ground.
package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"log"
	"math"
	"os"
	"path/filepath"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
)

// Where the sites are put: hills that suit them, UTM zone 17 north on NAD83, heights in
// metres by NAVD88.
const (
	horizontal = "EPSG:26917"
	crs        = "EPSG:26917+5703"
	westM      = 377_000
	southM     = 4_115_000
)

// site is one of the examples: the heights of its raster, in cells of a metre, row by row
// from the north-west, and what is drawn on it, by file.
type site struct {
	name       string
	cols, rows int
	heights    func() []float32
	files      []file
}

type file struct {
	name   string
	shapes []drawn
}

var sites = []site{
	{"site", siteCols, siteRows, siteHeights, []file{
		{"boundary", boundary}, {"site", features}, {"staging", staging}, {"travel", travel}}},
	{"creek", creekCols, creekRows, creekHeights, []file{
		{"boundary", creekBoundary}, {"site", creekFeatures}, {"staging", creekStaging}, {"travel", creekTravel}}},
	{"subdivision", subdivisionCols, subdivisionRows, subdivisionHeights, []file{{"lots", subdivisionLots}}},
}

func main() {
	log.SetFlags(0)
	dir := "examples"
	if len(os.Args) > 1 {
		dir = os.Args[1]
	}
	for _, s := range sites {
		if err := s.write(filepath.Join(dir, s.name)); err != nil {
			log.Fatal("make: ", err)
		}
	}
}

func (s site) write(dir string) error {
	if err := godal.RegisterRaster(godal.GTiff); err != nil {
		return err
	}
	if err := s.writeElevation(filepath.Join(dir, "elevation.tif")); err != nil {
		return err
	}
	for _, f := range s.files {
		if err := writeShapes(filepath.Join(dir, f.name+".geojson"), f.shapes); err != nil {
			return err
		}
	}
	return nil
}

func (s site) writeElevation(path string) error {
	out, err := godal.Create(godal.GTiff, path, 1, godal.Float32, s.cols, s.rows,
		godal.CreationOption("COMPRESS=DEFLATE", "PREDICTOR=3", "ZLEVEL=9", "TILED=YES", "GEOTIFF_VERSION=1.1"))
	if err != nil {
		return err
	}
	defer out.Close()
	sr, err := godal.NewSpatialRef(crs)
	if err != nil {
		return err
	}
	defer sr.Close()
	if err := out.SetSpatialRef(sr); err != nil {
		return err
	}
	if err := out.SetGeoTransform([6]float64{westM, 1, 0, southM + float64(s.rows), 0, -1}); err != nil {
		return err
	}
	return out.Write(0, 0, s.heights(), s.cols, s.rows)
}

// writeShapes writes GeoJSON, a feature to a line.
func writeShapes(path string, shapes []drawn) error {
	var b bytes.Buffer
	b.WriteString("{\"type\": \"FeatureCollection\", \"features\": [")
	for i, s := range shapes {
		shape, err := degrees(s.shape)
		if err != nil {
			return err
		}
		says, err := json.Marshal(s.says)
		if err != nil {
			return err
		}
		comma := ","
		if i == 0 {
			comma = ""
		}
		coordinates, err := json.Marshal(shape)
		if err != nil {
			return err
		}
		fmt.Fprintf(&b, "%s\n{\"type\": \"Feature\", \"properties\": %s, \"geometry\": {\"type\": %q, \"coordinates\": %s}}", comma, says, shape.GeoJSONType(), coordinates)
	}
	b.WriteString("\n]}\n")
	return os.WriteFile(path, b.Bytes(), 0o666)
}

// degrees takes a shape from metres on the site to longitude and latitude, with 8
// decimals, about a millimetre.
func degrees(g orb.Geometry) (orb.Geometry, error) {
	from, err := godal.NewSpatialRef(horizontal)
	if err != nil {
		return nil, err
	}
	defer from.Close()
	to, err := godal.NewSpatialRef("EPSG:4326")
	if err != nil {
		return nil, err
	}
	defer to.Close()
	transform, err := godal.NewTransform(from, to)
	if err != nil {
		return nil, err
	}
	defer transform.Close()
	var failed error
	point := func(p orb.Point) orb.Point {
		x, y := []float64{westM + p[0]}, []float64{southM + p[1]}
		if err := transform.TransformEx(x, y, nil, nil); err != nil {
			failed = err
		}
		return orb.Point{math.Round(x[0]*1e8) / 1e8, math.Round(y[0]*1e8) / 1e8}
	}
	points := func(ps []orb.Point) []orb.Point {
		out := make([]orb.Point, len(ps))
		for i, p := range ps {
			out[i] = point(p)
		}
		return out
	}
	var out orb.Geometry
	switch g := g.(type) {
	case orb.Point:
		out = point(g)
	case orb.MultiPoint:
		out = orb.MultiPoint(points(g))
	case orb.LineString:
		out = orb.LineString(points(g))
	case orb.Polygon:
		out = orb.Polygon{orb.Ring(points(g[0]))}
	default:
		return nil, fmt.Errorf("%s is not drawn here", g.GeoJSONType())
	}
	return out, failed
}
