package fetch

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// served is a loopback server of one handler, and a client that may ask it and waits for nothing.
func served(t *testing.T, o Options, handle http.HandlerFunc) (*httptest.Server, *Client, *[]time.Duration) {
	t.Helper()
	s := httptest.NewServer(handle)
	t.Cleanup(s.Close)
	o.Allow = append(o.Allow, s.URL)
	c, waits := patient(o)
	return s, c, waits
}

// patient is a client that only notes for how long it would wait.
func patient(o Options) (*Client, *[]time.Duration) {
	c, waits := New(o), &[]time.Duration{}
	c.wait = func(ctx context.Context, d time.Duration) error {
		*waits = append(*waits, d)
		return ctx.Err()
	}
	return c, waits
}

func TestAnswerIsKeptAndServedOffline(t *testing.T) {
	dir := t.TempDir()
	var asked atomic.Int64
	s, c, _ := served(t, Options{Dir: dir, Agent: "acreband/9.9"}, func(w http.ResponseWriter, r *http.Request) {
		asked.Add(1)
		assert.Equal(t, "acreband/9.9", r.Header.Get("User-Agent"))
		fmt.Fprintf(w, "answer %d to %s", asked.Load(), r.Method)
	})
	q := Question{Method: http.MethodPost, Address: s.URL + "/search", Body: []byte("box")}
	first, err := c.Ask(t.Context(), q)
	require.NoError(t, err)
	assert.Equal(t, "answer 1 to POST", string(first.Body))
	again, err := c.Ask(t.Context(), q)
	require.NoError(t, err)
	assert.Equal(t, first.Body, again.Body)
	assert.True(t, again.Kept)

	s.Close()
	offline := New(Options{Dir: dir, Offline: true})
	kept, err := offline.Ask(t.Context(), q)
	require.NoError(t, err)
	assert.Equal(t, first.Body, kept.Body)
	assert.Equal(t, first.Fetched, kept.Fetched, "the date is that of the server's answer")
	_, err = offline.Ask(t.Context(), Question{Address: s.URL + "/other"})
	require.ErrorIs(t, err, ErrOffline)
	assert.ErrorContains(t, err, "/other: it was never fetched")
}

// Three tries with growing pauses, and an end.
func TestServerThatIsBusyIsTriedThreeTimes(t *testing.T) {
	var asked atomic.Int64
	s, c, waits := served(t, Options{}, func(w http.ResponseWriter, r *http.Request) {
		asked.Add(1)
		w.WriteHeader(http.StatusBadGateway)
	})
	_, err := c.Ask(t.Context(), Question{Address: s.URL + "/x?key=secret"})
	assert.EqualError(t, err, s.URL+"/x: the server cannot give it now (502), after 3 tries; try later, or download the file and give its path")
	assert.EqualValues(t, 3, asked.Load())
	assert.Equal(t, []time.Duration{time.Second, 3 * time.Second}, *waits)
}

func TestRetryAfterIsHonored(t *testing.T) {
	var asked atomic.Int64
	s, c, waits := served(t, Options{}, func(w http.ResponseWriter, r *http.Request) {
		if asked.Add(1) == 1 {
			w.Header().Set("Retry-After", "7")
			w.WriteHeader(http.StatusTooManyRequests)
			return
		}
		fmt.Fprint(w, "now")
	})
	a, err := c.Ask(t.Context(), Question{Address: s.URL})
	require.NoError(t, err)
	assert.Equal(t, "now", string(a.Body))
	assert.Equal(t, []time.Duration{7 * time.Second}, *waits)
}

// A server may ask for longer than anybody waits.
func TestLongRetryAfterEndsAtOnce(t *testing.T) {
	s, c, waits := served(t, Options{}, func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Retry-After", "3600")
		w.WriteHeader(http.StatusServiceUnavailable)
	})
	_, err := c.Ask(t.Context(), Question{Address: s.URL})
	require.ErrorContains(t, err, "(503), after 1 try")
	assert.Empty(t, *waits)
	limited, cancel := context.WithTimeout(t.Context(), 5*time.Second)
	defer cancel()
	s2, c2, waits2 := served(t, Options{}, func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Retry-After", "30")
		w.WriteHeader(http.StatusTooManyRequests)
	})
	_, err = c2.Ask(limited, Question{Address: s2.URL})
	require.ErrorContains(t, err, "asks to wait 30s", "the time limit ends before")
	assert.Empty(t, *waits2)
}

func TestHalfAnAnswerIsNone(t *testing.T) {
	dir := t.TempDir()
	s, c, _ := served(t, Options{Dir: dir}, func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Length", "100")
		fmt.Fprint(w, "half")
	})
	_, err := c.Ask(t.Context(), Question{Address: s.URL})
	require.ErrorContains(t, err, "the server broke off")
	kept, err := List(dir)
	require.NoError(t, err)
	assert.Empty(t, kept)
}

