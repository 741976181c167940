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
}
