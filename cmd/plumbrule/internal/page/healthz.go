package page

import (
	"fmt"
	"net/http"
	"strings"
	"time"
)

// healthz answers those who rely on the watcher whether it can judge: 200, or 503 with the reason when it cannot see the records, or
// has not judged them for longer than it should take. What does not work beside that is listed and changes nothing about the
// status. It is for who calls a person; who starts programs again asks /livez, since that would bring no records back.
func (s *Server) healthz(w http.ResponseWriter, r *http.Request) {
	_, h := s.now()
	var text strings.Builder
	status := http.StatusOK
	age := s.settings.Clock.Now().Sub(h.Evaluated)
	switch {
	case h.Evaluated.IsZero():
		status = http.StatusServiceUnavailable
		text.WriteString("not ready: the records have not been judged yet\n")
	case h.Blind != "":
		status = http.StatusServiceUnavailable
		text.WriteString("cannot judge: " + words(h.Blind) + "\n")
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

// livez answers those who start programs again whether that would help: 200 while the watcher is at work, whatever it sees, and 503 when
// it stands still.
func (s *Server) livez(w http.ResponseWriter, r *http.Request) {
	_, h := s.now()
	turned := h.Evaluated
	if s.settings.Turned != nil {
		turned = s.settings.Turned()
	}
	status, text := http.StatusOK, "alive\n"
	switch age := s.settings.Clock.Now().Sub(turned); {
	case turned.IsZero():
		text = "alive: it begins\n"
	case age > s.settings.Patience:
		status = http.StatusServiceUnavailable
		text = fmt.Sprintf("stands still: it was at work last at %s, %s ago; expected at least every %s\n",
			turned.UTC().Format(time.RFC3339), age.Round(time.Second), s.settings.Patience)
	}
	a := newAnswer("text/plain; charset=utf-8", []byte(text))
	a.status = status
	a.ServeHTTP(w, r)
}
