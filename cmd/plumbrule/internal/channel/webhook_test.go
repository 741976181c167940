package channel_test

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"plumbrule/cmd/plumbrule/internal/channel"
)

// hook is a receiver with everything it was sent.
type hook struct {
	*httptest.Server
	mu  sync.Mutex
	got []received
}

type received struct {
	Method, Path string
	Header       http.Header
	Body         string
}

func newHook(t *testing.T, answer http.HandlerFunc) *hook {
	t.Helper()
	h := &hook{}
	h.Server = httptest.NewServer(h.receive(answer))
	t.Cleanup(h.Close)
	return h
}

func (h *hook) receive(answer http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		body, _ := io.ReadAll(r.Body)
		h.mu.Lock()
		h.got = append(h.got, received{r.Method, r.URL.Path, r.Header, string(body)})
		h.mu.Unlock()
		if answer != nil {
			answer(w, r)
		}
	}
}

func (h *hook) all() []received {
	h.mu.Lock()
	defer h.mu.Unlock()
	return append([]received{}, h.got...)
}

func webhookTo(at string) channel.WebhookSettings {
	s := channel.WebhookSettings{Secret: exampleSecret}
	s.URL, s.Timeout = at, 10*time.Second
	return s
}

func newWebhook(t *testing.T, settings channel.WebhookSettings) *channel.Webhook {
	t.Helper()
	w, err := channel.NewWebhook("chat", settings, stopped(exampleTime()))
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func TestWebhook(t *testing.T) {
	h := newHook(t, nil)
	outcome{}.check(t, send(t, newWebhook(t, webhookTo(h.URL+"/alerts")), failedCheck()))
	got := h.all()
	if len(got) != 1 {
		t.Fatalf("%d requests, want 1", len(got))
	}
	if got[0].Method != http.MethodPost || got[0].Path != "/alerts" || got[0].Body != string(failedCheck().JSON()) {
		t.Errorf("got %s %s %s", got[0].Method, got[0].Path, got[0].Body)
	}
	if err := channel.Verify(got[0].Header, exampleSecret, []byte(got[0].Body), exampleTime(), 0); err != nil {
		t.Error(err)
	}
	for name, want := range map[string]string{
		"Content-Type": "application/json; charset=utf-8", "Idempotency-Key": "01-7f3a", "User-Agent": "plumbrule", "Authorization": "",
	} {
		if value := got[0].Header.Get(name); value != want {
			t.Errorf("%s: %q, want %q", name, value, want)
		}
	}
}

func TestWebhookIdempotencyKeyIsPlain(t *testing.T) {
	h := newHook(t, nil)
	for _, id := range []string{"a\r\nX-Other: b", "ü", strings.Repeat("a", 65)} {
		m := failedCheck()
		m.ID = id
		outcome{}.check(t, send(t, newWebhook(t, webhookTo(h.URL)), m))
	}
	seen := map[string]bool{}
	for _, r := range h.all() {
		key := r.Header.Get("Idempotency-Key")
		if len(key) != 64 || r.Header.Get("X-Other") != "" {
			t.Errorf("key %q", key)
		}
		seen[key] = true
	}
	if len(seen) != 3 {
		t.Errorf("%d different keys, want 3", len(seen))
	}
}

// Without a secret nothing is signed, least of all with an empty key.
func TestWebhookWithoutSecret(t *testing.T) {
	h := newHook(t, nil)
	settings := webhookTo(h.URL)
	settings.Secret = ""
	outcome{}.check(t, send(t, newWebhook(t, settings), failedCheck()))
	r := h.all()[0]
	if r.Header.Get(channel.HeaderSignature) != "" || r.Header.Get(channel.HeaderTimestamp) != "" || r.Header.Get("Idempotency-Key") != "01-7f3a" {
		t.Errorf("%v", r.Header)
	}
}

func TestWebhookAuthorization(t *testing.T) {
	h := newHook(t, nil)
	bearer, basic := webhookTo(h.URL), webhookTo(h.URL)
	bearer.Bearer = "mF_9.B5f-4.1JqM"                     // RFC 6750, 2.1
	basic.User, basic.Password = "Aladdin", "open sesame" // RFC 7617, 2
	want := []string{"Bearer mF_9.B5f-4.1JqM", "Basic QWxhZGRpbjpvcGVuIHNlc2FtZQ=="}
	for _, s := range []channel.WebhookSettings{bearer, basic} {
		outcome{}.check(t, send(t, newWebhook(t, s), failedCheck()))
	}
	var got []string
	for _, r := range h.all() {
		got = append(got, r.Header.Get("Authorization"))
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

func TestWebhookAnswers(t *testing.T) {
	for _, c := range []struct {
		name   string
		answer http.HandlerFunc
		want   outcome
		wait   time.Duration // what RetryAfter says
	}{
		{"200", answer(200), outcome{}, 0},
		{"202", answer(202), outcome{}, 0},
		{"204", answer(204), outcome{}, 0},
		{"500", answer(500), outcome{true, []string{"webhook http://127.0.0.1:", "does not take the message now: 500 Internal Server Error; it will be tried again"}}, 0},
		{"502", answer(502), outcome{true, []string{"502 Bad Gateway"}}, 0},
		{"408", answer(408), outcome{true, []string{"408 Request Timeout"}}, 0},
		{"425", answer(425), outcome{true, []string{"425 Too Early"}}, 0},
		{"400 with a reason", answer(400, "body", "no\x1b[31m room\nhere"), outcome{false, []string{`refused the message: 400 Bad Request, "no\x1b[31m room here"; its log`}}, 0},
		{"401", answer(401), outcome{false, []string{"does not know who sends: 401 Unauthorized; check user"}}, 0},
		{"403", answer(403), outcome{false, []string{"does not know who sends: 403 Forbidden"}}, 0},
		{"404", answer(404), outcome{false, []string{"takes no message at this url: 404 Not Found; check the url's path"}}, 0},
		{"413", answer(413), outcome{false, []string{"refused the message: 413"}}, 0},
		{"429", answer(429, "Retry-After", "120"), outcome{true, []string{"429 Too Many Requests"}}, 2 * time.Minute},
		{
			"429 until an instant", answer(429, "Date", "Mon, 02 Nov 2026 06:30:00 GMT", "Retry-After", "Mon, 02 Nov 2026 06:31:30 GMT"),
			outcome{true, []string{"429"}},
			90 * time.Second,
		},
		{
			"503 until an instant gone by", answer(503, "Date", "Mon, 02 Nov 2026 06:30:00 GMT", "Retry-After", "Mon, 02 Nov 2026 06:29:00 GMT"),
			outcome{true, []string{"503"}},
			0,
		},
		{"503 for a year", answer(503, "Retry-After", "31536000"), outcome{true, []string{"503"}}, 24 * time.Hour},
		{"503 for a while", answer(503, "Retry-After", "a while"), outcome{true, []string{"503"}}, 0},
		{"304", answer(304), outcome{false, []string{"sends the message elsewhere, where it was not sent: 304"}}, 0},
		{"endless yes", endless(200), outcome{}, 0},
		{"endless no", endless(400), outcome{false, []string{"refused the message: 400 Bad Request, \"and on and on"}}, 0},
		{"endless headers", answer(200, "X-Long", strings.Repeat("and on ", 100_000)), outcome{true, []string{"could not be talked to:", "server response headers exceeded"}}, 0},
		{"cut", func(http.ResponseWriter, *http.Request) { panic(http.ErrAbortHandler) }, outcome{true, []string{"closed the connection before it had answered"}}, 0},
		{"silence", silence, outcome{true, []string{"did not finish within 1s; look whether it answers"}}, 0},
		{
			"a no that does not come to its end", func(w http.ResponseWriter, r *http.Request) {
				w.WriteHeader(http.StatusBadRequest)
				w.(http.Flusher).Flush()
				silence(w, r)
			}, outcome{false, []string{"refused the message: 400"}}, 0,
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := newHook(t, c.answer)
			settings := webhookTo(h.URL + "/token-of-the-url")
			settings.Timeout = time.Second
			err := send(t, newWebhook(t, settings), failedCheck())
			c.want.check(t, err)
			if err == nil {
				return
			}
			problem, _ := errors.AsType[*channel.Error](err)
			if got := problem.RetryAfter(); got != c.wait {
				t.Errorf("RetryAfter() = %s, want %s", got, c.wait)
			}
			if strings.Contains(err.Error(), "token-of-the-url") {
				t.Errorf("the error shows the url: %v", err)
			}
			if len(err.Error()) > 1000 {
				t.Errorf("an error of %d bytes", len(err.Error()))
			}
		})
	}
}

// answer answers with the status and, by name and value, headers and a body.
func answer(code int, more ...string) http.HandlerFunc {
	return func(w http.ResponseWriter, _ *http.Request) {
		body := ""
		for i := 0; i < len(more); i += 2 {
			if more[i] == "body" {
				body = more[i+1]
			} else {
				w.Header().Set(more[i], more[i+1])
			}
		}
		w.WriteHeader(code)
		_, _ = io.WriteString(w, body)
	}
}

func silence(_ http.ResponseWriter, r *http.Request) { <-r.Context().Done() }

func endless(code int) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		w.WriteHeader(code)
		for r.Context().Err() == nil {
			if _, err := io.WriteString(w, strings.Repeat("and on ", 1000)); err != nil {
				return
			}
		}
	}
}

