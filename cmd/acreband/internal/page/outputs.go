package page

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"net/http"
	"os"

	"github.com/acreband/acreband/zoning/sheet"
	"github.com/acreband/acreband/zoning/write"
)

// Output is a file of a result that may be taken away.
type Output struct {
	Name  string // of the file, and in addresses
	Type  string // its media type
	Words string // what it is, for people
	Write func(io.Writer, *Result) error
	// Has reports whether a result has it; nil where every one does.
	Has func(*Result) bool
}

// Outputs are the files that a page offers unless it is told others.
func Outputs() []Output {
	return []Output{
		{Name: "zones.png", Type: "image/png", Words: "picture of the map, to print or send", Write: func(w io.Writer, r *Result) error {
			return sheet.Picture(w, r.Ground.Elevation.Grid, r.Map)
		}},
		{Name: "zones.geojson", Type: "application/geo+json", Words: "outlines of the zones with their areas, for other map programs", Write: func(w io.Writer, r *Result) error {
			return write.GeoJSON(w, r.Map)
		}},
	}
}

// drawn is what was drawn on a page, as a site file.
var drawn = Output{Name: siteFile, Type: "application/geo+json", Words: "the staging and no-go drawn here, for the next map",
	Write: func(w io.Writer, r *Result) error {
		_, err := w.Write(r.Site)
		return err
	},
	Has: func(r *Result) bool { return len(r.Site) > 0 }}

func (o Output) of(r *Result) bool { return o.Has == nil || o.Has(r) }

// file answers with one of the outputs.
func (s *Server) file(w http.ResponseWriter, r *http.Request) {
	name := r.PathValue("name")
	s.send(w, r, func(ctx context.Context, to io.Writer) (media string, err error) {
		g, done, err := s.shelf.use(r.PathValue("id"))
		if err != nil {
			return "", err
		}
		defer done()
		result := g.latest()
		// Before reading, as whoever maps the ground anew does.
		at, err := s.atWork.take(ctx, int64(cells(result.Ground)))
		if err != nil {
			return "", err
		}
		defer at.end()
		g.reading.RLock()
		defer g.reading.RUnlock()
		for _, o := range s.config.Outputs {
			if o.Name != name || !o.of(result) {
				continue
			}
			w.Header().Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", o.Name))
			return o.Type, o.Write(to, result)
		}
		return "", refuse(http.StatusNotFound, "this map has no file %q", name)
	})
}

// send writes a body on one of the threads, and then out. It is whole before the first
// byte goes out, and lies on disk until then: who takes it may take it slowly.
func (s *Server) send(w http.ResponseWriter, r *http.Request, write func(context.Context, io.Writer) (media string, err error)) {
	ctx, cancel := context.WithTimeout(r.Context(), s.config.Limits.Time)
	defer cancel()
	body, err := on(ctx, s.threads, func() (*spooled, error) { return s.spool(ctx, write) })
	if err != nil {
		w.Header().Del("Content-Disposition")
		s.fail(w, r, err)
		return
	}
	defer body.discard()
	w.Header().Set("Content-Type", body.media)
	_, _ = io.Copy(w, body.file) // a client that left reads nothing
}

// spooled is a body on disk.
type spooled struct {
	file  *os.File
	media string
}

// spool writes a body to a file. Where the context is done before it is whole, so that nobody
// takes it, it is thrown away.
func (s *Server) spool(ctx context.Context, write func(context.Context, io.Writer) (media string, err error)) (*spooled, error) {
	f, err := os.CreateTemp(s.dir, "answer-")
	if err != nil {
		return nil, err
	}
	// Nothing is left of it however the request ends, where the system lets files go
	// that are open; elsewhere it goes when it is discarded.
	_ = os.Remove(f.Name())
	b := &spooled{file: f}
	whole := false
	defer func() {
		if !whole {
			b.discard()
		}
	}()
	buffered := bufio.NewWriterSize(f, 1<<16)
	if b.media, err = write(ctx, buffered); err != nil {
		return nil, err
	}
	if err := buffered.Flush(); err != nil {
		return nil, err
	}
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return nil, err
	}
	whole = ctx.Err() == nil
	return b, ctx.Err()
}

func (b *spooled) discard() {
	_ = b.file.Close()
	_ = os.Remove(b.file.Name())
}

// explained is what a spot of a map is told in.
type explained struct {
	Words []string `json:"words"`
}

// spot explains one spot of a map in words.
func (s *Server) spot(w http.ResponseWriter, r *http.Request) {
	var at [2]float64
	if err := numbers(r, map[string]*float64{"lon": &at[0], "lat": &at[1]}); err != nil {
		s.fail(w, r, err)
		return
	}
	ofRead(s, w, r, func(result *Result) (explained, error) {
		words, err := result.Ground.Why(result.Map, at)
		if err != nil {
			return explained{}, unusable(err)
		}
		return explained{words}, nil
	})
}
