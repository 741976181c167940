package page

import (
	"net/http"
	"strings"
	"testing"
	"time"
)

func TestHealthz(t *testing.T) {
	s, web, c := serve(t, nil, func(s *Settings) { s.Patience = 30 * time.Minute })
	look := func(name string, status int, text string) {
		t.Helper()
		answer, body := get(t, web.URL+"/healthz")
		if answer.StatusCode != status || !strings.Contains(body, text) {
			t.Errorf("%s: %s %q", name, answer.Status, body)
		}
	}
	look("before the first evaluation", http.StatusServiceUnavailable, "not ready")
	v := example(t)
	display(t, s, v)
	look("after it", http.StatusOK, "ok: judged at 2026-11-02T11:00:00Z")
	c.set(noon().Add(30 * time.Minute))
	look("at the end of patience", http.StatusOK, "ok")
	c.set(noon().Add(30*time.Minute + time.Second))
	look("beyond it", http.StatusServiceUnavailable, "stands still: the records were judged last at 2026-11-02T11:00:00Z, 30m1s ago; expected at least every 30m0s")
	h := v.Health
	h.Evaluated = noon().Add(time.Hour)
	h.Trouble = []string{"mail\x1b is not delivered"}
	s.Report(h)
	look("judged again without another view", http.StatusOK, `trouble: mail\x1b is not delivered`)
	h.Blind = "the records are \x1baway"
	s.Report(h)
	look("while the records cannot be seen", http.StatusServiceUnavailable, `cannot judge: the records are \x1baway`)
	h.Blind = ""
	s.Report(h)
	look("when they are back", http.StatusOK, "ok: judged at")
}

// Whether the records can be seen is no matter of starting the watcher again.
func TestLivez(t *testing.T) {
	var turned time.Time
	s, web, c := serve(t, nil, func(s *Settings) { s.Patience, s.Turned = 30*time.Minute, func() time.Time { return turned } })
	look := func(name string, status int, text string) {
		t.Helper()
		answer, body := get(t, web.URL+"/livez")
		if answer.StatusCode != status || !strings.Contains(body, text) {
			t.Errorf("%s: %s %q", name, answer.Status, body)
		}
	}
	look("at the beginning", http.StatusOK, "alive: it begins")
	turned = noon()
	s.Report(Health{Blind: "the records are away"})
	look("blind", http.StatusOK, "alive\n")
	c.set(noon().Add(30 * time.Minute))
	look("at the end of patience", http.StatusOK, "alive\n")
	c.set(noon().Add(30*time.Minute + time.Second))
	look("beyond it", http.StatusServiceUnavailable, "stands still: it was at work last at 2026-11-02T11:00:00Z, 30m1s ago; expected at least every 30m0s")
	turned = c.Now()
	look("at work again", http.StatusOK, "alive\n")
}