func TestAnswerWithoutEndIsRefused(t *testing.T) {
	s, c, _ := served(t, Options{}, func(w http.ResponseWriter, r *http.Request) {
		for r.Context().Err() == nil {
			if _, err := w.Write(make([]byte, 4096)); err != nil {
				return
			}
		}
	})
	_, err := c.Ask(t.Context(), Question{Address: s.URL, Most: 1 << 16})
	assert.ErrorIs(t, err, ErrTooLarge)
}

// No host is asked more than four things at once.
func TestFourAtOnce(t *testing.T) {
	dir := t.TempDir()
	var now, most atomic.Int64
	gate := make(chan struct{})
	handle := func(w http.ResponseWriter, r *http.Request) {
		if n := now.Add(1); n > most.Load() {
			most.Store(n)
		}
		<-gate
		now.Add(-1)
	}
	s, c, _ := served(t, Options{Dir: dir}, handle)
	other := New(Options{Dir: dir, Allow: []string{s.URL}}) // as of another process
	done := make(chan error)
	for i := range 12 {
		by := c
		if i%2 > 0 {
			by = other
		}
		go func() {
			_, err := by.Ask(t.Context(), Question{Address: fmt.Sprintf("%s/%d", s.URL, i)})
			done <- err
		}()
	}
	for range 12 {
		gate <- struct{}{}
		require.NoError(t, <-done)
	}
	assert.LessOrEqual(t, most.Load(), int64(4))
}

func TestWhatMayBeAsked(t *testing.T) {
	c := New(Options{Allow: []string{"http://intranet:8080/list", "other.example"}})
	for address, why := range map[string]string{
		"http://example.com/a":         "not https",
		"ftp://example.com/a":          "no https address",
		"https://10.1.2.3/a":           "private address",
		"https://[::1]/a":              "private address",
		"https://[::ffff:127.0.0.1]/a": "private address",
		"https://169.254.169.254/meta": "private address",
		"http://intranet:9090/a":       "not https",
		"https://[64:ff9b::a00:1]/a":   "private address",
		"https://[fe80::1%25eth0]/a":   "private address",
		"https://0.0.0.0/a":            "private address",
		"https://100.64.0.1/":          "private address",
		"file:///etc/passwd":           "no https address",
	} {
		_, err := c.request(t.Context(), "GET", address, nil)
		require.ErrorIs(t, err, ErrForbidden, address)
		assert.ErrorContains(t, err, why, address)
	}
	for _, address := range []string{"https://example.com/a", "http://intranet:8080/b", "http://other.example/c", "https://8.8.8.8/"} {
		_, err := c.request(t.Context(), "GET", address, nil)
		assert.NoError(t, err, address)
	}
}

// A name that leads to this machine is only known for that when the connection is made.
func TestNameOfPrivateAddressIsRefusedAtDialing(t *testing.T) {
	c, _ := patient(Options{})
	_, err := c.Ask(t.Context(), Question{Address: "https://localhost:1/"})
	require.ErrorIs(t, err, ErrForbidden)
	assert.ErrorContains(t, err, "private address")
}

func TestRedirectsAreHeld(t *testing.T) {
	inner := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { fmt.Fprint(w, "inner") }))
	defer inner.Close()
	s, c, _ := served(t, Options{}, func(w http.ResponseWriter, r *http.Request) {
		switch r.URL.Path {
		case "/inner":
			http.Redirect(w, r, inner.URL, http.StatusFound)
		case "/round":
			http.Redirect(w, r, "/round", http.StatusFound)
		case "/here":
			http.Redirect(w, r, "/there", http.StatusFound)
		default:
			fmt.Fprint(w, "there")
		}
	})
	_, err := c.Ask(t.Context(), Question{Address: s.URL + "/inner"})
	require.ErrorIs(t, err, ErrForbidden)
	assert.ErrorContains(t, err, "it leads to "+inner.URL)
	_, err = c.Ask(t.Context(), Question{Address: s.URL + "/round"})
	require.ErrorIs(t, err, ErrForbidden)
	a, err := c.Ask(t.Context(), Question{Address: s.URL + "/here"})
	require.NoError(t, err)
	assert.Equal(t, "there", string(a.Body))
}

// TLS is never switched off: a certificate that nobody vouches for ends the request.
func TestUnknownCertificateIsRefused(t *testing.T) {
	s := httptest.NewTLSServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { fmt.Fprint(w, "x") }))
	defer s.Close()
	c, _ := patient(Options{Allow: []string{s.URL}})
	_, err := c.Ask(t.Context(), Question{Address: s.URL})
	assert.ErrorContains(t, err, "certificate")
}

func TestCanceledQuestion(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	s, c, _ := served(t, Options{}, func(w http.ResponseWriter, r *http.Request) {
		cancel()
		<-r.Context().Done()
	})
	_, err := c.Ask(ctx, Question{Address: s.URL})
	assert.True(t, errors.Is(err, context.Canceled), "%v", err)
}

func TestPublicAddresses(t *testing.T) {
	for _, ip := range []string{"8.8.8.8", "2600:1f18::1", "172.32.0.1", "192.167.255.255"} {
		assert.NoError(t, checkPublic(netip.MustParseAddr(ip)), ip)
	}
}
