package page

import (
	"context"
	"net/http"
)

// ofRead answers with what is told of a map that is kept, on one of the threads.
func ofRead[T any](s *Server, w http.ResponseWriter, r *http.Request, tell func(*Result) (T, error)) {
	ofGround(s, w, r, func(_ context.Context, g *ground) (T, error) {
		g.reading.RLock()
		defer g.reading.RUnlock()
		return tell(g.latest())
	})
}

// ofKept answers with what is made of a map that is kept, on one of the threads. The map is
// not changed meanwhile.
func ofKept[T any](s *Server, w http.ResponseWriter, r *http.Request, make func(context.Context, *ground) (T, error)) {
	ofGround(s, w, r, func(ctx context.Context, g *ground) (v T, err error) {
		g.changing.Lock()
		defer g.changing.Unlock()
		at, err := s.atWork.take(ctx, int64(cells(g.latest().Ground)))
		if err != nil {
			return v, err
		}
		defer at.end()
		g.reading.RLock()
		defer g.reading.RUnlock()
		return make(ctx, g)
	})
}

// ofGround answers with what comes of the ground of a request, on one of the threads.
func ofGround[T any](s *Server, w http.ResponseWriter, r *http.Request, of func(context.Context, *ground) (T, error)) {
	ctx, cancel := context.WithTimeout(r.Context(), s.config.Limits.Time)
	defer cancel()
	v, err := on(ctx, s.threads, func() (v T, err error) {
		g, done, err := s.shelf.use(r.PathValue("id"))
		if err != nil {
			return v, err
		}
		defer done()
		return of(ctx, g)
	})
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.reply(w, r, v)
}