// What is sent again is the same message, signed anew.
func TestWebhookFirst500Then200(t *testing.T) {
	tries := 0
	h := newHook(t, func(w http.ResponseWriter, _ *http.Request) {
		if tries++; tries == 1 {
			w.WriteHeader(http.StatusInternalServerError)
		}
	})
	w := newWebhook(t, webhookTo(h.URL))
	outcome{true, []string{"500"}}.check(t, send(t, w, failedCheck()))
	outcome{}.check(t, send(t, w, failedCheck()))
	got := h.all()
	if len(got) != 2 || got[0].Body != got[1].Body || got[0].Header.Get("Idempotency-Key") != got[1].Header.Get("Idempotency-Key") {
		t.Errorf("got %v", got)
	}
}

func TestWebhookRedirects(t *testing.T) {
	elsewhere := newHook(t, nil)
	for _, c := range []struct {
		name, to string
		code     int
		want     outcome
		paths    string // of the first server, in their order
	}{
		{"another path", "/new", 308, outcome{}, "/old /new"},
		{"another path for now", "/new", 307, outcome{}, "/old /new"},
		{"made a GET", "/new", 302, outcome{false, []string{"sends the message elsewhere, where it was not sent: 302 Found to http://127.0.0.1:", "set url to where it is to go"}}, "/old"},
		{"moved, made a GET", "/new", 301, outcome{false, []string{"301"}}, "/old"},
		{"another server", elsewhere.URL + "/key-in-the-url", 307, outcome{false, []string{"where it was not sent: 307 Temporary Redirect to " + elsewhere.URL + ";"}}, "/old"},
		{"another host", "http://localhost.works.example/", 307, outcome{false, []string{"to http://localhost.works.example"}}, "/old"},
		{"a circle", "/old", 307, outcome{false, []string{"307"}}, "/old /old /old /old"},
		{"nowhere", "", 307, outcome{false, []string{"where it was not sent: 307 Temporary Redirect; set url"}}, "/old"},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := newHook(t, func(w http.ResponseWriter, r *http.Request) {
				if r.URL.Path == "/old" {
					if c.to != "" {
						w.Header().Set("Location", c.to)
					}
					w.WriteHeader(c.code)
				}
			})
			c.want.check(t, send(t, newWebhook(t, webhookTo(h.URL+"/old")), failedCheck()))
			var paths []string
			for _, r := range h.all() {
				paths = append(paths, r.Path)
				if r.Method != http.MethodPost || r.Body != string(failedCheck().JSON()) {
					t.Errorf("%s with a body of %d bytes", r.Method, len(r.Body))
				}
			}
			if got := strings.Join(paths, " "); got != c.paths {
				t.Errorf("asked for %q, want %q", got, c.paths)
			}
		})
	}
	if got := elsewhere.all(); len(got) != 0 {
		t.Errorf("the other server was told: %v", got)
	}
}

