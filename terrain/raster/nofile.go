package raster

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"
)

// unopened says why a raster cannot be opened. errors.Is finds fs.ErrNotExist where its
// file, or the zip it lies in, is not there: GDAL tells that in words only.
func unopened(path string, err error) error {
	if !isRemote(path) && !strings.HasPrefix(path, "/vsi") && !isSubdataset(path) {
		file := path
		if at := strings.Index(strings.ToLower(path), ".zip/"); at >= 0 {
			file = path[:at+len(".zip")]
		}
		if _, e := os.Stat(file); errors.Is(e, fs.ErrNotExist) {
			err = noFile{}
		}
	}
	return fmt.Errorf("%s: no elevation raster that GDAL can read: %w", path, err)
}

// noFile is [fs.ErrNotExist] in words for people.
type noFile struct{}

func (noFile) Error() string   { return "there is no such file; check the path" }
func (noFile) Is(e error) bool { return e == fs.ErrNotExist }
