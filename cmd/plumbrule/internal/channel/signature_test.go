package channel_test

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"plumbrule/cmd/plumbrule/internal/channel"
)

const (
	exampleSecret = "not so secret but long"
	exampleBody   = `{"id":"01-7f3a"}` + "\n"
)

func exampleTime() time.Time { return time.Unix(1793601000, 0) }

// The expected value is that of OpenSSL 3.0, by the command in the doc comment of Sign, and of Python's hmac.
func TestSign(t *testing.T) {
	header := http.Header{}
	channel.Sign(header, exampleSecret, []byte(exampleBody), exampleTime())
	if got, want := header.Get("Plumbrule-Timestamp"), "1793601000"; got != want {
		t.Errorf("timestamp %q, want %q", got, want)
	}
	if got, want := header.Get("Plumbrule-Signature"), "v1=a86c85dc6006b2f3e2d439dfa3aed2b5d66eab15ef6e734a39c9b0ba060b000d"; got != want {
		t.Errorf("signature %q, want %q", got, want)
	}
}

func TestVerify(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(http.Header)
		secret channel.Secret
		body   string
		later  time.Duration
		want   error
	}{
		{name: "as it was sent"},
		{name: "at the end of the tolerance", later: 5 * time.Minute},
		{name: "by a clock that is behind", later: -5 * time.Minute},
		{name: "played back", later: 5*time.Minute + time.Second, want: channel.ErrStale},
		{name: "by a clock that is far behind", later: -5*time.Minute - time.Second, want: channel.ErrStale},
		{name: "another body", body: `{"id":"01-7f3b"}`, want: channel.ErrSignature},
		{name: "another secret", secret: "another secret of 16", want: channel.ErrSignature},
		{name: "another timestamp", change: func(h http.Header) { h.Set("Plumbrule-Timestamp", "1793601001") }, want: channel.ErrSignature},
		{name: "cut short", change: func(h http.Header) { h.Set("Plumbrule-Signature", h.Get("Plumbrule-Signature")[:20]) }, want: channel.ErrSignature},
		{name: "no digits", change: func(h http.Header) { h.Set("Plumbrule-Signature", "v1=no") }, want: channel.ErrSignature},
		{name: "empty", change: func(h http.Header) { h.Set("Plumbrule-Signature", "v1=") }, want: channel.ErrSignature},
		{name: "of another kind", change: func(h http.Header) { h.Set("Plumbrule-Signature", "v0=00") }, want: channel.ErrUnsigned},
		{name: "without signature", change: func(h http.Header) { h.Del("Plumbrule-Signature") }, want: channel.ErrUnsigned},
		{name: "without timestamp", change: func(h http.Header) { h.Del("Plumbrule-Timestamp") }, want: channel.ErrUnsigned},
	} {
		t.Run(c.name, func(t *testing.T) {
			header := http.Header{}
			channel.Sign(header, exampleSecret, []byte(exampleBody), exampleTime())
			if c.change != nil {
				c.change(header)
			}
			if c.secret == "" {
				c.secret = exampleSecret
			}
			if c.body == "" {
				c.body = exampleBody
			}
			err := channel.Verify(header, c.secret, []byte(c.body), exampleTime().Add(c.later), 5*time.Minute)
			if !errors.Is(err, c.want) {
				t.Errorf("got %v, want %v", err, c.want)
			}
		})
	}
}

// A receiver reads the body with a bound, verifies it before it looks into it, and remembers what it has taken.
func ExampleVerify() {
	taken := map[string]bool{}
	receive := func(w http.ResponseWriter, r *http.Request) {
		body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, 8<<20))
		if err != nil {
			http.Error(w, "too large", http.StatusRequestEntityTooLarge)
			return
		}
		now := exampleTime() // a receiver asks its clock
		if err := channel.Verify(r.Header, exampleSecret, body, now, 5*time.Minute); err != nil {
			http.Error(w, err.Error(), http.StatusUnauthorized)
			return
		}
		if id := r.Header.Get("Idempotency-Key"); !taken[id] {
			taken[id] = true
			fmt.Print(string(body))
		}
		w.WriteHeader(http.StatusNoContent)
	}

	for _, secret := range []channel.Secret{exampleSecret, exampleSecret, "guessed by somebody"} {
		request := httptest.NewRequest(http.MethodPost, "/alerts", strings.NewReader(exampleBody))
		request.Header.Set("Idempotency-Key", "01-7f3a")
		channel.Sign(request.Header, secret, []byte(exampleBody), exampleTime())
		answer := httptest.NewRecorder()
		receive(answer, request)
		fmt.Println(strings.TrimSpace(fmt.Sprint(answer.Code, " ", answer.Body)))
	}
	// Output:
	// {"id":"01-7f3a"}
	// 204
	// 204
	// 401 the signature is not that of this body, this timestamp and this secret
}
