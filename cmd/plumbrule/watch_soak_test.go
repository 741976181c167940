//go:build linux

package main

import (
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"go.uber.org/goleak"
)

// TestSoak lets a watcher live, in this process so that the race detector and the look for what was left behind see it, while
// checks are written, drops fall, settings change, records break and are mended, and readers look at its page. It lasts a few
// seconds, or as long as PLUMBRULE_TEST_SOAK says.
func TestSoak(t *testing.T) {
	lasts := 5 * time.Second
	if text := os.Getenv("PLUMBRULE_TEST_SOAK"); text != "" {
		var err error
		if lasts, err = time.ParseDuration(text); err != nil {
			t.Fatal(err)
		}
	}
	before := goleak.IgnoreCurrent()
	y := newYard(t, "")
	address := freeAddress(t)
	y.write("plumbrule.toml", strings.Replace(y.read("plumbrule.toml"), `listen = "none"`, `listen = "`+address+`"`, 1))
	settings := y.read("plumbrule.toml")
	const scanners = 20
	for n := range scanners {
		y.scanner(fmt.Sprintf("scan-s%02d", n))
	}
	y.receiver.next()

	ctx, cancel := context.WithCancel(t.Context())
	log := &logged{}
	ended := make(chan int, 1)
	go func() {
		ended <- run(ctx, env{
			Stdin: strings.NewReader(""), Stdout: io.Discard, Stderr: log, Now: time.Now, Dir: y.root,
			LookupEnv: func(name string) (string, bool) { return yardSecret, name == "HOOK_SECRET" },
		}, []string{"watch", "--state", y.state})
	}()
	client := &http.Client{Timeout: 10 * time.Second, Transport: &http.Transport{}}
	get := func(path string) string {
		q, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://"+address+path, http.NoBody)
		if err != nil {
			t.Fatal(err)
		}
		answer, err := client.Do(q)
		if err != nil {
			return ""
		}
		text, _ := io.ReadAll(answer.Body) // what was cut off is asked for again
		_ = answer.Body.Close()
		return string(text)
	}
	y.soaks(30*time.Second, log, "the page answers", func() bool { return strings.HasPrefix(get("/healthz"), "ok") })

	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 2))
	start := time.Now().Truncate(time.Minute).Add(-72 * time.Hour)
	drops, checks := 0, 0
	var middle, last runtime.MemStats
	halfway := false
	for begun := time.Now(); time.Since(begun) < lasts; <-time.After(time.Duration(random.IntN(60)) * time.Millisecond) {
		if !halfway && time.Since(begun) > lasts/2 {
			runtime.GC()
			runtime.ReadMemStats(&middle)
			halfway = true
		}
		id := fmt.Sprintf("scan-s%02d", random.IntN(scanners))
		switch random.IntN(12) {
		case 0, 1, 2:
			y.failing(id, start.Add(time.Duration(checks)*time.Minute))
			checks++
		case 3, 4:
			y.drop(drops, "scan-1", start.Add(time.Duration(drops)*time.Minute))
			drops++
		case 5:
			y.write("plumbrule.toml", settings+fmt.Sprintf("# %d\n", checks))
		case 6:
			y.write("plumbrule.toml", settings+"[broken\n")
			<-time.After(150 * time.Millisecond)
			y.write("plumbrule.toml", settings)
		case 7:
			name := filepath.Join(y.root, "devices", id+".toml")
			text := y.read("devices/" + id + ".toml")
			if err := os.WriteFile(name, []byte(text[:len(text)/2]), 0o644); err != nil {
				t.Fatal(err)
			}
			<-time.After(120 * time.Millisecond)
			y.write("devices/"+id+".toml", text)
		case 8:
			_ = os.RemoveAll(filepath.Join(y.root, "checks", id)) // gone is gone
		default:
			get([]string{"/", "/device/" + id, "/due", "/alerts", "/records", "/metrics", "/calendar.ics", "/fleet.json"}[random.IntN(8)])
		}
	}
	y.write("plumbrule.toml", settings)
	y.soaks(time.Minute, log, "all that was dropped is taken in", y.inboxEmpty)
	y.soaks(time.Minute, log, "its answers are those of a verb", func() bool {
		now := get("/fleet.json")
		return now != "" && sameFleet(t, now, y.root)
	})
	runtime.GC()
	runtime.ReadMemStats(&last)

	cancel()
	select {
	case status := <-ended:
		if status != 0 {
			t.Errorf("it ended with status %d\n%s", status, log)
		}
	case <-time.After(5 * time.Second):
		t.Errorf("it did not end within 5 s\n%s", log)
	}
	client.CloseIdleConnections()
	y.receiver.Close()
	y.takenOnce(drops)
	goleak.VerifyNone(t, before)
	// The records grow with the soak; what they need is some kB each. A leak would be far above.
	if grown := int64(last.HeapAlloc) - int64(middle.HeapAlloc); halfway && grown > int64(20<<20)+int64(checks+drops)*20_000 {
		t.Errorf("the heap grew by %d MB in the second half, with %d checks and %d drops in all", grown>>20, checks, drops)
	}
}

// soaks waits until something holds.
func (y *yard) soaks(limit time.Duration, log *logged, what string, holds func() bool) {
	y.Helper()
	for end := time.Now().Add(limit); !holds(); <-time.After(100 * time.Millisecond) {
		if time.Now().After(end) {
			y.Fatalf("not so after %s: %s\n%s", limit, what, log)
		}
	}
}

// sameFleet tells whether the page says of each device what status says.
func sameFleet(t *testing.T, page, root string) bool {
	t.Helper()
	_, status, _ := command(t, root, "status", "--format", "csv", "--at", time.Now().Format(time.RFC3339))
	for row := range strings.Lines(status) {
		cells := strings.SplitN(row, ",", 5)
		if len(cells) < 4 || cells[0] == "device" {
			continue
		}
		at := strings.Index(page, fmt.Sprintf("%q", cells[0]))
		if at < 0 {
			return false
		}
		_, rest, found := strings.Cut(page[at:], `"fitness": "`)
		if !found || !strings.HasPrefix(rest, cells[3]+`"`) {
			return false
		}
	}
	return true
}
