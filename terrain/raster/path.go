package raster

import (
	"archive/zip"
	"fmt"
	"os"
	"path"
	"slices"
	"strings"
)

// rasterEndings are the file names taken for rasters in a zip.
var rasterEndings = []string{".tif", ".tiff", ".img", ".asc", ".dem", ".dt0", ".dt1", ".dt2", ".hgt", ".bil", ".flt", ".vrt", ".nc", ".jp2", ".gpkg", ".grd"}

// Expand lists the rasters that paths name: a zip stands for those in it.
func Expand(paths []string) ([]string, error) {
	var out []string
	for _, p := range paths {
		if !strings.EqualFold(path.Ext(p), ".zip") {
			if _, err := os.Stat(p); err != nil && !strings.HasPrefix(p, "/vsi") && !strings.Contains(strings.ToLower(p), ".zip/") {
				return nil, fmt.Errorf("%s: no such raster: %w", p, err)
			}
			out = append(out, p)
			continue
		}
		found, err := inZip(p)
		if err != nil {
			return nil, err
		}
		out = append(out, found...)
	}
	return out, nil
}

func inZip(name string) ([]string, error) {
	z, err := zip.OpenReader(name)
	if err != nil {
		return nil, fmt.Errorf("%s: not a zip that can be read: %w", name, err)
	}
	defer z.Close()
	var found, others []string
	for _, f := range z.File {
		switch {
		case f.FileInfo().IsDir(), strings.HasPrefix(path.Base(f.Name), "._"): // a Mac's twin of a file
		case slices.Contains(rasterEndings, strings.ToLower(path.Ext(f.Name))):
			found = append(found, name+"/"+f.Name)
		default:
			others = append(others, f.Name)
		}
	}
	if len(found)+len(others) == 0 {
		return nil, fmt.Errorf("%s: the zip is empty", name)
	}
	if len(found) == 0 {
		return nil, fmt.Errorf("%s: the zip holds no raster (it holds %s)", name, shorten(strings.Join(others, ", ")))
	}
	slices.Sort(found)
	return found, nil
}

// vsi is the name by which GDAL knows a path.
func vsi(p string) string {
	if strings.Contains(strings.ToLower(p), ".zip/") && !strings.HasPrefix(p, "/vsi") {
		return "/vsizip/" + p
	}
	return p
}
