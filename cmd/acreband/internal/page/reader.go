package page

import (
	"bytes"
	"context"
	"encoding/gob"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/child"
	"github.com/acreband/acreband/zoning/read"
	"github.com/acreband/acreband/zoning/site"
)

// question is what a reader is asked: the files of one upload.
type question struct {
	Folder  string   // that they lie in, the i-th of them under the name i
	Names   []string // as they were dropped, made plain
	Site    bool     // they are what was drawn, not a boundary
	Units   measure.Units
	Parcels read.Options
	Limits  Limits

	Look      bool   // at what they are
	raster    bool   // whoever asks takes them for a raster
	Unit, CRS string // of a raster, as who dropped it says
	Role      string // that File, looked at before, is read for; "" is none
	File      string // in the folder
}

// reading is what a reader answers: plain values, and nothing that it was refused for.
type reading struct {
	Refused  string // why the upload cannot be used; "" where it can
	Name     string // of the file among several
	Lots     []zoning.Lot
	Errs     []string   // of the lots, "" for those that have none
	Also     []lotWords // of the lots, in the other system of units
	Features []site.Feature
	Seen     seen
	Field    string // of the page that a refusal is about; "" is none
}

func init() {
	for _, g := range []orb.Geometry{orb.Point{}, orb.MultiPoint{}, orb.LineString{}, orb.MultiLineString{}, orb.Polygon{}, orb.MultiPolygon{}} {
		gob.Register(g)
	}
}

// mostAnswer is how many bytes a reader may answer with: twice what the corners and lots of
// [DefaultLimits] take.
const mostAnswer = 16 << 20

// mostQuestion is how many bytes it is asked with.
const mostQuestion = 1 << 20

// ServeReader is the process that [Config.Child] starts: it reads the files of one upload, as it
// is told from in, within [Limits.ReaderBytes] and answers on out. It ends the
// process when in ends.
func ServeReader(in io.Reader, out io.Writer) error {
	return child.Answer(in, out, mostQuestion, func(job []byte) ([]byte, error) {
		var q question
		if err := gob.NewDecoder(bytes.NewReader(job)).Decode(&q); err != nil {
			return nil, fmt.Errorf("what to read is not told: %w", err)
		}
		if err := child.Bound(q.Limits.ReaderBytes, q.mostFile()); err != nil {
			return nil, err
		}
		return q.answer()
	})
}

// mostFile is how large a file may become that a reader writes.
func (q question) mostFile() int64 {
	if q.Look {
		return q.Limits.FileBytes
	}
	return 2 * max(q.Limits.UploadBytes, q.Limits.UnpackedBytes)
}

// answer reads the files and puts what they hold, or why they are refused, in a message.
func (q question) answer() ([]byte, error) {
	r, err := q.read()
	if errors.Is(err, read.ErrMemory) {
		return nil, err // whoever asked knows the limit
	}
	if err != nil {
		r = reading{Refused: elsewhere(elsewhere(err, filepath.Join(q.Folder, seenFolder)), q.Folder).Error(), Field: fieldOf(err)}
	}
	var b bytes.Buffer
	if err := gob.NewEncoder(&b).Encode(r); err != nil {
		return nil, err
	}
	if b.Len() > mostAnswer {
		b.Reset()
		refused := fmt.Sprintf("%s: it holds more names, notes and corners than the page takes: use the command line", r.Name)
		if err := gob.NewEncoder(&b).Encode(reading{Refused: refused}); err != nil {
			return nil, err
		}
	}
	return b.Bytes(), nil
}

func (q question) read() (r reading, err error) {
	switch {
	case q.Look:
		r.Seen, err = q.look()
		return r, err
	case q.Role != "":
		r.Features, err = q.readFor(q.Role, filepath.Join(q.Folder, q.File))
		return r, tooMany(q.File, err)
	}
	if r.Name, err = q.unpack(); err != nil {
		return r, fmt.Errorf("%s: %w", q.Names[0], err)
	}
	file := filepath.Join(q.Folder, r.Name)
	if q.Site {
		r.Features, err = read.ReadSite(context.Background(), file, read.SiteOptions{Most: q.Limits.Features, Units: q.Units})
		return r, tooMany(r.Name, err)
	}
	if r.Lots, r.Errs, err = q.lots(file, q.Units); err != nil {
		return r, tooMany(r.Name, err)
	}
	r.Also, err = q.alsoTold(file, r)
	return r, err
}

// lots reads the lots of a file, with their errors apart.
func (q question) lots(file string, told measure.Units) ([]zoning.Lot, []string, error) {
	options := q.Parcels
	options.MostLots, options.MostCorners, options.Units = q.Limits.Lots, q.Limits.Corners, told
	lots, err := read.Read(context.Background(), file, options)
	if err != nil {
		return nil, nil, err
	}
	errs := make([]string, len(lots))
	for i := range lots {
		if lot := &lots[i]; lot.Err != nil {
			errs[i], lot.Err = elsewhere(lot.Err, q.Folder).Error(), nil
		}
	}
	return lots, errs, nil
}

// alsoTold is what is told of lots that were read in the other system of units: the file is read
// again where there is anything.
func (q question) alsoTold(file string, r reading) ([]lotWords, error) {
	also := make([]lotWords, len(r.Lots))
	told := false
	for i, lot := range r.Lots {
		told = told || r.Errs[i] != "" || len(lot.Notes) > 0
	}
	if !told {
		return also, nil
	}
	lots, errs, err := q.lots(file, otherUnits(q.Units))
	if err != nil {
		return nil, err
	}
	if len(lots) != len(also) {
		return nil, fmt.Errorf("%s: it holds %d lots, and %d when read again", r.Name, len(also), len(lots))
	}
	for i, lot := range lots {
		also[i] = lotWords{lot.Notes, errs[i]}
	}
	return also, nil
}

// tooMany words the error of a file that holds more than the page takes, and leaves any other.
func tooMany(name string, err error) error {
	var many *read.TooMany
	if !errors.As(err, &many) {
		return err
	}
	return fmt.Errorf("%s: it holds more than %d %s; the page takes at most that many: give a part of it, or use the command line", name, many.Most, many.What)
}

// unpack checks the files before a driver sees them, puts them in the folder under their
// names, and returns the one to open.
func (q question) unpack() (main string, err error) {
	files := make([]upload, len(q.Names))
	for i, name := range q.Names {
		at := filepath.Join(q.Folder, strconv.Itoa(i))
		if files[i].data, err = os.ReadFile(at); err != nil {
			return "", err
		}
		if err := os.Remove(at); err != nil {
			return "", err
		}
		files[i].name = name
	}
	if main, err = clean(files, q.Limits); err != nil {
		return "", err
	}
	for _, f := range files {
		if err := os.WriteFile(filepath.Join(q.Folder, f.name), f.data, 0o600); err != nil {
			return "", err
		}
	}
	return main, nil
}

// elsewhere is an error without the folder that a file was read in.
func elsewhere(err error, folder string) error {
	return errors.New(strings.ReplaceAll(err.Error(), folder+string(os.PathSeparator), ""))
}