func TestWebhookTLS(t *testing.T) {
	ca, stranger := newAuthority(t), newAuthority(t)
	for _, c := range []struct {
		name   string
		signer *authority
		host   string
		want   outcome
	}{
		{"trusted", ca, "127.0.0.1", outcome{}},
		{"signed by a stranger", stranger, "127.0.0.1", outcome{true, []string{"webhook https://127.0.0.1:", "certificate that is not trusted: certificate signed by unknown authority", "ca-file"}}},
		{"of another host", ca, "hooks.works.example", outcome{true, []string{"certificate that is not trusted: cannot validate certificate for 127.0.0.1", "as the certificate names it"}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := &hook{}
			h.Server = httptest.NewUnstartedServer(h.receive(nil))
			h.TLS = c.signer.sign(c.host, time.Hour)
			h.Config.ErrorLog = quiet()
			h.StartTLS()
			t.Cleanup(h.Close)
			settings := webhookTo(h.URL)
			settings.CAFile = ca.File
			c.want.check(t, send(t, newWebhook(t, settings), failedCheck()))
			if got := len(h.all()); (got == 1) != (len(c.want.says) == 0) {
				t.Errorf("%d requests", got)
			}
		})
	}
	h := newHook(t, nil)
	settings := webhookTo(strings.Replace(h.URL, "http:", "https:", 1))
	outcome{true, []string{"could not be talked to: http: server gave HTTP response to HTTPS client"}}.check(t, send(t, newWebhook(t, settings), failedCheck()))
}

