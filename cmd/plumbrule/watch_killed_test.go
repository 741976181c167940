//go:build linux

package main

import (
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"plumbrule/cmd/plumbrule/internal/inbox"
	"plumbrule/records"
	"plumbrule/records/calendar"
)

// receiver is a web hook that remembers which alert came in which run of the watcher.
type receiver struct {
	*httptest.Server
	mu   sync.Mutex
	run  int
	told map[string]map[int]int // by "kind subject code": how often in which run
}

func newReceiver(t *testing.T) *receiver {
	t.Helper()
	r := &receiver{told: map[string]map[int]int{}}
	r.Server = httptest.NewServer(http.HandlerFunc(func(_ http.ResponseWriter, q *http.Request) {
		var m struct {
			Kind   string
			Alerts []struct{ Subject, Code, State string }
		}
		text, _ := io.ReadAll(q.Body) // one that was cut off is sent again
		if json.Unmarshal(text, &m) != nil {
			return
		}
		r.mu.Lock()
		defer r.mu.Unlock()
		for _, a := range m.Alerts {
			what := strings.Join([]string{m.Kind, a.Subject, a.Code}, " ")
			if r.told[what] == nil {
				r.told[what] = map[int]int{}
			}
			r.told[what][r.run]++
		}
	}))
	t.Cleanup(r.Close)
	return r
}

func (r *receiver) next() {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.run++
}

func (r *receiver) count(what string) (times, mostInARun int) {
	r.mu.Lock()
	defer r.mu.Unlock()
	for _, n := range r.told[what] {
		times += n
		mostInARun = max(mostInARun, n)
	}
	return times, mostInARun
}

// yard is a repository with many scanners that a watcher, a process of its own, looks after.
type yard struct {
	*testing.T
	root, state string
	receiver    *receiver
	env         []string
	program     string
	as          *syscall.Credential // of the watcher; nil: whoever runs the test
}

const yardSecret = "0123456789abcdef0123456789abcdef"

func newYard(t *testing.T, settings string) *yard {
	t.Helper()
	y := &yard{T: t, program: "plumbrule", root: filepath.Join(t.TempDir(), "yard"), state: t.TempDir(), receiver: newReceiver(t)}
	if err := os.CopyFS(y.root, os.DirFS("testdata/shop")); err != nil {
		t.Fatal(err)
	}
	y.env = append(os.Environ(), "PLUMBRULE_TEST_NOW=wall", "HOOK_SECRET="+yardSecret, "GORACE=atexit_sleep_ms=0")
	y.write(records.SiteFile, y.read(records.SiteFile)+fmt.Sprintf(`
[watch]
settle = "100 ms"
calm = "1 s"
[inbox]
stable = "200 ms"
[page]
listen = "none"
[[channel]]
name = "hook"
kind = "webhook"
url = %q
secret-env = "HOOK_SECRET"
[[route]]
channel = "hook"
`, y.receiver.URL)+settings)
	if err := os.MkdirAll(filepath.Join(y.root, inbox.Folder), 0o755); err != nil {
		t.Fatal(err)
	}
	return y
}

func (y *yard) read(name string) string {
	y.Helper()
	text, err := os.ReadFile(filepath.Join(y.root, name))
	if err != nil {
		y.Fatal(err)
	}
	return string(text)
}

// write puts a file into the repository as careful programs do: whole or not at all.
func (y *yard) write(name, text string) {
	y.Helper()
	path := filepath.Join(y.root, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		y.Fatal(err)
	}
	temporary := filepath.Join(filepath.Dir(path), ".new-"+filepath.Base(path))
	if err := os.WriteFile(temporary, []byte(text), 0o644); err != nil {
		y.Fatal(err)
	}
	if err := os.Rename(temporary, path); err != nil {
		y.Fatal(err)
	}
}

