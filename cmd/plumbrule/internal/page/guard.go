package page

import "net/http"

// usualPolicy lets a page use what this server serves and nothing else (Content Security Policy Level 3).
const usualPolicy = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; connect-src 'self'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'"

// chartPolicy is that of a chart looked at by itself: its style stands inside it.
const chartPolicy = "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'; sandbox"

// guarded sets what every answer says to browsers, and refuses whatever is not reading.
func guarded(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", usualPolicy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("X-Frame-Options", "DENY")
		if r.Method != http.MethodGet && r.Method != http.MethodHead {
			h.Set("Allow", "GET, HEAD")
			http.Error(w, r.Method+" is not done here; the page can only be read", http.StatusMethodNotAllowed)
			return
		}
		next.ServeHTTP(w, r)
	})
}
