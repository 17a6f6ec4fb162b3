package page

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"sync"
	"time"

	"github.com/acreband/acreband/zoning/mapping"
)

// soon is how long work may take before its progress is told.
const soon = 400 * time.Millisecond

// tellEvery is how often it is told.
const tellEvery = 200 * time.Millisecond

// progressLine is a line of progress.
type progressLine struct {
	Step  string `json:"step"`
	Done  int    `json:"done"`
	Total int    `json:"total"`
}

// lines writes progress and an answer, a line each. Work that is soon done gets a
// plain answer with a status of its own.
type lines struct {
	w     http.ResponseWriter
	after time.Duration // before which nothing is told
	mu    sync.Mutex
	began time.Time
	said  time.Time // zero until the first line
	ended bool
}

func (l *lines) tell(step string, done, total int) {
	l.mu.Lock()
	defer l.mu.Unlock()
	now := time.Now()
	if l.ended || now.Sub(l.began) < l.after || now.Sub(l.said) < tellEvery {
		return
	}
	l.said = now
	l.write(progressLine{step, done, total})
}

// write sends a line at once.
func (l *lines) write(v any) {
	l.w.Header().Set("Content-Type", "application/x-ndjson")
	if json.NewEncoder(l.w).Encode(v) == nil {
		_ = http.NewResponseController(l.w).Flush() // a client that left reads nothing
	}
}

// end stops progress, and tells whether any was told.
func (l *lines) end() (told bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.ended = true
	return !l.said.IsZero()
}

// work makes or changes a map on one of the threads and answers with it. It stops
// when the client hangs up or time is over.
func (s *Server) work(w http.ResponseWriter, r *http.Request, do func(context.Context, mapping.Progress) (*answer, error)) {
	ctx, cancel := context.WithTimeout(r.Context(), s.config.Limits.Time)
	defer cancel()
	l := &lines{w: w, after: s.soon, began: time.Now()}
	a, err := on(ctx, s.threads, func() (*answer, error) { return do(ctx, l.tell) })
	told := l.end()
	switch {
	case err == nil:
		l.write(a)
	case !told:
		s.fail(w, r, err)
	default:
		_, words, field := s.toldError(err)
		if !errors.As(err, new(*refusal)) {
			s.log.Error("map failed", "path", r.URL.Path, "error", err)
		}
		l.write(trouble{words, field})
	}
}
