package page

import (
	"net/http"
	"sync"
)

// admission counts the bytes of bodies that are being received or read. A body is
// admitted before its first byte is kept.
type admission struct {
	mu   sync.Mutex
	left int64
}

// admit takes the bytes of a request's body, at most most of them, and gives them back
// when done is called. It takes what the request says it sends, and the most where it
// does not say.
func (a *admission) admit(r *http.Request, most int64) (done func(), err error) {
	bytes := most
	if r.ContentLength >= 0 {
		bytes = min(bytes, r.ContentLength)
	}
	a.mu.Lock()
	defer a.mu.Unlock()
	if bytes > a.left {
		return nil, refuse(http.StatusServiceUnavailable, "too many files are being sent here at once; try again in a moment")
	}
	a.left -= bytes
	return sync.OnceFunc(func() {
		a.mu.Lock()
		defer a.mu.Unlock()
		a.left += bytes
	}), nil
}
