package channel_test

import (
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"plumbrule/cmd/plumbrule/internal/channel"
)

// These tests talk to servers that others have written, from Debian's packages python3-aiosmtpd and prometheus-alertmanager.

// start runs an installed program, which is ended with the test, or skips the test. It returns when the port is listened on.
func start(t *testing.T, port int, debian, name string, arguments ...string) {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		t.Skipf("NOT TESTED AGAINST %s: it is not installed (apt-get install %s)", name, debian)
	}
	var printed strings.Builder
	cmd := exec.CommandContext(t.Context(), path, arguments...)
	cmd.Dir, cmd.Stdout, cmd.Stderr = t.TempDir(), &printed, &printed
	cmd.WaitDelay = time.Second
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
		if t.Failed() {
			t.Logf("%s printed:\n%s", name, printed.String())
		}
	})
	within(t, 30*time.Second, name+" listens", func() bool {
		conn, err := net.Dial("tcp", address(port))
		if err == nil {
			_ = conn.Close()
		}
		return err == nil
	})
}

func within(t *testing.T, limit time.Duration, what string, holds func() bool) {
	t.Helper()
	for end := time.Now().Add(limit); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		if holds() {
			return
		}
	}
	t.Fatalf("not within %s: %s", limit, what)
}

func address(port int) string { return net.JoinHostPort("127.0.0.1", strconv.Itoa(port)) }

// freePort is one that nobody listened on a moment ago.
func freePort(t *testing.T) int {
	t.Helper()
	listener := listen(t)
	defer listener.Close()
	return portOf(listener)
}

func TestMailToInstalledServer(t *testing.T) {
	ca := newAuthority(t)
	certificate, key := ca.signFiles("127.0.0.1")
	for _, c := range []struct {
		name      string
		security  channel.Security
		arguments []string
	}{
		{"none", channel.NoSecurity, nil},
		{"starttls", channel.StartTLS, []string{"--tlscert", certificate, "--tlskey", key}},
		{"tls", channel.TLS, []string{"--smtpscert", certificate, "--smtpskey", key}},
	} {
		t.Run(c.name, func(t *testing.T) {
			port := freePort(t)
			box := filepath.Join(t.TempDir(), "box")
			start(t, port, "python3-aiosmtpd", "aiosmtpd", append(c.arguments, "-n", "-l", address(port), "-c", "aiosmtpd.handlers.Mailbox", box)...)
			settings := plain(port)
			settings.Security, settings.CAFile = c.security, ca.File
			settings.To = []string{"mk@works.example", "Jürgen <jb@works.example>"}
			outcome{}.check(t, send(t, newMail(t, settings), failedCheck()))
			outcome{}.check(t, send(t, newMail(t, settings), channel.TestMessage("Propellerwerk Nord", instant())))
			if c.security == channel.StartTLS {
				settings.CAFile = newAuthority(t).File
				outcome{true, []string{"certificate that is not trusted"}}.check(t, send(t, newMail(t, settings), failedCheck()))
				settings.Security = channel.NoSecurity
				outcome{false, []string{"refused the sender watch@works.example: 530", "STARTTLS"}}.check(t, send(t, newMail(t, settings), failedCheck()))
			}

			files, err := filepath.Glob(filepath.Join(box, "new", "*"))
			if err != nil || len(files) != 2 {
				t.Fatalf("%d letters in the box, want 2 (%v)", len(files), err)
			}
			subjects := map[string]bool{}
			for _, file := range files {
				text, err := os.ReadFile(file)
				if err != nil {
					t.Fatal(err)
				}
				subjects[readLetter(t, string(text)).subject(t)] = true
			}
			for _, want := range []string{"scan-02 unfit: Ø 12 µm over its limit", "Propellerwerk Nord: test of the alerts"} {
				if !subjects[want] {
					t.Errorf("no letter %q among %v", want, subjects)
				}
			}
		})
	}
}

// notice is what an Alertmanager sends on: the parts of its webhook's JSON that are looked at here.
type notice struct {
	Alerts []struct {
		Status              string
		Labels, Annotations map[string]string
	}
}

