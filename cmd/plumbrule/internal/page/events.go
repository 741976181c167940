package page

import (
	"fmt"
	"net/http"
	"time"
)

// events streams one event for each new view (server-sent events, WHATWG HTML, 9.2). A reader who names the view it has seen
// last gets the present one at once if that is another. After some time a stream ends and the reader asks again: so one that has
// silently gone does not keep its place for ever.
func (s *Server) events(w http.ResponseWriter, r *http.Request) {
	if !s.join() {
		w.Header().Set("Retry-After", "60")
		w.Header().Set("Connection", "close") // it is to leave its place to those who read pages
		http.Error(w, "too many readers follow the events; the pages can still be read", http.StatusServiceUnavailable)
		return
	}
	defer s.leave()
	h := w.Header()
	h.Set("Content-Type", "text/event-stream")
	h.Set("Cache-Control", "no-store")
	h.Set("X-Accel-Buffering", "no") // asks proxies to pass events on at once
	if r.Method == http.MethodHead {
		return
	}
	control := http.NewResponseController(w)
	send := func(format string, args ...any) bool {
		_, err := fmt.Fprintf(w, format, args...)
		return err == nil && control.Flush() == nil
	}
	if !send("retry: 3000\n\n") {
		return
	}
	last := r.Header.Get("Last-Event-ID")
	alive := time.NewTicker(s.settings.KeepAlive)
	defer alive.Stop()
	end := time.NewTimer(s.settings.Stream)
	defer end.Stop()
	for {
		s.mu.Lock()
		e, changed := s.shown, s.changed
		s.mu.Unlock()
		if e != nil && e.id != last {
			last = e.id
			if !send("id: %s\nevent: view\ndata: %s\n\n", e.id, e.At.UTC().Format(time.RFC3339)) {
				return
			}
		}
		select {
		case <-changed:
		case <-alive.C:
			if !send(": alive\n\n") {
				return
			}
		case <-end.C:
			return
		case <-s.done:
			return
		case <-r.Context().Done():
			return
		}
	}
}

// join takes one of the places of those who follow the events.
func (s *Server) join() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed || s.listeners >= s.settings.Listeners {
		return false
	}
	s.listeners++
	return true
}

func (s *Server) leave() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.listeners--
}