// scanner adds a scanner like the shop's.
func (y *yard) scanner(id string) {
	y.Helper()
	y.write("devices/"+id+".toml", strings.Replace(y.read("devices/scan-1.toml"), "HS-2", "HS-"+id, 1))
	y.write("certificates/"+id+"/2026-03-01-S-"+id+".toml",
		strings.NewReplacer(`"scan-1"`, strconv.Quote(id), "S-9", "S-"+id).Replace(y.read("certificates/scan-1/2026-03-01-S-9.toml")))
}

// failing is a check in which a scanner's distance is a millimetre too long.
func (y *yard) failing(id string, at time.Time) {
	y.Helper()
	zone, err := calendar.Zone("Europe/Berlin")
	if err != nil {
		y.Fatal(err)
	}
	at = at.In(zone)
	y.write(fmt.Sprintf("checks/%s/%s/%s-bar-weekly.toml", id, at.Format("2006"), at.Format("2006-01-02T1504")),
		fmt.Sprintf("device = %q\ntime = %s\nentered = %s\n%s", id, at.Format(time.RFC3339), at.Format(time.RFC3339), sameOfAll)+
			"unit = \"mm\"\n[[reading]]\nfeature = \"A\"\nvalues = [30.0, 30.0, 30.0]\n[[reading]]\nfeature = \"A-C\"\nvalues = [801.0]\npath = \"2.6 m\"\n")
}

const sameOfAll = `artifact = "bar-1"
procedure = "bar-weekly"
by = "mk"
compensated = true
`

// drop puts an export with its sidecar into the inbox; the diameter tells it from all others.
func (y *yard) drop(n int, id string, at time.Time) {
	y.Helper()
	name := fmt.Sprintf("%s/export-%04d.csv", inbox.Folder, n)
	y.write(name+".toml", fmt.Sprintf("device = %q\ntime = %s\nunit = \"mm\"\n%s", id, at.Format(time.RFC3339), sameOfAll))
	y.write(name, fmt.Sprintf("feature,value,path\nA,%s,\nA,30,\nA,30,\nA-C,800.03,2.6 m\n", mark(n)))
}

// mark is a diameter that only one dropped export has.
func mark(n int) string { return fmt.Sprintf("30.%06d", n+1) }

// watcher starts one.
func (y *yard) watcher(more ...string) *exec.Cmd {
	y.Helper()
	y.receiver.next()
	cmd := exec.CommandContext(y.Context(), y.program, append([]string{"-C", y.root, "watch", "--state", y.state}, more...)...)
	cmd.Env = y.env
	cmd.SysProcAttr = &syscall.SysProcAttr{Credential: y.as}
	cmd.Stderr = &logged{}
	if err := cmd.Start(); err != nil {
		y.Fatal(err)
	}
	return cmd
}

// logged keeps the end of what a process writes.
type logged struct {
	mu  sync.Mutex
	end []byte
}

func (l *logged) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.end = append(l.end, p...)
	l.end = l.end[max(0, len(l.end)-1<<14):]
	return len(p), nil
}

func (l *logged) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return string(l.end)
}

// settled waits until something holds.
func (y *yard) settled(limit time.Duration, cmd *exec.Cmd, what string, holds func() bool) {
	y.Helper()
	for end := time.Now().Add(limit); !holds(); <-time.After(50 * time.Millisecond) {
		if time.Now().After(end) {
			asked := exec.CommandContext(y.Context(), "plumbrule", "-C", y.root, "status")
			asked.Env = y.env
			status, _ := asked.CombinedOutput() // for a person to read
			y.Fatalf("not so after %s: %s\ntold: %v\n%s\n%s", limit, what, y.receiver.told, status, cmd.Stderr)
		}
	}
}

// stops ends a watcher as a service manager does.
func (y *yard) stops(cmd *exec.Cmd) {
	y.Helper()
	y.settled(20*time.Second, cmd, "it has begun", func() bool { return strings.Contains(cmd.Stderr.(*logged).String(), "msg=watching") })
	begun := time.Now()
	if err := cmd.Process.Signal(syscall.SIGTERM); err != nil {
		y.Fatal(err)
	}
	if err := cmd.Wait(); err != nil {
		y.Errorf("it did not end in good order: %v\n%s", err, cmd.Stderr)
	}
	if took := time.Since(begun); took > 5*time.Second {
		y.Errorf("it took %s to end, want at most 5 s", took)
	}
}

