package dispatch_test

import (
	"fmt"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"plumbrule/cmd/plumbrule/internal/alert"
	"plumbrule/records"
)

// An alert on its whole way: from the book by a route to Debian's Alertmanager, and on from there to a webhook. It becomes
// less grave over a restart of ours, and is cleared.
func TestThroughInstalledAlertmanager(t *testing.T) {
	const name = "prometheus-alertmanager"
	program, err := exec.LookPath(name)
	if err != nil {
		t.Skipf("NOT TESTED AGAINST %s: it is not installed (apt-get install %s)", name, name)
	}
	onward := newHook(t, nil)
	dir := t.TempDir()
	config := filepath.Join(dir, "config.yml")
	text := fmt.Sprintf(`route: {receiver: onward, group_by: ["..."], group_wait: 0s, group_interval: 1s, repeat_interval: 1h}
receivers: [{name: onward, webhook_configs: [{url: %q, send_resolved: true}]}]
`, onward.URL)
	if err := os.WriteFile(config, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	free, err := (&net.ListenConfig{}).Listen(t.Context(), "tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	address := free.Addr().String()
	_ = free.Close()
	cmd := exec.CommandContext(t.Context(), program, "--config.file="+config, "--storage.path="+dir, "--web.listen-address="+address, "--cluster.listen-address=")
	cmd.Dir, cmd.WaitDelay = dir, time.Second
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
	})
	client := http.Client{Timeout: 5 * time.Second, Transport: &http.Transport{DisableKeepAlives: true}}
	within(t, "it is ready", func() bool {
		r, err := client.Get("http://" + address + "/-/ready")
		if err != nil {
			return false
		}
		_ = r.Body.Close()
		return r.StatusCode == http.StatusOK
	})

	k := open(t, &records.Site{
		Name: "Works", Channels: []records.Channel{{Name: "am", Kind: records.AlertmanagerChannel, URL: "http://" + address, Line: 1}},
		Routes: []records.Route{{Channel: "am"}},
	})
	// To Alertmanager an end that lies in its past is one, so the time has to be its own.
	k.at = time.Now().Add(-10 * time.Minute)
	heard := func(status, severity string) func() bool {
		return func() bool {
			for _, body := range onward.all() {
				if strings.Contains(body, `{"status":"`+status+`","labels":{"about":"distance","alertname":"quantity-failed","device":"scan-02","severity":"`+severity+`"`) {
					return true
				}
			}
			return false
		}
	}
	f := finding("scan-02", alert.Unfit)
	f.About = "distance"
	k.observe(f)
	if r := k.until(k.at); len(r) != 1 || r[0].Err != nil {
		t.Fatalf("%+v", r)
	}
	within(t, "it is heard of", heard("firing", alert.Unfit))

	k.out.Close()
	k.book.Close()
	k.at = k.at.Add(time.Second)
	k.start()
	f.Severity = alert.Limited
	k.observe(f)
	k.until(k.at)
	within(t, "it is less grave", heard("firing", alert.Limited))
	within(t, "it is not as grave any more", heard("resolved", alert.Unfit))

	k.observe()
	k.until(k.at.Add(6 * time.Minute))
	within(t, "it is cleared", heard("resolved", alert.Limited))
}

func within(t *testing.T, what string, holds func() bool) {
	t.Helper()
	for end := time.Now().Add(30 * time.Second); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		if holds() {
			return
		}
	}
	t.Fatalf("not within 30 s: %s", what)
}
