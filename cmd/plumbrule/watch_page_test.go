//go:build linux

package main

import (
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// answers returns the status with which a page answers; 0 if it does not.
func answers(t *testing.T, address, token string) int {
	t.Helper()
	q, err := http.NewRequestWithContext(t.Context(), http.MethodGet, "http://"+address+"/healthz", http.NoBody)
	if err != nil {
		t.Fatal(err)
	}
	if token != "" {
		q.Header.Set("Authorization", "Bearer "+token)
	}
	client := &http.Client{Timeout: 5 * time.Second, Transport: &http.Transport{DisableKeepAlives: true}}
	answer, err := client.Do(q)
	if err != nil {
		return 0
	}
	_ = answer.Body.Close()
	return answer.StatusCode
}

// Settings of the page that cannot be followed leave it as it was; those that can be are followed at once, and files they name
// are read again when the watcher is asked to set itself up anew.
func TestPageFollowsItsSettings(t *testing.T) {
	address, other := freeAddress(t), freeAddress(t)
	y := newYard(t, "")
	set := func(page string) {
		y.write("plumbrule.toml", strings.Replace(y.read("plumbrule.toml"), y.between("[page]\n", "[[channel]]"), page, 1))
	}
	set("listen = \"" + address + "\"\n")
	cmd := y.watcher()
	serves := func(at, token string, status int) func() bool {
		return func() bool { return answers(t, at, token) == status }
	}
	count := func(what string, n int) func() bool {
		return func() bool {
			times, _ := y.receiver.count(what)
			return times == n
		}
	}
	y.settled(20*time.Second, cmd, "it serves", serves(address, "", 200))

	token := filepath.Join(t.TempDir(), "token")
	set("listen = \"" + address + "\"\ntoken-file = \"" + token + "\"\n")
	y.settled(20*time.Second, cmd, "that the token is missing is told", count("raised watcher page-failing", 1))
	if status := answers(t, address, ""); status != 200 {
		t.Errorf("it answers %d while its settings cannot be followed", status)
	}
	set("listen = \"" + address + "\"\n")
	y.settled(20*time.Second, cmd, "that all is well again is told", count("cleared watcher page-failing", 1))

	if err := os.WriteFile(token, []byte("first-token-of-the-page\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	set("listen = \"" + other + "\"\ntoken-file = \"" + token + "\"\n")
	y.settled(20*time.Second, cmd, "it has moved and asks for the token", serves(other, "first-token-of-the-page", 200))
	if status := answers(t, other, ""); status != 401 {
		t.Errorf("it answers %d without the token", status)
	}
	if status := answers(t, address, ""); status != 0 {
		t.Errorf("it still answers %d at its former address", status)
	}

	if err := os.WriteFile(token, []byte("second-token-of-the-page\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := cmd.Process.Signal(syscall.SIGHUP); err != nil {
		t.Fatal(err)
	}
	y.settled(20*time.Second, cmd, "the new token holds", serves(other, "second-token-of-the-page", 200))
	if status := answers(t, other, "first-token-of-the-page"); status != 401 {
		t.Errorf("it answers %d to the former token", status)
	}
	y.stops(cmd)
}

// between is what the settings say between two texts.
func (y *yard) between(from, to string) string {
	y.Helper()
	_, text, found := strings.Cut(y.read("plumbrule.toml"), from)
	if !found {
		y.Fatalf("the settings have no %q", from)
	}
	text, _, _ = strings.Cut(text, to)
	return text
}
