package page

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
)

// refusal is why a request is not answered as asked, told to who asked.
type refusal struct {
	status int
	words  string
	// field names what on the page is to be put right; "" where it is no field.
	field string
}

func (r *refusal) Error() string { return r.words }

func refuse(status int, format string, args ...any) error {
	return &refusal{status: status, words: fmt.Sprintf(format, args...)}
}

// unusable refuses input that cannot be used.
func unusable(err error) error {
	return &refusal{status: http.StatusUnprocessableEntity, words: err.Error()}
}

// atField refuses the value of a field of the page.
func atField(field, format string, args ...any) error {
	return &refusal{http.StatusUnprocessableEntity, fmt.Sprintf(format, args...), field}
}

// errBroken hides a fault of the server's own from who asked; it is in the log.
var errBroken = errors.New("something broke here, not in your file; it is in the server's log")

// toldError is an error as a status and as the page shows it, which names no path of
// this machine.
func (s *Server) toldError(err error) (status int, words, field string) {
	status, words, field = wordsOf(err)
	return status, s.hidden.text(words), field
}

func wordsOf(err error) (status int, words, field string) {
	var r *refusal
	var tooLong *http.MaxBytesError
	switch {
	case errors.As(err, &r):
		return r.status, r.words, r.field
	case errors.As(err, &tooLong):
		return http.StatusRequestEntityTooLarge, fmt.Sprintf("it is larger than %d MB, the most that is taken here", max(tooLong.Limit>>20, 1)), ""
	case errors.Is(err, context.DeadlineExceeded):
		return http.StatusServiceUnavailable, "it took too long and was stopped; map fewer lots at a time, or use the command line", ""
	case errors.Is(err, context.Canceled):
		return 499, "cancelled", "" // nobody reads it: the client has hung up
	}
	return http.StatusInternalServerError, errBroken.Error(), ""
}

// trouble is an error as JSON.
type trouble struct {
	Error string `json:"error"`
	Field string `json:"field,omitempty"`
}

// fail answers with an error.
func (s *Server) fail(w http.ResponseWriter, r *http.Request, err error) {
	status, words, field := s.toldError(err)
	if status >= 500 && !errors.As(err, new(*refusal)) {
		s.log.Error("request failed", "method", r.Method, "path", r.URL.Path, "error", err)
	}
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.WriteHeader(status)
	_ = json.NewEncoder(w).Encode(trouble{words, field}) // a client that left reads nothing
}

// reply answers with JSON.
func (s *Server) reply(w http.ResponseWriter, r *http.Request, v any) {
	body, err := json.Marshal(v)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	_, _ = w.Write(body)
}
