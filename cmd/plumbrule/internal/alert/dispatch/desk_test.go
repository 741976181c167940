package dispatch_test

import (
	"errors"
	"io"
	"log"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/emersion/go-smtp"
	"go.uber.org/goleak"

	"plumbrule/cmd/plumbrule/internal/alert"
	"plumbrule/cmd/plumbrule/internal/alert/dispatch"
	"plumbrule/cmd/plumbrule/internal/channel"
	"plumbrule/records"
)

// Whatever a test did, nothing runs on after it.
func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

// desk is a book with a dispatcher, at a time of its own; the receivers are real.
type desk struct {
	*testing.T
	at    time.Time
	dir   string
	site  *records.Site
	book  *alert.Book
	out   *dispatch.Dispatcher
	lines lines
}

func (k *desk) Now() time.Time { return k.at }

// lines is what a log has written.
type lines struct {
	mu   sync.Mutex
	text strings.Builder
}

func (l *lines) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.Write(p)
}

func (l *lines) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.String()
}

func open(t *testing.T, site *records.Site) *desk {
	t.Helper()
	k := &desk{T: t, at: time.Date(2026, 10, 5, 6, 0, 0, 0, time.UTC), dir: t.TempDir(), site: site}
	k.start()
	t.Cleanup(func() {
		k.out.Close()
		k.book.Close()
	})
	return k
}

// start opens the book and makes a dispatcher, as the program does.
func (k *desk) start() {
	k.Helper()
	k.out = dispatch.New(channel.Surroundings{
		Clock: k, Lookup: func(string) (string, bool) { return "", false }, Log: slog.NewTextHandler(&k.lines, nil), Lines: &k.lines,
	})
	k.out.Configure(k.site)
	var err error
	if k.book, err = alert.Open(k.dir, k, alert.SettingsOf(k.site)); err != nil {
		k.Fatal(err)
	}
}

func finding(subject, severity string) alert.Finding {
	return alert.Finding{Key: alert.Key{Subject: subject, Code: "quantity-failed"}, Severity: severity, Sentence: "A-C: error +170.0 µm"}
}

func (k *desk) observe(list ...alert.Finding) {
	k.Helper()
	if err := k.book.Observe(k.at, list); err != nil {
		k.Fatal(err)
	}
}

// until sends what falls due until then, and waits for each answer.
func (k *desk) until(to time.Time) (results []dispatch.Result) {
	k.Helper()
	for range 1000 {
		due := k.book.Due(k.at)
		k.out.Send(due)
		for range due {
			r := k.result()
			k.book.Delivered(r.Delivery, r.Err)
			results = append(results, r)
		}
		if len(due) > 0 {
			continue
		}
		next := k.book.Next()
		if next.IsZero() || next.After(to) {
			k.at = to
			return results
		}
		k.at = next
	}
	k.Fatal("there is no end of deliveries")
	return nil
}

// result is the next one, which must come.
func (k *desk) result() dispatch.Result {
	k.Helper()
	select {
	case r := <-k.out.Results():
		return r
	case <-time.After(20 * time.Second):
		k.Fatal("no result came")
		return dispatch.Result{}
	}
}

// hook is a webhook and what it was sent.
type hook struct {
	*httptest.Server
	mu     sync.Mutex
	bodies []string
}

func newHook(t *testing.T, answer http.HandlerFunc) *hook {
	t.Helper()
	h := &hook{}
	h.Server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		body, _ := io.ReadAll(r.Body)
		h.mu.Lock()
		h.bodies = append(h.bodies, string(body))
		h.mu.Unlock()
		if answer != nil {
			answer(w, r)
		}
	}))
	t.Cleanup(h.Close)
	return h
}

func (h *hook) all() []string {
	h.mu.Lock()
	defer h.mu.Unlock()
	return append([]string{}, h.bodies...)
}

// post is a mail server that knows no address with "nobody" in it.
type post struct {
	mu    sync.Mutex
	taken []letter
}

type letter struct {
	to   []string
	text string
}

// serve begins to take mail at a port and returns how it is ended.
func (p *post) serve(t *testing.T, address string) (port int, end func()) {
	t.Helper()
	listener, err := (&net.ListenConfig{}).Listen(t.Context(), "tcp", address)
	if err != nil {
		t.Fatal(err)
	}
	server := smtp.NewServer(smtp.BackendFunc(func(*smtp.Conn) (smtp.Session, error) { return &session{post: p}, nil }))
	server.Domain, server.ErrorLog = "localhost", log.New(io.Discard, "", 0)
	var wait sync.WaitGroup
	wait.Go(func() {
		if err := server.Serve(listener); err != nil && !errors.Is(err, smtp.ErrServerClosed) && !errors.Is(err, net.ErrClosed) {
			t.Error(err)
		}
	})
	return listener.Addr().(*net.TCPAddr).Port, func() {
		_ = server.Close()
		_ = listener.Close() // the server may not have begun
		wait.Wait()
	}
}

func (p *post) box() []letter {
	p.mu.Lock()
	defer p.mu.Unlock()
	return append([]letter{}, p.taken...)
}

type session struct {
	post *post
	now  letter
}

func (s *session) Reset()                               { s.now = letter{} }
func (s *session) Logout() error                        { return nil }
func (s *session) Mail(string, *smtp.MailOptions) error { return nil }

func (s *session) Rcpt(to string, _ *smtp.RcptOptions) error {
	if strings.Contains(to, "nobody") {
		return &smtp.SMTPError{Code: 550, EnhancedCode: smtp.EnhancedCode{5, 1, 1}, Message: "no such user"}
	}
	s.now.to = append(s.now.to, to)
	return nil
}

func (s *session) Data(r io.Reader) error {
	text, err := io.ReadAll(r)
	s.now.text = string(text)
	s.post.mu.Lock()
	defer s.post.mu.Unlock()
	s.post.taken = append(s.post.taken, s.now)
	return err
}

func mailAt(port int) records.Channel {
	return records.Channel{
		Name: "mail", Kind: records.MailChannel, Server: "127.0.0.1", Port: port, Security: records.NoSecurity,
		From: "watch@works.example", To: []string{"measuring@works.example"}, Line: 1,
	}
}

func hookAt(name, url string) records.Channel {
	return records.Channel{Name: name, Kind: records.WebhookChannel, URL: url, Line: 1}
}
