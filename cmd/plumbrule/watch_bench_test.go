//go:build linux

package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"plumbrule/examples/works"
	"plumbrule/records"
	"plumbrule/records/calendar"
)

// The watcher is a process of its own beside 100 000 check records of 200 scanners; its settling time, which comes on top of
// every alert, is cut down to a millisecond. The aims:
//
//	alert  from a file's close to its alert at a webhook: 100 ms in half of the changes, 300 ms in 99 of 100
//	idle   0.1 % of a core; 2 kB of resident memory a record, and 50 MB
//	start  until READY=1: 1.5 times "plumbrule status" of the same files
//	page   20 ms in 99 of 100 answers, at 200 requests a second
//
//	go test -run '^$' -bench Watch -benchtime 1x -count 3 ./cmd/plumbrule
func BenchmarkWatch(b *testing.B) {
	g := newGrounds(b)
	b.Run("start", g.start)
	b.Run("idle", g.idle)
	b.Run("alert", g.alert)
	b.Run("page", func(b *testing.B) { g.page(b, false) })
	b.Run("page-of-changing-records", func(b *testing.B) { g.page(b, true) })
}

const watchedRecords = 100_000

// grounds is a large repository and a receiver of its alerts.
type grounds struct {
	root, address string
	hook          *httptest.Server
	came          chan arrival
	failed        int // checks that failed so far: one of each scanner in turn
}

type arrival struct {
	subject string
	at      time.Time
}

func newGrounds(b *testing.B) *grounds {
	b.Helper()
	g := &grounds{root: b.TempDir(), came: make(chan arrival, 10_000)}
	g.hook = httptest.NewServer(http.HandlerFunc(g.receive))
	b.Cleanup(g.hook.Close)
	g.address = freeAddress(b)
	files, err := works.Many(watchedRecords)
	if err != nil {
		b.Fatal(err)
	}
	// Nothing is to fall due of itself, whenever this is run.
	unhurried := strings.NewReplacer(`"1 day"`, `"1200 months"`, `"12 months"`, `"1200 months"`, `"24 months"`, `"1200 months"`)
	for name, text := range files {
		if strings.HasPrefix(name, "devices/") || strings.HasPrefix(name, "artifacts/") {
			text = []byte(unhurried.Replace(string(text)))
		}
		if name == records.SiteFile {
			text = append(text, g.settings()...)
		}
		path := filepath.Join(g.root, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			b.Fatal(err)
		}
		if err := os.WriteFile(path, text, 0o644); err != nil {
			b.Fatal(err)
		}
	}
	syscall.Sync() // the disk is not to write them while something is measured
	return g
}

func (g *grounds) settings() string {
	return fmt.Sprintf(`
[watch]
settle = "1 ms"
[page]
listen = %q
[[channel]]
name = "hook"
kind = "webhook"
url = %q
secret-env = "HOOK_SECRET"
[[route]]
channel = "hook"
`, g.address, g.hook.URL)
}

// freeAddress is one of this machine at which nobody listens.
func freeAddress(tb testing.TB) string {
	tb.Helper()
	l, err := (&net.ListenConfig{}).Listen(tb.Context(), "tcp", "127.0.0.1:0")
	if err != nil {
		tb.Fatal(err)
	}
	defer l.Close()
	return l.Addr().String()
}

// receive takes note of what was told.
func (g *grounds) receive(_ http.ResponseWriter, q *http.Request) {
	at := time.Now()
	var m struct {
		Kind   string
		Alerts []struct{ Subject, Code string }
	}
	if err := json.NewDecoder(q.Body).Decode(&m); err != nil || m.Kind != "raised" {
		return
	}
	for _, a := range m.Alerts {
		if a.Code == "quantity-failed" {
			g.came <- arrival{a.Subject, at}
		}
	}
}

// command is the program at work in the repository.
func (g *grounds) command(ctx context.Context, environment []string, args ...string) *exec.Cmd {
	cmd := exec.CommandContext(ctx, "plumbrule", append([]string{"-C", g.root}, args...)...)
	cmd.Env = append(append(os.Environ(), "PLUMBRULE_TEST_NOW=wall", "HOOK_SECRET="+yardSecret), environment...)
	return cmd
}

