package child

import (
	"strings"
	"sync"
)

// said keeps the beginning of what a child says on standard error, where Go's runtime
// puts why it died before the stacks of all goroutines.
type said struct {
	mu   sync.Mutex
	text []byte
}

// saidBytes is how much of it is kept.
const saidBytes = 4096

func (s *said) Write(b []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.text = append(s.text, b[:min(len(b), saidBytes-len(s.text))]...)
	return len(b), nil
}

func (s *said) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return string(s.text)
}

// line is the first line that says something: Go's own words for a fault in C begin
// with the signal, for one in Go with panic or fatal error.
func (s *said) line() string {
	text := s.String()
	for _, l := range strings.Split(text, "\n") {
		for _, sign := range []string{"fatal error: ", "panic: ", "SIG", "unexpected fault", "runtime: "} {
			if strings.HasPrefix(l, sign) {
				return strings.TrimSpace(l)
			}
		}
	}
	first, _, _ := strings.Cut(strings.TrimSpace(text), "\n")
	return first
}

// ofMemory reports whether it says that memory ran out: in the words of Go's runtime, of
// the C library, of C++ or of GDAL.
func (s *said) ofMemory() bool {
	text := strings.ToLower(s.String())
	for _, sign := range []string{"out of memory", "cannot allocate memory", "bad_alloc", "failed to create new os thread"} {
		if strings.Contains(text, sign) {
			return true
		}
	}
	return false
}
