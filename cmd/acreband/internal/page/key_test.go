package page

import (
	"net/http"
	"net/http/cookiejar"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Served beyond this machine the page handed its token to whoever asked for /.
func TestOnlyThePrintedAddressOpensThePage(t *testing.T) {
	s := serve(t, func(c *Config) { c.AnyAddress = true })
	for _, path := range []string{"/", "/?key=", "/?key=GUESS", "/v1/start", "/v1/relief.png?x=0&y=0&m=2&w=30&h=20", "/static/app.js", "/v1/start?key=" + s.key, "/v1/swatches/no-go"} {
		status, body := s.get(path)
		assert.Equal(t, 403, status, path)
		assert.NotContains(t, string(body), s.token, path)
		assert.NotContains(t, string(body), s.key, path)
	}
	status, _ := s.drop(boundaryPart, "quarry.geojson", string(parcel(t)))
	assert.Equal(t, 403, status, "the token alone is not enough")

	jar, err := cookiejar.New(nil)
	require.NoError(t, err)
	browser := &http.Client{Jar: jar}
	host := strings.TrimPrefix(s.http.URL, "http://")
	opened, err := browser.Get(s.Address(host))
	require.NoError(t, err)
	defer opened.Body.Close()
	assert.Equal(t, 200, opened.StatusCode)
	assert.Equal(t, s.http.URL+"/", opened.Request.URL.String(), "the key does not stay in the address")
	again, err := browser.Get(s.http.URL + "/v1/relief.png?x=0&y=0&m=2&w=30&h=20")
	require.NoError(t, err)
	defer again.Body.Close()
	assert.Equal(t, 200, again.StatusCode, "pictures come to who has opened the page")
	cookies := jar.Cookies(opened.Request.URL)
	require.Len(t, cookies, 1)
	assert.Equal(t, s.key, cookies[0].Value)

	first, err := http.DefaultTransport.RoundTrip(func() *http.Request {
		r, err := http.NewRequest("GET", s.Address(host), nil)
		require.NoError(t, err)
		return r
	}())
	require.NoError(t, err)
	defer first.Body.Close()
	assert.Equal(t, 303, first.StatusCode)
	cookie := first.Header.Get("Set-Cookie")
	assert.Contains(t, cookie, "HttpOnly")
	assert.Contains(t, cookie, "SameSite=Lax")

	other := serve(t, func(c *Config) { c.AnyAddress = true })
	assert.NotEqual(t, s.key, other.key)
	local := serve(t)
	assert.Equal(t, "http://127.0.0.1:8470/", local.Address("127.0.0.1:8470"), "this machine needs no key")
	status, body := local.get("/")
	assert.Equal(t, 200, status)
	assert.Contains(t, string(body), local.token)
}