// watcher starts one that remembers nothing, and returns how it is ended before the benchmark does, and how long it took until it
// was ready.
func (g *grounds) watcher(b *testing.B) (cmd *exec.Cmd, end func(), took time.Duration) {
	b.Helper()
	folder := b.TempDir()
	socket, err := net.ListenUnixgram("unixgram", &net.UnixAddr{Name: filepath.Join(folder, "ready"), Net: "unixgram"})
	if err != nil {
		b.Fatal(err)
	}
	defer socket.Close()
	if err := socket.SetReadDeadline(time.Now().Add(time.Minute)); err != nil {
		b.Fatal(err)
	}
	cmd = g.command(context.Background(), []string{"NOTIFY_SOCKET=" + socket.LocalAddr().String()}, "watch", "--state", folder)
	log := &logged{}
	cmd.Stderr = log
	begun := time.Now()
	if err := cmd.Start(); err != nil {
		b.Fatal(err)
	}
	end = sync.OnceFunc(func() {
		_ = cmd.Process.Signal(syscall.SIGTERM)
		if err := cmd.Wait(); err != nil {
			b.Errorf("%s\n%s", err, log)
		}
	})
	b.Cleanup(end)
	for word := make([]byte, 100); ; {
		n, err := socket.Read(word)
		if err != nil {
			b.Fatalf("it was not ready: %s\n%s", err, log)
		}
		if bytes.HasPrefix(word[:n], []byte("READY=1")) {
			return cmd, end, time.Since(begun)
		}
	}
}

// start compares the way to READY=1 with one load and evaluation of all, in turns, by the medians of five.
func (g *grounds) start(b *testing.B) {
	var loads, starts []time.Duration
	for b.Loop() {
		for turn := range 6 {
			begun := time.Now()
			if out, err := g.command(b.Context(), nil, "status").CombinedOutput(); err != nil {
				b.Fatalf("%s\n%s", err, out)
			}
			load := time.Since(begun)
			_, end, start := g.watcher(b)
			end()
			if turn > 0 { // the first warms the cache
				loads, starts = append(loads, load), append(starts, start)
			}
		}
	}
	load, start := most(loads, 50), most(starts, 50)
	b.ReportMetric(start.Seconds(), "s/start")
	b.ReportMetric(load.Seconds(), "s/load")
	b.ReportMetric(float64(start)/float64(load), "×load")
}

// most is what so many of a hundred durations are at most.
func most(list []time.Duration, ofHundred int) time.Duration {
	slices.Sort(list)
	return list[min(len(list)-1, len(list)*ofHundred/100)]
}

// idle is what a watcher takes of the machine while nothing happens: memory after a minute, and time of the processor in two
// minutes, in which the runtime collects garbage at least once. Looking through all files, which falls due every ten minutes, is
// measured by itself and counted with its share.
func (g *grounds) idle(b *testing.B) {
	cmd, _, _ := g.watcher(b)
	for b.Loop() {
		<-time.After(time.Minute)
		resident := float64(resident(b, cmd))
		before, begun := processorTime(b, cmd), time.Now()
		<-time.After(2 * time.Minute)
		still := float64(processorTime(b, cmd)-before) / float64(time.Since(begun))
		before = processorTime(b, cmd)
		if err := cmd.Process.Signal(syscall.SIGHUP); err != nil {
			b.Fatal(err)
		}
		<-time.After(5 * time.Second)
		look := processorTime(b, cmd) - before
		b.ReportMetric(look.Seconds()*1e3, "ms/look")
		b.ReportMetric(100*still, "%core-between-looks")
		b.ReportMetric(100*(still+float64(look)/float64((&records.SiteWatch{}).RescanTime())), "%core")
		b.ReportMetric(resident/1e6, "MB")
		b.ReportMetric((resident-50e6)/watchedRecords, "B/record-above-50MB")
	}
}

// processorTime is what a process has used, its own and that of the system for it (proc_pid_stat(5), fields 14 and 15, in
// hundredths of a second).
func processorTime(b *testing.B, cmd *exec.Cmd) time.Duration {
	b.Helper()
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", cmd.Process.Pid))
	if err != nil {
		b.Fatal(err)
	}
	_, after, _ := strings.Cut(string(text), ") ") // the fields from the third on
	var ticks int
	for _, field := range strings.Fields(after)[11:13] {
		n, err := strconv.Atoi(field)
		if err != nil {
			b.Fatal(err)
		}
		ticks += n
	}
	return time.Duration(ticks) * 10 * time.Millisecond
}

// resident is the memory of a process that is in use, in bytes (proc_pid_status(5), VmRSS).
func resident(b *testing.B, cmd *exec.Cmd) int {
	b.Helper()
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", cmd.Process.Pid))
	if err != nil {
		b.Fatal(err)
	}
	_, after, _ := strings.Cut(string(text), "VmRSS:")
	var kB int
	if _, err := fmt.Sscan(after, &kB); err != nil {
		b.Fatal(err)
	}
	return kB * 1024
}

