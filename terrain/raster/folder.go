package raster

import (
	"context"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync/atomic"

	"github.com/acreband/acreband/terrain/beside"
)

// file is a raster, or a zip that may hold some, in a folder.
type file struct {
	folder  string
	rel     string // from the folder, with slashes
	size    int64  // with the files beside it that share its name
	modTime int64  // the latest of those, in nanoseconds since 1970
}

func (f file) path() string {
	return strings.TrimSuffix(f.folder, "/") + string(filepath.Separator) + filepath.FromSlash(f.rel)
}

func (f file) isZip() bool { return strings.EqualFold(path.Ext(f.rel), ".zip") }

// rasters lists what the file holds.
func (f file) rasters() ([]string, error) {
	if f.isZip() {
		return inZip(f.path())
	}
	return []string{f.path()}, nil
}

func isRasterName(name string) bool {
	return slices.Contains(rasterEndings, strings.ToLower(filepath.Ext(name))) || strings.EqualFold(filepath.Ext(name), ".zip")
}

// inFolder lists the rasters and zips in a folder and below it, sorted. What
// lies beside a raster and shares its name, such as its .prj, counts to its
// size and time.
func inFolder(ctx context.Context, folder string) ([]file, error) {
	names, err := namesIn(ctx, folder)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", folder, err)
	}
	all := measured(folder, names)
	beside := map[string][]file{} // by name without ending
	var out []file
	for _, f := range all {
		switch {
		case f.modTime == 0: // a link that leads nowhere, or to a folder
		case isRasterName(f.rel) && !strings.EqualFold(path.Ext(f.rel), ".vrt"):
			out = append(out, f)
		default:
			beside[stem(f.rel)] = append(beside[stem(f.rel)], f)
		}
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("%s: the folder holds no raster (%s)", folder, strings.Join(rasterEndings, " "))
	}
	if len(beside) > 0 {
		for i := range out {
			for _, b := range beside[stem(out[i].rel)] {
				out[i].size += b.size
				out[i].modTime = max(out[i].modTime, b.modTime)
			}
		}
	}
	return out, nil
}

// namesIn lists what is no folder in a folder and below it, by paths from it,
// hidden ones aside.
func namesIn(ctx context.Context, folder string) ([]string, error) {
	var names []string
	err := fs.WalkDir(os.DirFS(folder), ".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case ctx.Err() != nil:
			return ctx.Err()
		case name != "." && strings.HasPrefix(d.Name(), "."):
			if d.IsDir() {
				return fs.SkipDir
			}
		case !d.IsDir():
			names = append(names, name)
		}
		return nil
	})
	return names, err
}

// measured asks for the size and time of files, through links; both are zero
// where there is no file.
func measured(folder string, names []string) []file {
	out := make([]file, len(names))
	const most = 256
	var all beside.Group
	var next atomic.Int64
	for range min(runtime.GOMAXPROCS(0), len(names)/most+1) {
		all.Go(func() {
			for from := int(next.Add(most)) - most; from < len(names); from = int(next.Add(most)) - most {
				for i := from; i < min(from+most, len(names)); i++ {
					out[i] = file{folder: folder, rel: names[i]}
					if info, err := os.Stat(out[i].path()); err == nil && !info.IsDir() {
						out[i].size, out[i].modTime = info.Size(), info.ModTime().UnixNano()
					}
				}
			}
		})
	}
	all.Wait()
	return out
}

// stem is a name without its ending, nor that of what GDAL keeps beside it.
func stem(rel string) string {
	for _, ending := range []string{".aux.xml", ".ovr", ".msk"} {
		if n := len(rel) - len(ending); n > 0 && strings.EqualFold(rel[n:], ending) {
			rel = rel[:n]
		}
	}
	return strings.TrimSuffix(rel, path.Ext(rel))
}
