package page

import (
	"fmt"
	"net/http"
	"strings"
	"time"
)

// healthz answers whether the watcher does its work: 200, or 503 with the reason when it has not judged the records for longer
// than it should take. What does not work beside that is listed and changes nothing about the status: starting the watcher again
// would not mend a mail server.
func (s *Server) healthz(w http.ResponseWriter, r *http.Request) {
	_, h := s.now()
	var text strings.Builder
	status := http.StatusOK
	age := s.settings.Clock.Now().Sub(h.Evaluated)
	switch {
	case h.Evaluated.IsZero():
		status = http.StatusServiceUnavailable
		text.WriteString("not ready: the records have not been judged yet\n")
	case age > s.settings.Patience:
		status = http.StatusServiceUnavailable
		fmt.Fprintf(&text, "stands still: the records were judged last at %s, %s ago; expected at least every %s\n",
			h.Evaluated.UTC().Format(time.RFC3339), age.Round(time.Second), s.settings.Patience)
	default:
		fmt.Fprintf(&text, "ok: judged at %s\n", h.Evaluated.UTC().Format(time.RFC3339))
	}
	for _, t := range h.Trouble {
		text.WriteString("trouble: " + words(t) + "\n")
	}
	a := newAnswer("text/plain; charset=utf-8", []byte(text.String()))
	a.status = status
	a.ServeHTTP(w, r)
}