// fail writes a check in which a scanner's distance is a millimetre too long, and returns which scanner's, and when its file was
// closed.
func (g *grounds) fail(b *testing.B) arrival {
	b.Helper()
	const scanners = watchedRecords / 500
	id := fmt.Sprintf("scan-%05d", 1+g.failed%scanners)
	zone, err := calendar.Zone("Europe/Berlin")
	if err != nil {
		b.Fatal(err)
	}
	at := time.Now().In(zone).Add(-time.Hour).Truncate(time.Minute).Add(time.Duration(g.failed/scanners) * time.Minute)
	g.failed++
	name := filepath.Join(g.root, fmt.Sprintf("checks/%s/%s/%s-bar-daily.toml", id, at.Format("2006"), at.Format("2006-01-02T1504")))
	return arrival{id, g.write(b, name, fmt.Sprintf(`device = %q
artifact = "bar-1"
procedure = "bar-daily"
time = %s
by = "mk"
entered = %s
compensated = true
unit = "mm"
[[reading]]
feature = "A"
values = [30.0, 30.0, 30.0]
[[reading]]
feature = "A-C"
values = [801.0, 801.0, 801.0]
path = "2.6 m"
`, id, at.Format(time.RFC3339), at.Format(time.RFC3339)))}
}

func (g *grounds) write(b *testing.B, name, text string) time.Time {
	b.Helper()
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		b.Fatal(err)
	}
	if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
		b.Fatal(err)
	}
	return time.Now()
}

// alert lets one scanner after another fail.
func (g *grounds) alert(b *testing.B) {
	g.watcher(b)
	var took []time.Duration
	for b.Loop() {
		<-time.After(2 * time.Second)
		for range 120 {
			written := g.fail(b)
			for told := false; !told; {
				select {
				case a := <-g.came:
					if told = a.subject == written.subject; told {
						took = append(took, a.at.Sub(written.at))
					}
				case <-time.After(20 * time.Second):
					b.Fatalf("nobody was told that %s failed", written.subject)
				}
			}
			<-time.After(500 * time.Millisecond)
		}
	}
	b.ReportMetric(most(took, 50).Seconds()*1e3, "ms-median")
	b.ReportMetric(most(took, 99).Seconds()*1e3, "ms-99of100")
}

// page asks for pages 200 times a second for ten seconds, meanwhile a check fails each second or nothing happens.
func (g *grounds) page(b *testing.B, changing bool) {
	b.Helper()
	g.watcher(b)
	<-time.After(2 * time.Second) // until there is a page
	client := &http.Client{Timeout: 10 * time.Second, Transport: &http.Transport{MaxIdleConnsPerHost: 100}}
	defer client.CloseIdleConnections()
	paths := []string{"/", "/device", "/", "/due", "/device", "/alerts", "/places", "/device", "/metrics", "/healthz", "/calendar.ics", "/device", "/style.css"}
	var mu sync.Mutex
	var took []time.Duration
	for b.Loop() {
		var readers sync.WaitGroup
		tick := time.NewTicker(5 * time.Millisecond)
		for i := range 2000 {
			<-tick.C
			if changing && i%200 == 100 {
				g.fail(b)
			}
			path := paths[i%len(paths)]
			if path == "/device" {
				path = fmt.Sprintf("/device/scan-%05d", 1+i*7%(watchedRecords/500))
			}
			readers.Go(func() {
				begun := time.Now()
				if err := read(b.Context(), client, "http://"+g.address+path); err != nil {
					b.Error(err)
				}
				mu.Lock()
				defer mu.Unlock()
				took = append(took, time.Since(begun))
			})
		}
		tick.Stop()
		readers.Wait()
	}
	b.ReportMetric(most(took, 50).Seconds()*1e3, "ms-median")
	b.ReportMetric(most(took, 99).Seconds()*1e3, "ms-99of100")
}

// read reads a page to its end.
func read(ctx context.Context, client *http.Client, address string) error {
	q, err := http.NewRequestWithContext(ctx, http.MethodGet, address, http.NoBody)
	if err != nil {
		return err
	}
	answer, err := client.Do(q)
	if err != nil {
		return err
	}
	defer answer.Body.Close()
	if _, err := io.Copy(io.Discard, answer.Body); err != nil {
		return err
	}
	if answer.StatusCode != http.StatusOK {
		return fmt.Errorf("%s: %s", address, answer.Status)
	}
	return nil
}
