package page

import (
	"encoding/json"
	"fmt"
	"net"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// Debian's Prometheus scrapes the metrics of hostile records behind a token and answers questions about them.
func TestPrometheusScrapes(t *testing.T) {
	program, err := exec.LookPath("prometheus")
	if err != nil {
		t.Skip("prometheus is not installed")
	}
	web := guardedByToken(t, hostile(t))
	folder := t.TempDir()
	config := fmt.Sprintf("scrape_configs:\n- job_name: plumbrule\n  scrape_interval: 1s\n  scrape_timeout: 1s\n  authorization: {credentials: %q}\n  static_configs: [{targets: [%q]}]\n", token, web)
	if err := os.WriteFile(filepath.Join(folder, "prometheus.yml"), []byte(config), 0o600); err != nil {
		t.Fatal(err)
	}
	address := free(t)
	server := exec.CommandContext(t.Context(), program, "--config.file="+filepath.Join(folder, "prometheus.yml"), "--storage.tsdb.path="+filepath.Join(folder, "data"),
		"--web.listen-address="+address, "--log.level=error")
	var log strings.Builder
	server.Stdout, server.Stderr = &log, &log
	if err := server.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = server.Process.Kill()
		_ = server.Wait()
		if t.Failed() {
			t.Log(log.String())
		}
	})
	for question, want := range map[string]string{
		`up`:                                 "1",
		`plumbrule_devices{fitness="unfit"}`: "5",
		`count(plumbrule_device_fitness)`:    "19",
		`plumbrule_evaluations_total`:        "7",
		`plumbrule_build_info{version=""}`:   "1",
	} {
		got := ""
		for range 100 {
			if got = ask(address, question); got == want {
				break
			}
			time.Sleep(200 * time.Millisecond)
		}
		if got != want {
			t.Errorf("%s is %q, want %s", question, got, want)
		}
	}
}

// guardedByToken serves a view behind a door with a token and returns its address.
func guardedByToken(t *testing.T, v *View) string {
	t.Helper()
	s, err := New(Settings{Clock: &clock{at: noon()}})
	if err != nil {
		t.Fatal(err)
	}
	display(t, s, v)
	d := &Door{token: token}
	server := http.Server{Handler: d.letIn(s.Handler()), ReadHeaderTimeout: time.Second}
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	go func() { _ = server.Serve(listener) }()
	t.Cleanup(func() {
		s.Close()
		server.Close()
	})
	return listener.Addr().String()
}

// free returns an address that nobody listens on just now.
func free(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().String()
}

// ask puts a question to Prometheus and returns the value of the only answer; empty: there is none yet.
func ask(address, question string) string {
	answer, err := http.Get("http://" + address + "/api/v1/query?query=" + url.QueryEscape(question))
	if err != nil {
		return ""
	}
	defer answer.Body.Close()
	var result struct {
		Data struct {
			Result []struct {
				Value [2]any `json:"value"`
			} `json:"result"`
		} `json:"data"`
	}
	if json.NewDecoder(answer.Body).Decode(&result) != nil || len(result.Data.Result) != 1 {
		return ""
	}
	return fmt.Sprint(result.Data.Result[0].Value[1])
}
