package page

import (
	"crypto/sha256"
	"crypto/subtle"
	"net"
	"net/http"
	"strings"
)

// letIn asks readers for what the settings ask of them.
func (d *Door) letIn(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !d.open && d.token == "" && !loopback(hostOf(r.Host)) {
			// A foreign site whose name was made to point at this machine would read the page with the visitor's browser. It has
			// no token; with one the page may be reached by another name, as through a proxy.
			http.Error(w, "this page is for this machine; ask for it by 127.0.0.1 or localhost", http.StatusMisdirectedRequest)
			return
		}
		if d.token != "" && !d.knows(r) {
			w.Header().Add("WWW-Authenticate", `Bearer realm="plumbrule"`)
			w.Header().Add("WWW-Authenticate", `Basic realm="plumbrule", charset="UTF-8"`)
			w.Header().Set("Cache-Control", "no-store")
			http.Error(w, "give the token: as bearer token, or as password with any user name", http.StatusUnauthorized)
			return
		}
		next.ServeHTTP(w, r)
	})
}

// knows tells whether a request carries the token: as bearer token (RFC 6750, 2.1), or for browsers and calendars as the password
// of HTTP Basic (RFC 7617). How long the comparison takes says nothing about the token.
func (d *Door) knows(r *http.Request) bool {
	given := ""
	if _, password, ok := r.BasicAuth(); ok {
		given = password
	} else if scheme, token, ok := strings.Cut(r.Header.Get("Authorization"), " "); ok && strings.EqualFold(scheme, "Bearer") {
		given = strings.TrimSpace(token)
	}
	a, b := sha256.Sum256([]byte(given)), sha256.Sum256([]byte(d.token))
	return subtle.ConstantTimeCompare(a[:], b[:]) == 1
}

// hostOf returns the host of a Host header without its port.
func hostOf(header string) string {
	if host, _, err := net.SplitHostPort(header); err == nil {
		return host
	}
	return strings.Trim(header, "[]")
}
