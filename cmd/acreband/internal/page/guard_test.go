package page

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func host(name string) func(*http.Request) {
	return func(r *http.Request) { r.Host = name }
}

func header(name, value string) func(*http.Request) {
	return func(r *http.Request) { r.Header.Set(name, value) }
}

// A name that somebody has resolve to this machine (DNS rebinding) is not answered.
func TestAnswersToItsOwnAddressOnly(t *testing.T) {
	here, beyond := serve(t), serve(t, func(c *Config) { c.AnyAddress = true })
	for name, want := range map[string][2]int{
		"127.0.0.1:8470": {200, 200}, "localhost:8470": {200, 200}, "LOCALHOST": {200, 200}, "[::1]:8470": {200, 200}, "127.0.0.1": {200, 200},
		"192.0.2.7:8470": {421, 200}, "evil.example": {421, 421}, "evil.example:8470": {421, 421}, "localhost.evil.example": {421, 421},
		"127.0.0.1.evil.example": {421, 421}, "0x7f000001": {421, 421}, "127.1": {421, 421},
	} {
		for i, s := range []*visit{here, beyond} {
			status, body := s.do("GET", "/v1/start", "", nil, host(name), func(r *http.Request) {
				r.AddCookie(&http.Cookie{Name: cookieName(r), Value: s.key})
			})
			assert.Equal(t, want[i], status, "%s %s", name, body)
		}
	}
}

func TestAnswersToItsOwnPageOnly(t *testing.T) {
	s := serve(t)
	a := s.mapped("quarry.geojson", parcel(t))
	change := func(change ...func(*http.Request)) int {
		status, _ := s.do("POST", "/v1/maps/"+a.ID, "application/json", []byte(`{}`), change...)
		return status
	}
	assert.Equal(t, 200, change())
	assert.Equal(t, 200, change(header("Sec-Fetch-Site", "same-origin"), header("Origin", s.http.URL)))
	for name, c := range map[string][]func(*http.Request){
		"no token":           {header(tokenHeader, "")},
		"another token":      {header(tokenHeader, "GUESS")},
		"another site":       {header("Sec-Fetch-Site", "cross-site")},
		"another port":       {header("Sec-Fetch-Site", "same-site")},
		"another origin":     {header("Origin", "http://evil.example")},
		"an opaque origin":   {header("Origin", "null")},
		"typed in, changing": {header("Sec-Fetch-Site", "none")},
	} {
		assert.Equal(t, 403, change(c...), name)
	}
	read := func(path string, change ...func(*http.Request)) int {
		status, _ := s.do("GET", path, "", nil, change...)
		return status
	}
	assert.Equal(t, 403, read("/v1/relief.png?x=0&y=0&m=2&w=30&h=20", header("Sec-Fetch-Site", "cross-site")), "a picture on another site")
	assert.Equal(t, 403, read("/", header("Sec-Fetch-Site", "cross-site"), header("Sec-Fetch-Mode", "no-cors")))
	assert.Equal(t, 200, read("/", header("Sec-Fetch-Site", "cross-site"), header("Sec-Fetch-Mode", "navigate")), "a link")
	assert.Equal(t, 200, read("/", header("Sec-Fetch-Site", "none")), "a bookmark")
	assert.Equal(t, 405, func() int { status, _ := s.do("PUT", "/v1/maps", "", nil); return status }())
	assert.Equal(t, 404, read("/v1/maps/NOBODYSMAP/spot?lon=0&lat=0"))
	assert.Equal(t, 404, read("/static/../server.go"))
}

func TestPageRunsNothingWrittenIntoIt(t *testing.T) {
	s := serve(t)
	answer, err := http.Get(s.http.URL + "/")
	require.NoError(t, err)
	defer answer.Body.Close()
	policy := answer.Header.Get("Content-Security-Policy")
	for _, part := range []string{"default-src 'none'", "script-src 'self'", "style-src 'self'", "img-src 'self'", "connect-src 'self'", "frame-ancestors 'none'", "base-uri 'none'", "form-action 'none'"} {
		assert.Contains(t, policy, part)
	}
	assert.NotContains(t, policy, "unsafe")
	for name, want := range map[string]string{"X-Content-Type-Options": "nosniff", "Referrer-Policy": "no-referrer", "Cross-Origin-Resource-Policy": "same-origin", "Cache-Control": "no-store"} {
		assert.Equal(t, want, answer.Header.Get(name), name)
	}
	_, body := s.get("/")
	for _, inline := range []string{"<style", " style=", "onclick", "javascript:", "http://", "https://"} {
		assert.NotContains(t, string(body), inline)
	}
	assert.Equal(t, strings.Count(string(body), "<script"), strings.Count(string(body), `<script src="/static/`), "no script in the page itself")
	assert.Contains(t, string(body), s.token)
}

// The page's own files, Leaflet among them, compress to less than 500 kB.
func TestPageIsSmall(t *testing.T) {
	assert.Less(t, compressed(t), 500_000)
}
