package page

import (
	"context"
	"io"
	"net/http"
	"path/filepath"

	"github.com/acreband/acreband/terrain/raster"
)

// reliefOf is relief of a raster that was dropped, which a boundary may be drawn on. It is opened once, and
// closed with the file.
func (s *Server) reliefOf(d *dropped) (*backdrop, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.backdrop != nil {
		return d.backdrop, nil
	}
	if !d.takes(asSurface) {
		return nil, refuse(http.StatusNotFound, "%s is no elevation", d.seen.Name)
	}
	o := raster.Options{Unit: d.unit, Surface: true, Bare: true} // it is only looked at
	b, err := newBackdrop([]string{filepath.Join(d.folder, d.seen.Name)}, o)
	if err != nil {
		return nil, unusable(err)
	}
	d.backdrop = b
	return b, nil
}

// fileStart answers with where a raster that was dropped lies.
func (s *Server) fileStart(w http.ResponseWriter, r *http.Request) {
	ctx, cancel := context.WithTimeout(r.Context(), s.config.Limits.Time)
	defer cancel()
	p, err := on(ctx, s.threads, func() (plane, error) {
		d, done, err := s.tray.use(r.PathValue("id"))
		if err != nil {
			return plane{}, err
		}
		defer done()
		b, err := s.reliefOf(d)
		if err != nil {
			return plane{}, err
		}
		return planeFor(b.plane, b.east, b.north), nil
	})
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.reply(w, r, struct {
		Plane plane `json:"plane"`
	}{p})
}

// fileRelief answers with a view of it.
func (s *Server) fileRelief(w http.ResponseWriter, r *http.Request) {
	s.send(w, r, func(ctx context.Context, to io.Writer) (string, error) {
		d, done, err := s.tray.use(r.PathValue("id"))
		if err != nil {
			return "", err
		}
		defer done()
		b, err := s.reliefOf(d)
		if err != nil {
			return "", err
		}
		v, err := s.viewOf(r, b.plane)
		if err != nil {
			return "", err
		}
		return pngType, b.paint(ctx, to, v)
	})
}
