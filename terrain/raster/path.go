package raster

import (
	"archive/zip"
	"context"
	"fmt"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"github.com/acreband/acreband/terrain/find"
)

// rasterEndings are the file names taken for rasters in a zip or a folder.
var rasterEndings = []string{".tif", ".tiff", ".img", ".asc", ".dem", ".dt0", ".dt1", ".dt2", ".hgt", ".bil", ".flt", ".vrt", ".nc", ".jp2", ".gpkg", ".grd"}

// Expand lists the rasters that arguments name, in their order:
//
//   - a file, one inside a zip (tiles.zip/ridge.tif), or a VRT: itself
//   - a zip: the rasters in it
//   - a folder: the rasters in it and in the folders below it, VRTs aside, whose
//     tiles most often lie beside them
//   - a pattern such as tiles/*.tif: what it matches
//   - a tile index, a file of outlines with a field "location": what it lists,
//     its paths seen from where the index lies
//   - an http or https address: itself
//   - the key of a [find.Source] that is a file: its address
//
// With no named sources given, those of [find.BuiltIn] are known. Once the context is done
// it returns the context's error.
func Expand(ctx context.Context, args []string, known ...find.Source) ([]string, error) {
	var out []string
	for _, arg := range args {
		f, err := look(ctx, arg, known)
		if err != nil {
			return nil, err
		}
		out = append(out, f.rasters...)
		var held []string
		var why error
		for _, file := range f.files {
			names, err := file.rasters()
			if err != nil {
				why = err // a zip of something else, which nobody named
			}
			held = append(held, names...)
		}
		if len(held) == 0 && why != nil {
			return nil, why
		}
		out = append(out, held...)
		for _, tile := range f.tiles {
			out = append(out, tile.path)
		}
	}
	return out, nil
}

// found is what one argument names.
type found struct {
	rasters []string   // to be opened, come what may
	files   []file     // on disk, to be looked through
	folder  string     // where files lie
	whole   bool       // files are all there are in the folder
	tiles   []outlined // from a tile index
}

func look(ctx context.Context, arg string, known []find.Source) (found, error) {
	if err := ctx.Err(); err != nil {
		return found{}, err
	}
	if len(known) == 0 && find.IsKey(arg) {
		known = find.BuiltIn()
	}
	if s, ok := find.Named(known, arg); ok {
		if s.Kind != find.KindFile {
			return found{}, fmt.Errorf("%s: the service is searched for the ground of lots, and is no raster itself; give it where a boundary is given too", arg)
		}
		return found{rasters: []string{s.Address}}, nil
	}
	if isRemote(arg) || strings.HasPrefix(arg, "/vsi") {
		return found{rasters: []string{arg}}, nil
	}
	info, err := os.Stat(arg)
	switch {
	case err == nil && info.IsDir():
		files, err := inFolder(ctx, arg)
		return found{files: files, folder: arg, whole: true}, err
	case err == nil && strings.EqualFold(filepath.Ext(arg), ".zip"):
		names, err := inZip(arg)
		return found{rasters: names}, err
	case err == nil:
		tiles, isIndex, err := readTileIndex(arg)
		if isIndex || err != nil {
			return found{tiles: tiles}, err
		}
		return found{rasters: []string{arg}}, nil
	case strings.ContainsAny(arg, "*?["):
		return matching(arg)
	case strings.Contains(strings.ToLower(arg), ".zip/"):
		return found{rasters: []string{arg}}, nil
	case strings.EqualFold(filepath.Ext(arg), ".zip"):
		_, err := inZip(arg)
		return found{}, err
	case isSubdataset(arg):
		return found{rasters: []string{arg}}, nil
	}
	if len(known) == 0 {
		known = find.BuiltIn()
	}
	return found{}, fmt.Errorf("%s: no such raster, nor an elevation service known by name (those are %s): %w", arg, find.Keys(known), err)
}

// isSubdataset tells GDAL's way to name a raster in a file of several, such as
// GPKG:two.gpkg:south.
func isSubdataset(arg string) bool {
	format, rest, ok := strings.Cut(arg, ":")
	return ok && len(format) > 1 && format == strings.ToUpper(format) && rest != ""
}

func matching(pattern string) (found, error) {
	names, err := filepath.Glob(pattern)
	if err != nil {
		return found{}, fmt.Errorf("%s: not a pattern: %w", pattern, err)
	}
	f := found{folder: filepath.Dir(pattern)}
	for strings.ContainsAny(f.folder, "*?[") {
		f.folder = filepath.Dir(f.folder)
	}
	for _, name := range names {
		rel, err := filepath.Rel(f.folder, name)
		if err != nil {
			return found{}, err
		}
		info, err := os.Stat(name)
		if err != nil {
			return found{}, err
		}
		if !info.IsDir() && isRasterName(name) {
			f.files = append(f.files, file{folder: f.folder, rel: filepath.ToSlash(rel), size: info.Size(), modTime: info.ModTime().UnixNano()})
		}
	}
	if len(f.files) == 0 {
		return found{}, fmt.Errorf("%s: no raster matches it", pattern)
	}
	return f, nil
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
func (o Options) vsi(p string) string {
	if isRemote(p) {
		return o.remoteName(strings.TrimPrefix(p, curlPrefix))
	}
	if strings.Contains(strings.ToLower(p), ".zip/") && !strings.HasPrefix(p, "/vsi") {
		return "/vsizip/" + p
	}
	return p
}