func TestWebhookUsesNoProxyUnlessAsked(t *testing.T) {
	proxy := newHook(t, nil)
	h := newHook(t, nil)
	t.Setenv("http_proxy", proxy.URL)
	t.Setenv("HTTP_PROXY", proxy.URL)
	outcome{}.check(t, send(t, newWebhook(t, webhookTo(h.URL)), failedCheck()))
	settings := webhookTo("http://hooks.invalid/alerts")
	settings.Unencrypted, settings.Proxy = true, proxy.URL
	outcome{}.check(t, send(t, newWebhook(t, settings), failedCheck()))
	if len(h.all()) != 1 || len(proxy.all()) != 1 || proxy.all()[0].Path != "/alerts" {
		t.Errorf("%d direct, %d by the proxy", len(h.all()), len(proxy.all()))
	}
}

// Something that is no server of HTTP at all.
func TestWebhookOddServers(t *testing.T) {
	for name, c := range map[string]struct {
		does func(net.Conn)
		want outcome
	}{
		"speaks something else": {func(c net.Conn) { fmt.Fprint(c, "220 mail.works.example ready\r\n") }, outcome{true, []string{"could not be talked to: net/http"}}},
		"one letter a second":   {func(c net.Conn) { trickle(c) }, outcome{true, []string{"did not finish within 1s"}}},
	} {
		t.Run(name, func(t *testing.T) {
			listener := listen(t)
			var wait sync.WaitGroup
			wait.Go(func() {
				conn, err := listener.Accept()
				if err != nil {
					return
				}
				defer conn.Close()
				_, _ = bufio.NewReader(conn).ReadString('\n')
				c.does(conn)
			})
			settings := webhookTo("http://" + listener.Addr().String())
			settings.Timeout = time.Second
			c.want.check(t, send(t, newWebhook(t, settings), failedCheck()))
			listener.Close()
			wait.Wait()
		})
	}
}

func trickle(c net.Conn) {
	for _, letter := range "HTTP/1.1 200 OK and it goes on" {
		if _, err := fmt.Fprint(c, string(letter)); err != nil {
			return
		}
		time.Sleep(100 * time.Millisecond)
	}
}

func TestWebhookStopsWithTheWatcher(t *testing.T) {
	h := newHook(t, silence)
	ctx, cancel := context.WithCancel(t.Context())
	time.AfterFunc(50*time.Millisecond, cancel)
	outcome{true, []string{"was not waited for because the watcher stops"}}.check(t, newWebhook(t, webhookTo(h.URL)).Send(ctx, failedCheck()))
}

func TestWebhookSettings(t *testing.T) {
	for _, c := range []struct {
		change func(*channel.WebhookSettings)
		want   string
	}{
		{func(*channel.WebhookSettings) {}, ""},
		{func(s *channel.WebhookSettings) { s.URL = "" }, `channel "chat": url is missing or no such address`},
		{func(s *channel.WebhookSettings) { s.URL = "hooks.works.example" }, "url is missing or no such"},
		{func(s *channel.WebhookSettings) { s.URL = "ftp://hooks.works.example" }, "url is missing or no such"},
		{func(s *channel.WebhookSettings) { s.URL = "https://a:b@hooks.works.example" }, "url is one with a user in it"},
		{func(s *channel.WebhookSettings) { s.URL = "http://hooks.works.example/key" }, `url is one of http to "hooks.works.example", expected https to other machines than this one; if the way`},
		{func(s *channel.WebhookSettings) { s.URL, s.Unencrypted = "http://hooks.works.example", true }, ""},
		{func(s *channel.WebhookSettings) { s.URL = "http://[::1]:8080/" }, ""},
		{func(s *channel.WebhookSettings) { s.Secret = "short" }, "secret is of 5 bytes, expected at least 16; let a machine make one: openssl rand -hex 32"},
		{func(s *channel.WebhookSettings) { s.Secret = "" }, ""},
		{func(s *channel.WebhookSettings) { s.Password = "a" }, "user is missing"},
		{func(s *channel.WebhookSettings) { s.User, s.Bearer = "a", "b" }, `user is "a" beside a bearer token, expected one or the other`},
		{func(s *channel.WebhookSettings) { s.Proxy = "proxy" }, "proxy is no address"},
		{func(s *channel.WebhookSettings) { s.Proxy = "environment" }, ""},
		{func(s *channel.WebhookSettings) { s.CAFile = "testdata/none" }, "ca-file is"},
		{func(s *channel.WebhookSettings) { s.Timeout = time.Hour }, "timeout is 1h0m0s"},
	} {
		settings := webhookTo("https://hooks.works.example/alerts")
		c.change(&settings)
		_, err := channel.NewWebhook("chat", settings, stopped(exampleTime()))
		checkSetting(t, err, c.want)
		if err != nil && strings.Contains(err.Error(), "/key") {
			t.Errorf("the error shows the url's path: %v", err)
		}
	}
}