func TestInstalledAlertmanager(t *testing.T) {
	onward := newHook(t, nil)
	dir := t.TempDir()
	config := filepath.Join(dir, "config.yml")
	text := fmt.Sprintf(`route: {receiver: onward, group_by: ["..."], group_wait: 0s, group_interval: 1s, repeat_interval: 1h}
receivers: [{name: onward, webhook_configs: [{url: %q, send_resolved: true}]}]
`, onward.URL)
	if err := os.WriteFile(config, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	port := freePort(t)
	start(t, port, "prometheus-alertmanager", "prometheus-alertmanager", "--config.file="+config, "--storage.path="+dir,
		"--web.listen-address="+address(port), "--cluster.listen-address=")
	base := "http://" + address(port)
	within(t, 30*time.Second, "it is ready", func() bool {
		text, ok := get(base + "/-/ready")
		return ok && text != ""
	})
	// heard lists what has been sent on so far, as "status alertname device severity".
	heard := func() map[string]bool {
		out := map[string]bool{}
		for _, r := range onward.all() {
			var n notice
			if err := json.Unmarshal([]byte(r.Body), &n); err != nil {
				t.Errorf("%v in %s", err, r.Body)
			}
			for _, a := range n.Alerts {
				out[strings.Join([]string{a.Status, a.Labels["alertname"], a.Labels["device"], a.Labels["severity"]}, " ")] = true
			}
		}
		return out
	}
	waitFor := func(what string) {
		t.Helper()
		within(t, 20*time.Second, what, func() bool { return heard()[what] })
	}

	a := newAlertmanager(t, receiverAt(base))
	m := failedCheck()
	m.At = time.Now()
	m.Alerts = m.Alerts[:2]
	m.Alerts[0].Severity = "limited"
	for i := range m.Alerts {
		m.Alerts[i].Raised = m.At.Add(-time.Hour)
	}
	outcome{}.check(t, send(t, a, m))
	waitFor("firing check-failed scan-02 limited")
	waitFor("firing calibration-overdue gauge-11 unfit")

	// It becomes worse: the alert under the former labels ends.
	m.At = time.Now()
	m.Alerts[0].Severity = "unfit"
	outcome{}.check(t, send(t, a, m))
	waitFor("firing check-failed scan-02 unfit")
	waitFor("resolved check-failed scan-02 limited")
	standing, ok := get(base + "/api/v2/alerts")
	if !ok || !strings.Contains(standing, "at the laboratory until Friday") || !strings.Contains(standing, "bar-weekly.toml:14") {
		t.Errorf("annotations are missing: %s", standing)
	}

	m.At = time.Now()
	m.Alerts[0].State, m.Alerts[0].Cleared = channel.StateCleared, m.At
	outcome{}.check(t, send(t, a, m))
	waitFor("resolved check-failed scan-02 unfit")
	if heard()["resolved calibration-overdue gauge-11 unfit"] {
		t.Error("what still stands was told as resolved")
	}

	outcome{}.check(t, send(t, a, channel.TestMessage("Propellerwerk Nord", time.Now())))
	waitFor("firing test-message watcher fit")
	outcome{}.check(t, send(t, a, channel.Heartbeat("Propellerwerk Nord", time.Now(), time.Now().Add(2*time.Second))))
	waitFor("firing heartbeat watcher fit")
	waitFor("resolved heartbeat watcher fit") // nobody has sent another one

	hostile := failedCheck()
	hostile.At = time.Now()
	hostile.Alerts = []channel.Alert{{Subject: "a\x00\xff\u202e\n", Code: strings.Repeat("x", 10_000), Sentence: "{{ .Labels }} <b>", Raised: time.Now().Add(time.Hour)}}
	outcome{}.check(t, send(t, a, hostile))
	hostile.Alerts = []channel.Alert{{}}
	hostile.Site = ""
	outcome{false, []string{"refused the message: 400 Bad Request"}}.check(t, send(t, a, hostile))
}

func get(url string) (text string, ok bool) {
	client := http.Client{Timeout: 5 * time.Second, Transport: &http.Transport{DisableKeepAlives: true}}
	response, err := client.Get(url)
	if err != nil {
		return "", false
	}
	defer response.Body.Close()
	body, err := io.ReadAll(response.Body)
	return string(body), err == nil && response.StatusCode == http.StatusOK
}
