package raster

import (
	"bytes"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// shelf serves files by range requests on the loopback address and counts what
// it gives.
type shelf struct {
	*httptest.Server
	mu       sync.Mutex
	files    map[string][]byte
	requests map[string]int
	given    int64
	// before may answer a request itself, n counting the file's from 1.
	before func(w http.ResponseWriter, r *http.Request, n int) bool
}

func newShelf(t testing.TB, files map[string]string) *shelf {
	t.Helper()
	s := &shelf{files: map[string][]byte{}, requests: map[string]int{}}
	for name, file := range files {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		s.files["/"+name] = data
	}
	s.Server = httptest.NewServer(s)
	t.Cleanup(func() {
		s.CloseClientConnections()
		s.Close()
	})
	return s
}

type counting struct {
	http.ResponseWriter
	n int64
}

func (c *counting) Write(p []byte) (int, error) {
	n, err := c.ResponseWriter.Write(p)
	c.n += int64(n)
	return n, err
}

func (s *shelf) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	s.mu.Lock()
	s.requests[r.URL.Path]++
	n, before := s.requests[r.URL.Path], s.before
	data, ok := s.files[r.URL.Path]
	s.mu.Unlock()
	if before != nil && before(w, r, n) {
		return
	}
	if !ok {
		http.NotFound(w, r)
		return
	}
	c := &counting{ResponseWriter: w}
	http.ServeContent(c, r, r.URL.Path, time.Time{}, bytes.NewReader(data))
	s.mu.Lock()
	s.given += c.n
	s.mu.Unlock()
}

// meddle answers requests before the shelf does, where before returns true.
func (s *shelf) meddle(before func(w http.ResponseWriter, r *http.Request, n int) bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.before = before
}

func (s *shelf) put(name string, data []byte) { s.mu.Lock(); defer s.mu.Unlock(); s.files[name] = data }

func (s *shelf) bytesGiven() int64 { s.mu.Lock(); defer s.mu.Unlock(); return s.given }

func (s *shelf) asked() (n int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, k := range s.requests {
		n += k
	}
	return n
}

// names lists the files asked for. The folder of a VRT may be asked for too, once:
// its unit is read from its text, and GDAL looks where that lies.
func (s *shelf) names() (names []string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for name := range s.requests {
		if !strings.HasSuffix(name, "/") {
			names = append(names, name)
		}
	}
	return names
}