// inboxEmpty tells whether all that was dropped is gone from the inbox, and fails if something was refused.
func (y *yard) inboxEmpty() bool {
	y.Helper()
	list, err := os.ReadDir(filepath.Join(y.root, inbox.Folder))
	if err != nil {
		y.Fatal(err)
	}
	for _, entry := range list {
		if entry.Name() == "refused" {
			refused, err := os.ReadDir(filepath.Join(y.root, inbox.Folder, "refused"))
			if err != nil || len(refused) > 0 {
				y.Fatalf("refused: %v %v", refused, err)
			}
			continue
		}
		return false
	}
	return true
}

// The watcher is killed at random instants while scanners fail and exports are dropped. Afterwards every export is in exactly
// one record, and every failure was told at least once and at most once for each start.
func TestKilledAtAnyMoment(t *testing.T) {
	kills := 200
	if text := os.Getenv("PLUMBRULE_TEST_KILLS"); text != "" {
		kills, _ = strconv.Atoi(text)
	} else if testing.Short() {
		kills = 20
	}
	y := newYard(t, "")
	seed := rand.Uint64()
	random := rand.New(rand.NewPCG(seed, 1))
	t.Logf("seed %d", seed)
	start := time.Now().Truncate(time.Minute).Add(-48 * time.Hour)

	const every = 3 // kills for each new scanner
	drops := 0
	for kill := range kills {
		id := fmt.Sprintf("scan-k%03d", kill/every)
		if kill%every == 0 {
			y.scanner(id)
		}
		cmd := y.watcher()
		life := time.Duration(random.IntN(700)) * time.Millisecond
		at := time.After(life)
		if kill%every == 1 {
			y.failing(id, start.Add(time.Hour))
		}
		for range 2 {
			y.drop(drops, "scan-1", start.Add(time.Duration(drops)*time.Minute))
			drops++
			<-time.After(life / 4)
		}
		<-at
		if err := cmd.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		_ = cmd.Wait() // it was killed
	}

	cmd := y.watcher()
	failed := kills / every
	told := func() bool {
		for n := range failed {
			if times, _ := y.receiver.count(fmt.Sprintf("raised scan-k%03d quantity-failed", n)); times == 0 {
				return false
			}
		}
		return true
	}
	y.settled(time.Minute, cmd, "all is taken in and told", func() bool { return y.inboxEmpty() && told() })
	y.stops(cmd)

	for n := range failed {
		what := fmt.Sprintf("raised scan-k%03d quantity-failed", n)
		if times, most := y.receiver.count(what); most > 1 {
			t.Errorf("%s: told %d times, %d of them in one run", what, times, most)
		}
	}
	y.takenOnce(drops)
}

// takenOnce checks that each of the exports dropped is in exactly one record, and that its original was kept.
func (y *yard) takenOnce(drops int) {
	y.Helper()
	set := y.loaded()
	count := map[string]int{}
	for _, list := range set.Checks {
		for _, c := range list {
			for i := range c.Readings {
				if r := &c.Readings[i]; r.Feature == "A" {
					count[fmt.Sprintf("%.6f", r.Values[0])]++
				}
			}
		}
	}
	for n := range drops {
		if count[mark(n)] != 1 {
			y.Errorf("export %d is in %d records, want one", n, count[mark(n)])
		}
	}
}

// loaded is what the repository holds; errors in it are errors of the test.
func (y *yard) loaded() *records.Set {
	y.Helper()
	set, diagnostics := records.Load(os.DirFS(y.root), records.Options{})
	for _, d := range diagnostics {
		if d.Severity == records.Error {
			y.Errorf("%s", d.String())
		}
	}
	return set
}
