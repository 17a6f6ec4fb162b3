package page

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"

	"github.com/acreband/acreband/terrain/raster"
)

// loaded is a file that was dropped, as the page lists it.
type loaded struct {
	ID     string   `json:"id"`
	Name   string   `json:"name"`
	Bytes  int64    `json:"bytes"`
	SHA256 string   `json:"sha256"` // of its files, one after the other
	Roles  []string `json:"roles"`  // that it may have, the likeliest first
	Sure   bool     `json:"sure"`   // the first of them is it
	Words  string   `json:"words"`

	Raster  bool `json:"raster"`
	Assumed bool `json:"assumed"` // its heights are taken to be meters, and may be told to be feet
}

// newFile takes a file, of whatever sort, and answers with what it is.
func (s *Server) newFile(w http.ResponseWriter, r *http.Request) {
	most := s.config.Limits.FileBytes + forHeaders
	if r.ContentLength >= 0 {
		most = min(most, r.ContentLength)
	}
	admitted, err := s.tray.admit(2 * most) // with what is made of it
	if err != nil {
		s.fail(w, r, err)
		return
	}
	defer admitted()
	folder, err := s.folder()
	if err != nil {
		s.fail(w, r, err)
		return
	}
	kept := false
	defer func() {
		if !kept {
			_ = os.RemoveAll(folder)
		}
	}()
	q, l, err := s.receiveFile(w, r, folder)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	ctx, cancel := context.WithTimeout(r.Context(), s.config.Limits.Time)
	defer cancel()
	read, err := on(ctx, s.threads, func() (reading, error) { return s.ask(ctx, q) })
	if err != nil {
		s.fail(w, r, err)
		return
	}
	d := &dropped{folder: folder, seen: read.Seen, unit: q.Unit}
	bytes, err := bytesIn(folder)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	admitted()
	s.tray.add(d, bytes)
	kept = true
	l.ID, l.Roles, l.Sure, l.Words = d.id, d.seen.Roles, d.seen.Sure, d.seen.Words
	l.Raster, l.Assumed = d.takes(asSurface), d.seen.Assumed
	s.reply(w, r, l)
}

// receiveFile puts what was dropped into a folder, the i-th file under the name i, with what
// was said of it before.
func (s *Server) receiveFile(w http.ResponseWriter, r *http.Request, folder string) (q question, l loaded, err error) {
	q = question{Folder: folder, Look: true, Units: s.config.Judge.Units}
	r.Body = http.MaxBytesReader(w, r.Body, s.config.Limits.FileBytes+forHeaders)
	parts, err := r.MultipartReader()
	if err != nil {
		return q, l, refuse(http.StatusUnsupportedMediaType, "send the file as a form (multipart/form-data)")
	}
	digest := sha256.New()
	for {
		p, err := parts.NextPart()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return q, l, badBody(err)
		}
		switch name := p.FormName(); {
		case name == "crs" || name == "unit":
			text, err := io.ReadAll(io.LimitReader(p, mostName))
			if err != nil {
				return q, l, badBody(err)
			}
			if err := q.say(name, plainText(string(text), mostName)); err != nil {
				return q, l, err
			}
		case name == unitsPart:
			if q.Units, err = s.unitsIn(p); err != nil {
				return q, l, err
			}
		case name != filePart:
			return q, l, refuse(http.StatusBadRequest, "this form has no field %q", name)
		case len(q.Names) == len(shapefileParts):
			return q, l, refuse(http.StatusRequestEntityTooLarge, "one file at a time, with what belongs to it")
		default:
			path := filepath.Join(folder, strconv.Itoa(len(q.Names)))
			if err := keepPart(p, path); err != nil {
				return q, l, err
			}
			n, err := digestOf(digest, path)
			if err != nil {
				return q, l, err
			}
			l.Bytes += n
			q.Names = append(q.Names, plainName(p.FileName()))
		}
	}
	if len(q.Names) == 0 {
		return q, l, refuse(http.StatusBadRequest, "no file came with it")
	}
	i, _ := rasterAmong(folder, len(q.Names))
	q.raster = i >= 0
	if !q.raster && l.Bytes > s.config.Limits.UploadBytes {
		return q, l, refuse(http.StatusRequestEntityTooLarge, "%s: it is larger than %d MB, the most that is taken of shapes", q.Names[0], s.config.Limits.UploadBytes>>20)
	}
	l.Name, l.SHA256 = q.Names[max(i, 0)], hex.EncodeToString(digest.Sum(nil))
	return q, l, nil
}

// givenCRS matches a coordinate system by its number, with that of its heights. Other ways to
// name one may name files and addresses.
var givenCRS = regexp.MustCompile(`^(?i:EPSG:)?(\d{4,6}(?:\+\d{4,6})?)$`)

// say takes what who dropped a raster says of it.
func (q *question) say(name, value string) error {
	switch {
	case value == "":
	case name == "unit":
		if err := raster.CheckUnit(value); err != nil {
			return atField("file-unit", "%v", err)
		}
		q.Unit = value
	default:
		m := givenCRS.FindStringSubmatch(value)
		if m == nil {
			return atField("file-crs", "%q is no coordinate system by its number; write one such as EPSG:26916", value)
		}
		q.CRS = "EPSG:" + m[1]
	}
	return nil
}

func digestOf(to io.Writer, path string) (int64, error) {
	f, err := os.Open(path)
	if err != nil {
		return 0, err
	}
	defer f.Close()
	return io.Copy(to, f)
}

// bytesIn is what the files in a folder take.
func bytesIn(folder string) (n int64, err error) {
	err = filepath.WalkDir(folder, func(_ string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		info, err := d.Info()
		if err == nil {
			n += info.Size()
		}
		return err
	})
	return n, err
}

// removeFile forgets a file; ?left=1 says that its page is left, which may only be loaded anew.
func (s *Server) removeFile(w http.ResponseWriter, r *http.Request) {
	s.tray.remove(r.PathValue("id"), r.URL.Query().Get("left") == "1")
	w.WriteHeader(http.StatusNoContent)
}

// takes reports whether a file may have a role.
func (d *dropped) takes(role string) bool { return slices.Contains(d.seen.Roles, role) }
