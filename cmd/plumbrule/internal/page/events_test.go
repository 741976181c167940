package page

import (
	"bufio"
	"context"
	"net/http"
	"strings"
	"testing"
	"time"
)

// torn is what follow hands out last when the reader, and not the server, ended the stream.
const torn = "torn"

// follow opens a stream of events and hands out its lines; leave ends it, as does the end of the test.
func follow(t *testing.T, url, last string) (r reply, lines <-chan string, leave func()) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Second)
	t.Cleanup(cancel)
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, url+"/events", nil)
	if err != nil {
		t.Fatal(err)
	}
	if last != "" {
		request.Header.Set("Last-Event-ID", last)
	}
	answer, err := http.DefaultClient.Do(request)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { answer.Body.Close() })
	out := make(chan string, 100)
	go func() {
		defer close(out)
		scan := bufio.NewScanner(answer.Body)
		for scan.Scan() {
			out <- scan.Text()
		}
		if scan.Err() != nil {
			out <- torn
		}
	}()
	return reply{answer.Status, answer.StatusCode, answer.Header, answer.Close}, out, cancel
}

// event reads lines up to the id of the next event; empty when the stream ends first.
func event(t *testing.T, lines <-chan string) string {
	t.Helper()
	for line := range lines {
		if id, ok := strings.CutPrefix(line, "id: "); ok {
			return id
		}
	}
	return ""
}

// A reader is told of each view once: at once of one that it has not seen, and nothing of one that it has.
func TestEvents(t *testing.T) {
	s, web, _ := serve(t, example(t))
	answer, lines, _ := follow(t, web.URL, "")
	if answer.Header.Get("Content-Type") != "text/event-stream" {
		t.Errorf("%v", answer.Header)
	}
	first := event(t, lines)
	_, page := get(t, web.URL+"/")
	if first == "" || !strings.Contains(page, `data-view="`+first+`"`) {
		t.Errorf("told of %q, which is not the view of the page", first)
	}
	_, again, _ := follow(t, web.URL, first)
	_, missed, _ := follow(t, web.URL, "of-another-run-3")
	if id := event(t, missed); id != first {
		t.Errorf("who had missed it was told of %q", id)
	}
	display(t, s, example(t))
	second := event(t, lines)
	if second == first || second == "" {
		t.Errorf("the second view is %q, the first was %q", second, first)
	}
	if id := event(t, again); id != second {
		t.Errorf("who had seen the first was told of %q, not of %q", id, second)
	}
}

func TestEventsStayAliveAndEnd(t *testing.T) {
	_, web, _ := serve(t, example(t), func(s *Settings) { s.KeepAlive, s.Stream = 10*time.Millisecond, 200*time.Millisecond })
	_, lines, _ := follow(t, web.URL, "")
	alive := 0
	for line := range lines { // ends with the stream
		if strings.HasPrefix(line, ":") {
			alive++
		}
		if line == torn {
			t.Error("the stream does not end by itself")
		}
	}
	if alive < 3 {
		t.Errorf("%d signs of life", alive)
	}
}

func TestListenersAreBounded(t *testing.T) {
	s, web, _ := serve(t, example(t), func(s *Settings) { s.Listeners = 2 })
	a, la, leave := follow(t, web.URL, "")
	b, _, _ := follow(t, web.URL, "")
	c, _, _ := follow(t, web.URL, "")
	if a.StatusCode != http.StatusOK || b.StatusCode != http.StatusOK || c.StatusCode != http.StatusServiceUnavailable || c.Header.Get("Retry-After") == "" || !c.Close {
		t.Errorf("%s, %s, %s", a.Status, b.Status, c.Status)
	}
	event(t, la)
	leave()
	for range 500 { // who has gone leaves a place
		s.mu.Lock()
		n := s.listeners
		s.mu.Unlock()
		if n == 1 {
			break
		}
		time.Sleep(10 * time.Millisecond)
	}
	if d, _, _ := follow(t, web.URL, ""); d.StatusCode != http.StatusOK {
		t.Errorf("after one has gone: %s", d.Status)
	}
}

func TestCloseEndsStreams(t *testing.T) {
	s, web, _ := serve(t, example(t))
	_, lines, _ := follow(t, web.URL, "")
	event(t, lines)
	s.Close()
	for line := range lines {
		if line == torn {
			t.Error("the stream does not end with the server")
		}
	}
	s.Close()
	s.Show(example(t))
	if answer, _ := get(t, web.URL+"/"); answer.StatusCode != http.StatusOK {
		t.Errorf("%s", answer.Status)
	}
}
