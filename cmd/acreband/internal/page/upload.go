package page

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"mime/multipart"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/acreband/acreband/terrain/measure"
)

// upload is a file as somebody dropped it, under a name that is safe to write.
type upload struct {
	name string
	data []byte
}

// shapefileParts may be dropped together, unzipped.
var shapefileParts = []string{".shp", ".shx", ".dbf", ".prj", ".cpg"}

// extensions are those that a single file may have, with what it then is.
var extensions = []string{".geojson", ".json", ".kml", ".kmz", ".gpx", ".gpkg", ".zip"}

// formatsTaken says what may be dropped, as people read it.
const formatsTaken = "GeoJSON, KML, KMZ, GPX, GeoPackage, or a Shapefile (zipped, or its .shp, .shx, .dbf and .prj together)"

// Names of the parts of a request that files lie in.
const (
	boundaryPart = "boundary"
	drawnPart    = "drawn" // a boundary drawn on the page: its line is sketched
	filePart     = "file"  // whatever was dropped
	usesPart     = "files" // what was dropped before: a list of [Use]
	unitsPart    = "units" // us or metric
)

// received is a request for a new map.
type received struct {
	names []string // of the files of its boundary, made plain
	part  string   // that they lie in
	uses  []Use    // files that were dropped before
	units string   // that the map is told in, as a setting has them
}

// mostBoundaryFiles may lie in one request: a few boundaries, each in the files of a shapefile.
const mostBoundaryFiles = 20

// unitsIn reads the system of units that a part of a request names.
func (s *Server) unitsIn(p io.Reader) (measure.Units, error) {
	word, err := io.ReadAll(io.LimitReader(p, mostName))
	if err != nil {
		return measure.US, badBody(err)
	}
	return s.config.unitsNamed(string(word))
}

// receive puts the files of a multipart request into a folder, the i-th under the name i.
// The body is bounded as a whole and never in memory.
func (s *Server) receive(w http.ResponseWriter, r *http.Request, folder string) (b received, err error) {
	r.Body = http.MaxBytesReader(w, r.Body, s.config.Limits.UploadBytes+forHeaders)
	parts, err := r.MultipartReader()
	if err != nil {
		return b, refuse(http.StatusUnsupportedMediaType, "send the boundary as a form (multipart/form-data)")
	}
	for {
		p, err := parts.NextPart()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return b, badBody(err)
		}
		name := p.FormName()
		if name == usesPart {
			if err := json.NewDecoder(io.LimitReader(p, forHeaders)).Decode(&b.uses); err != nil {
				return b, badBody(err)
			}
			continue
		}
		if name == unitsPart {
			told, err := s.unitsIn(p)
			if err != nil {
				return b, err
			}
			b.units = told.String()
			continue
		}
		if name != boundaryPart && name != drawnPart || b.part != "" && name != b.part {
			return b, refuse(http.StatusBadRequest, "this form has no field %q", name)
		}
		b.part = name
		if len(b.names) == mostBoundaryFiles {
			return b, refuse(http.StatusRequestEntityTooLarge, "drop no more than a few boundaries at a time: %s", formatsTaken)
		}
		if err := keepPart(p, filepath.Join(folder, strconv.Itoa(len(b.names)))); err != nil {
			return b, err
		}
		b.names = append(b.names, plainName(p.FileName()))
	}
	if len(b.names) == 0 {
		return b, refuse(http.StatusBadRequest, "no file came with it")
	}
	return b, nil
}

// forHeaders is how many bytes those of parts may take beside the files.
const forHeaders = 64 << 10

// badBody tells a body that is too long from one that broke off.
func badBody(err error) error {
	if errors.As(err, new(*http.MaxBytesError)) {
		return err
	}
	return refuse(http.StatusBadRequest, "what was sent cannot be read: %v", err)
}

// keepPart writes a part to a file.
func keepPart(p *multipart.Part, path string) error {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(f, p)
	if closed := f.Close(); err == nil {
		err = closed
	}
	if errors.As(err, new(*fs.PathError)) {
		return err // the disk's, not the client's
	}
	if err != nil {
		return badBody(err)
	}
	return nil
}

// plainName keeps of a file's name what is safe to write and to read: its last
// element, letters, digits, spaces and a few signs, and no more than 80 of them.
func plainName(name string) string {
	name = name[strings.LastIndexAny(name, `/\`)+1:]
	stem, ext := strings.TrimSuffix(name, filepath.Ext(name)), strings.ToLower(filepath.Ext(name))
	stem = strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune(" _-+()", r) {
			return r
		}
		return '-'
	}, strings.ToValidUTF8(stem, "-"))
	stem = strings.TrimSpace(stem)
	if letters := []rune(stem); len(letters) > 80 {
		stem = string(letters[:80])
	}
	if stem == "" || strings.Trim(stem, "-") == "" {
		stem = "boundary"
	}
	if !slices.Contains(extensions, ext) && !slices.Contains(shapefileParts, ext) && !slices.Contains(rasterExtensions, ext) && !slices.Contains(besideRaster, ext) {
		ext = ".bin" // told by its content, if it is known at all
	}
	return stem + ext
}

// clean checks files before anything else reads them, and returns the one to open.
func clean(files []upload, l Limits) (main string, err error) {
	if len(files) > 1 {
		return cleanShapefile(files)
	}
	f := &files[0]
	head := bytes.TrimLeft(bytes.TrimPrefix(f.data, []byte("\xef\xbb\xbf")), " \t\r\n")
	switch {
	case len(head) == 0:
		err = errors.New("it is empty")
	case filepath.Ext(f.name) == ".shp":
		err = errors.New("a .shp alone is no boundary: drop its .shx, .dbf and .prj with it, or zip them")
	case bytes.HasPrefix(head, []byte("<")):
		err = checkXML(f.data, l.XMLDepth)
	case bytes.HasPrefix(f.data, []byte("PK")):
		f.data, err = repack(f.data, l)
	}
	return f.name, err
}

func cleanShapefile(files []upload) (main string, err error) {
	stem := strings.TrimSuffix(files[0].name, filepath.Ext(files[0].name))
	seen := map[string]bool{}
	for i := range files {
		ext := filepath.Ext(files[i].name)
		if !slices.Contains(shapefileParts, ext) || files[i].name != stem+ext || seen[ext] {
			return "", errors.New("several files were dropped that are not one shapefile: drop one boundary at a time")
		}
		seen[ext] = true
	}
	if !seen[".shp"] {
		return "", errors.New("its .shp is missing: drop .shp, .shx, .dbf and .prj together")
	}
	return stem + ".shp", nil
}
