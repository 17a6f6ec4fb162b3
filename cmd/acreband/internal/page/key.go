package page

import (
	"crypto/subtle"
	"net"
	"net/http"
)

// keyField is the part of an address that carries the key.
const keyField = "key"

// Address is where the page is opened when it is served at host, which is an address and a port.
// Beyond this machine it carries a key: whoever opens it may see the elevation and
// make maps, and nobody else may.
func (s *Server) Address(host string) string {
	if s.key == "" {
		return "http://" + host + "/"
	}
	return "http://" + host + "/?" + keyField + "=" + s.key
}

// cookieName is that of the cookie by which a browser is known that has opened the page by
// its address: browsers share cookies between the ports of a machine.
func cookieName(r *http.Request) string {
	_, port, err := net.SplitHostPort(r.Host)
	if err != nil {
		port = "80"
	}
	return "acreband-" + port
}

// knows reports whether a request comes from who has the key, or needs none.
func (s *Server) knows(r *http.Request) bool {
	if s.key == "" {
		return true
	}
	c, err := r.Cookie(cookieName(r))
	return err == nil && s.isKey(c.Value)
}

func (s *Server) isKey(text string) bool {
	return subtle.ConstantTimeCompare([]byte(text), []byte(s.key)) == 1
}

// letIn gives a browser that opens the page by its address a cookie, and takes the key out
// of the address; it reports whether it has answered.
func (s *Server) letIn(w http.ResponseWriter, r *http.Request) bool {
	if s.key == "" || r.URL.Path != "/" || !s.isKey(r.URL.Query().Get(keyField)) {
		return false
	}
	http.SetCookie(w, &http.Cookie{Name: cookieName(r), Value: s.key, Path: "/", HttpOnly: true, SameSite: http.SameSiteLaxMode})
	http.Redirect(w, r, "/", http.StatusSeeOther)
	return true
}
