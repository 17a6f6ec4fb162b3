package page

import (
	"crypto/subtle"
	"net"
	"net/http"
	"net/netip"
	"runtime/debug"
	"strings"
)

// policy lets the page load and speak to nothing but this server, and run no script
// or style that is written into it.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; " +
	"base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

const tokenHeader = "X-Acreband-Token"

// guard stands before every handler.
func (s *Server) guard(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		defer func() {
			if fault := recover(); fault != nil && fault != http.ErrAbortHandler {
				s.log.Error("a handler panicked", "path", r.URL.Path, "fault", fault, "stack", string(debug.Stack()))
				s.fail(w, r, errBroken)
			}
		}()
		if err := s.admit(r); err != nil {
			s.fail(w, r, err)
			return
		}
		if s.letIn(w, r) {
			return
		}
		if !s.knows(r) {
			s.fail(w, r, refuse(http.StatusForbidden, "open the page by the address that was printed when this server was started, with the key in it"))
			return
		}
		next.ServeHTTP(w, r)
	})
}

// admit refuses who is not a page of this server.
func (s *Server) admit(r *http.Request) error {
	if !s.isHere(r.Host) {
		return refuse(http.StatusMisdirectedRequest, "this server does not answer to %q; open it by the address it printed when it was started", r.Host)
	}
	reads := r.Method == http.MethodGet || r.Method == http.MethodHead
	switch from := r.Header.Get("Sec-Fetch-Site"); {
	case from == "" || from == "same-origin":
	case reads && from == "none": // typed in, or a bookmark
	case reads && r.URL.Path == "/" && r.Header.Get("Sec-Fetch-Mode") == "navigate": // a link to the page
	default:
		return refuse(http.StatusForbidden, "another site asked for this")
	}
	if origin := r.Header.Get("Origin"); origin != "" && origin != "http://"+r.Host {
		return refuse(http.StatusForbidden, "another site (%s) asked for this", origin)
	}
	if !reads && subtle.ConstantTimeCompare([]byte(r.Header.Get(tokenHeader)), []byte(s.token)) != 1 {
		return refuse(http.StatusForbidden, "the page is older than this server: load it again")
	}
	return nil
}

// isHere reports whether a Host header names an address rather than a name that
// somebody may have pointed here.
func (s *Server) isHere(host string) bool {
	name := host
	if h, _, err := net.SplitHostPort(host); err == nil {
		name = h
	}
	if strings.EqualFold(name, "localhost") {
		return true
	}
	ip, err := netip.ParseAddr(strings.Trim(name, "[]"))
	return err == nil && (s.config.AnyAddress || ip.IsLoopback())
}
