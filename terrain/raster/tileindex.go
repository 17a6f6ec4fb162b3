package raster

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/airbusgeo/godal"
)

// locationField is the field of a tile index that names its rasters.
const locationField = "location"

// indexEndings are the file names looked into for a tile index.
var indexEndings = []string{".shp", ".gpkg", ".geojson", ".json", ".fgb", ".gml", ".sqlite", ".csv", ".dbf", ".tab", ".gdb"}

// outlined is a raster that a tile index lists.
type outlined struct {
	path string
	rim  [][2]float64 // around its outline's box, in longitude and latitude
}

// readTileIndex reads a tile index; isIndex is false where the file is none.
func readTileIndex(name string) (tiles []outlined, isIndex bool, err error) {
	if !slices.Contains(indexEndings, strings.ToLower(filepath.Ext(name))) {
		return nil, false, nil
	}
	registerAll()
	ds, err := godal.Open(name, godal.VectorOnly(), godal.SiblingFiles(), godal.ErrLogger(quiet),
		godal.ConfigOption(noCurl, "GML_DOWNLOAD_WFS_SCHEMA=NO", "GML_DOWNLOAD_SCHEMA=NO"))
	if err != nil {
		if isRasterName(name) {
			return nil, false, nil
		}
		return nil, false, fmt.Errorf("%s: no tile index that GDAL can read: %w", name, err)
	}
	defer func() { _ = ds.Close(godal.ErrLogger(quiet)) }() // opened for reading: nothing to lose
	for _, layer := range ds.Layers() {
		got, ok, err := tilesOf(layer, filepath.Dir(name))
		if err != nil {
			return nil, true, fmt.Errorf("%s: layer %s: %w", name, layer.Name(), err)
		}
		tiles, isIndex = append(tiles, got...), isIndex || ok
	}
	if !isIndex {
		if isRasterName(name) {
			return nil, false, nil
		}
		return nil, false, fmt.Errorf("%s: holds shapes, not heights: give a raster, a folder of rasters, or a tile index (no layer here has the field %q of one)", name, locationField)
	}
	if len(tiles) == 0 {
		return nil, true, fmt.Errorf("%s: the tile index lists no raster", name)
	}
	return tiles, true, nil
}

// tilesOf lists the tiles of a layer; ok is false where it has no field of
// locations.
func tilesOf(layer godal.Layer, folder string) (tiles []outlined, ok bool, err error) {
	n, err := layer.FeatureCount(godal.ErrLogger(quiet))
	if err != nil {
		return nil, false, err
	}
	var p *place
	if sr := layer.SpatialRef(); sr != nil {
		if wkt, err := sr.WKT(godal.ErrLogger(quiet)); err == nil && wkt != "" {
			if p, err = newPlace(wkt); err != nil {
				return nil, false, err
			}
			defer p.close()
		}
	}
	read := 0
	for f := layer.NextFeature(); f != nil; f = layer.NextFeature() {
		t, has, err := tileOf(f, p, folder)
		f.Close()
		if err != nil {
			return nil, true, fmt.Errorf("row %d: %w", read+1, err)
		}
		if !has {
			return nil, false, nil
		}
		tiles, read = append(tiles, t), read+1
	}
	if read != n {
		return nil, true, fmt.Errorf("%d of its %d rows could be read", read, n)
	}
	return tiles, read > 0, nil
}

func tileOf(f *godal.Feature, p *place, folder string) (t outlined, has bool, err error) {
	for name, field := range f.Fields() {
		if strings.EqualFold(name, locationField) {
			t.path, has = field.String(), true
		}
	}
	if !has {
		return t, false, nil
	}
	if t.path == "" {
		return t, true, fmt.Errorf("its %s is empty", locationField)
	}
	if !isRemote(t.path) && !filepath.IsAbs(t.path) {
		t.path = filepath.Join(folder, filepath.FromSlash(t.path))
	}
	g := f.Geometry()
	defer g.Close()
	box, err := g.Bounds(godal.ErrLogger(quiet))
	if err != nil || g.Empty() {
		return t, true, fmt.Errorf("%s: its outline is missing", t.path)
	}
	if p == nil && (box[0] < -360 || box[2] > 360 || box[1] < -90 || box[3] > 90) {
		return t, true, fmt.Errorf("%s: the tile index declares no CRS, and its outlines are not in degrees", t.path)
	}
	// Outlines are often rounded: some more ground costs only a look.
	dx, dy := 0.01*(box[2]-box[0]), 0.01*(box[3]-box[1])
	ring := rimOf(box[0]-dx, box[1]-dy, box[2]+dx, box[3]+dy)
	x, y := make([]float64, len(ring)), make([]float64, len(ring))
	for i, c := range ring {
		x[i], y[i] = c[0], c[1]
	}
	if p != nil {
		p.toWGS84(x, y)
	}
	for i := range ring {
		ring[i] = [2]float64{x[i], y[i]}
	}
	t.rim = ring
	return t, true, nil
}

// rimPieces is how many points each side of a footprint has.
const rimPieces = 8

// rimOf lists points around a rectangle.
func rimOf(x0, y0, x1, y1 float64) [][2]float64 {
	out := make([][2]float64, 0, 4*rimPieces)
	for i := range rimPieces {
		t := float64(i) / rimPieces
		out = append(out, [2]float64{x0 + t*(x1-x0), y0})
	}
	for i := range rimPieces {
		t := float64(i) / rimPieces
		out = append(out, [2]float64{x1, y0 + t*(y1-y0)})
	}
	for i := range rimPieces {
		t := float64(i) / rimPieces
		out = append(out, [2]float64{x1 - t*(x1-x0), y1})
	}
	for i := range rimPieces {
		t := float64(i) / rimPieces
		out = append(out, [2]float64{x0, y1 - t*(y1-y0)})
	}
	return out
}
