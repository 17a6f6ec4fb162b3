package page

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"
)

// packed are the files that a zip may hold for a boundary: those of a shapefile, and
// KML. Nothing else is handed on.
var packed = []string{".shp", ".shx", ".dbf", ".prj", ".cpg", ".kml"}

// repack makes a new archive of what a boundary needs of one. The files in it are
// unpacked here, counted as they really are rather than as the archive says, and
// stored; so what reads the new one meets no compression, no odd names, and nothing
// that this did not see.
func repack(archive []byte, l Limits) ([]byte, error) {
	in, err := zip.NewReader(bytes.NewReader(archive), int64(len(archive)))
	if err != nil {
		return nil, fmt.Errorf("it is a damaged zip file (%v): zip it again", err)
	}
	if len(in.File) > l.ArchiveFiles {
		return nil, fmt.Errorf("it holds %d files; at most %d are taken: zip the boundary by itself", len(in.File), l.ArchiveFiles)
	}
	var out bytes.Buffer
	to := zip.NewWriter(&out)
	left := l.UnpackedBytes
	seen := map[string]bool{}
	for _, f := range in.File {
		ext := strings.ToLower(path.Ext(f.Name))
		if !slices.Contains(packed, ext) || strings.HasPrefix(f.Name, "__MACOSX/") || strings.HasPrefix(path.Base(f.Name), ".") {
			continue
		}
		if err := checkMember(f, seen); err != nil {
			return nil, err
		}
		data, err := unpack(f, left)
		if err != nil {
			return nil, err
		}
		left -= int64(len(data))
		if ext == ".kml" {
			if err := checkXML(data, l.XMLDepth); err != nil {
				return nil, fmt.Errorf("%s in it: %w", f.Name, err)
			}
		}
		w, err := to.CreateHeader(&zip.FileHeader{Name: f.Name, Method: zip.Store})
		if err != nil {
			return nil, err
		}
		if _, err := w.Write(data); err != nil {
			return nil, err
		}
	}
	if len(seen) == 0 {
		return nil, errors.New("it is a zip file without a shapefile or KML in it: zip the .shp with its .shx, .dbf and .prj")
	}
	err = to.Close()
	return out.Bytes(), err
}

// checkMember refuses a file of an archive that is not plainly one.
func checkMember(f *zip.File, seen map[string]bool) error {
	switch name := strings.ToLower(f.Name); {
	case !fs.ValidPath(f.Name) || strings.ContainsAny(f.Name, "\\\x00{}"):
		return fmt.Errorf("the name %q in it is not that of a file in a zip: zip it again", f.Name)
	case !f.Mode().IsRegular():
		return fmt.Errorf("%s in it is a link, not a file: zip the file itself", f.Name)
	case f.Flags&1 != 0:
		return fmt.Errorf("%s in it is locked by a password: zip it without one", f.Name)
	case seen[name]:
		return fmt.Errorf("it holds %s twice: zip it again", f.Name)
	default:
		seen[name] = true
	}
	return nil
}

func unpack(f *zip.File, left int64) ([]byte, error) {
	r, err := f.Open()
	if err != nil {
		return nil, fmt.Errorf("%s in it cannot be unpacked (%v): zip it again", f.Name, err)
	}
	defer r.Close()
	data, err := io.ReadAll(io.LimitReader(r, left+1))
	if err != nil {
		return nil, fmt.Errorf("%s in it cannot be unpacked (%v): zip it again", f.Name, err)
	}
	if int64(len(data)) > left {
		return nil, errors.New("it unpacks to more than is taken here: zip the boundary by itself")
	}
	return data, nil
}
