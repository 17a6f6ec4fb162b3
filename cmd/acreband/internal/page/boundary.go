package page

import (
	"bytes"
	"context"
	"encoding/gob"
	"errors"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"time"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/child"
	"github.com/acreband/acreband/zoning/site"
)

// readLots has a reader read the lots of an uploaded boundary.
func (s *Server) readLots(ctx context.Context, folder string, names []string, told measure.Units) (boundary, error) {
	r, err := s.ask(ctx, question{Folder: folder, Names: names, Units: told})
	if err != nil {
		return boundary{}, err
	}
	if len(r.Errs) != len(r.Lots) || len(r.Also) != len(r.Lots) {
		return boundary{}, fmt.Errorf("the reader gave %d lots, %d errors and %d of the other units", len(r.Lots), len(r.Errs), len(r.Also))
	}
	for i, wrong := range r.Errs {
		r.Lots[i].Err = errorOf(wrong)
	}
	return boundary{name: r.Name, lots: r.Lots, told: told, also: r.Also}, nil
}

// siteFile is the name under which what was drawn on the page is read and taken away.
const siteFile = "site.geojson"

// readSite has a reader read what was drawn on the page, as the command line reads a file
// of it.
func (s *Server) readSite(ctx context.Context, text []byte, told measure.Units) (features []site.Feature, err error) {
	if len(text) == 0 {
		return nil, nil
	}
	folder, err := s.folder()
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(folder)
	if err := os.WriteFile(filepath.Join(folder, "0"), text, 0o600); err != nil {
		return nil, err
	}
	r, err := s.ask(ctx, question{Folder: folder, Names: []string{siteFile}, Site: true, Units: told})
	return r.Features, err
}

// uploadPrefix begins the names of folders for files of one request.
const uploadPrefix = "upload-"

// folder makes such a folder, a private one.
func (s *Server) folder() (string, error) { return os.MkdirTemp(s.dir, uploadPrefix) } // 0700

// ask has a process of its own read an upload, so that whatever the files do to it ends
// this request and nothing else.
func (s *Server) ask(ctx context.Context, q question) (r reading, err error) {
	q.Parcels, q.Limits = s.config.Parcels, s.config.Limits
	var job bytes.Buffer
	if err := gob.NewEncoder(&job).Encode(q); err != nil {
		return r, err
	}
	cmd := s.config.Child()
	for _, name := range []string{"TMPDIR", "CPL_TMPDIR", "SQLITE_TMPDIR"} { // what it leaves goes with the folder
		cmd.Env = append(cmd.Environ(), name+"="+q.Folder)
	}
	answer, err := child.Ask(ctx, cmd, child.Question{Job: job.Bytes(), Most: mostAnswer, Limit: q.limit()})
	if ctx.Err() != nil {
		return r, ctx.Err()
	}
	if err != nil {
		s.log.Error("a reader ended", "file", q.Names[0], "of", err.Error())
		return r, unusable(fmt.Errorf("%s: %s", q.Names[0], q.endOf(err)))
	}
	if err := gob.NewDecoder(bytes.NewReader(answer)).Decode(&r); err != nil {
		return r, fmt.Errorf("what a reader answered cannot be read: %w", err)
	}
	if r.Refused != "" {
		return r, &refusal{status: http.StatusUnprocessableEntity, words: r.Refused, field: r.Field}
	}
	return r, nil
}

// limit is how long reading may take: a raster is read whole.
func (q question) limit() time.Duration {
	if q.Look && q.raster {
		return q.Limits.Time
	}
	return q.Limits.ReadTime
}

// endOf says in words what a file did to its reader.
func (q question) endOf(err error) string {
	cure := "save the outline alone, as GeoJSON or KML, and drop that"
	if q.raster {
		cure = "cut out the ground around the lots, save it as GeoTIFF, and drop that"
	}
	switch {
	case errors.Is(err, child.ErrTookTooLong):
		return fmt.Sprintf("reading it took longer than %v and was stopped: %s", q.limit(), cure)
	case errors.Is(err, child.ErrMemory):
		return fmt.Sprintf("reading it takes more memory than the %d MB allowed and was stopped: %s", q.Limits.ReaderBytes>>20, cure)
	}
	return "reading it ended the process that did: it is damaged, or not what it says; " + cure
}

// within reports whether all features lie in the box around the lots, for which
// elevation was read anyhow.
func within(features []site.Feature, lots []zoning.Lot) bool {
	var box orb.Bound
	for i, lot := range lots {
		if b := lot.Ground.Bound(); i == 0 {
			box = b
		} else {
			box = box.Union(b)
		}
	}
	for _, f := range features {
		b := f.Geometry.Bound()
		if !box.Contains(b.Min) || !box.Contains(b.Max) {
			return false
		}
	}
	return true
}
