package watch_test

import (
	"context"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"plumbrule/cmd/plumbrule/internal/alert"
	"plumbrule/cmd/plumbrule/internal/alert/dispatch"
	"plumbrule/cmd/plumbrule/internal/watch"
	"plumbrule/records"
)

// manual is a clock that goes when a test says so.
type manual struct {
	mu      sync.Mutex
	now     time.Time
	waiting map[chan time.Time]time.Time // by what is left of each wait: steps of the clock do not shorten it
}

func newManual(at string) *manual {
	now, err := time.Parse(time.RFC3339, at)
	if err != nil {
		panic(err)
	}
	return &manual{now: now, waiting: map[chan time.Time]time.Time{}}
}

func (c *manual) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.now
}

func (c *manual) After(d time.Duration) <-chan time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	ch := make(chan time.Time, 1)
	c.waiting[ch] = c.now.Add(d)
	return ch
}

// pass lets time pass.
func (c *manual) pass(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = c.now.Add(d)
	for ch, at := range c.waiting {
		if !c.now.Before(at) {
			ch <- c.now
			delete(c.waiting, ch)
		}
	}
}

// step sets the clock on the wall; no wait is shorter or longer for that.
func (c *manual) step(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = c.now.Add(d)
	for ch, at := range c.waiting {
		c.waiting[ch] = at.Add(d)
	}
}

// outlets delivers to a list, or fails.
type outlets struct {
	mu      sync.Mutex
	sent    []alert.Delivery
	tried   int
	beats   int
	fail    error
	results chan dispatch.Result
}

func (o *outlets) Configure(*records.Site) []alert.Finding { return nil }

func (o *outlets) Send(deliveries []alert.Delivery) {
	o.mu.Lock()
	defer o.mu.Unlock()
	for _, d := range deliveries {
		o.tried++
		if o.fail == nil {
			o.sent = append(o.sent, d)
		}
		o.results <- dispatch.Result{Delivery: d, Err: o.fail}
	}
}

func (o *outlets) Beat(_, _ time.Time) {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.beats++
}

func (o *outlets) Results() <-chan dispatch.Result { return o.results }
func (o *outlets) Close()                          {}

func (o *outlets) breaks(err error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.fail = err
}

// told lists what was told, as "why subject code", in order.
func (o *outlets) told() []string {
	o.mu.Lock()
	defer o.mu.Unlock()
	var out []string
	for _, d := range o.sent {
		for _, a := range d.Alerts {
			out = append(out, fmt.Sprintf("%s %s %s", a.Why, a.Subject, a.Code))
		}
	}
	return out
}

func (o *outlets) count(what string) int {
	n := 0
	for _, t := range o.told() {
		if t == what {
			n++
		}
	}
	return n
}

// scene is a watcher at work on a copy of a small shop.
type scene struct {
	*testing.T
	root, state string
	clock       *manual
	outlets     *outlets
	mu          sync.Mutex
	last        *watch.Outcome
	reload      chan struct{}
	looks       int // through everything, with nothing new found
	end         func()
	events      func() (watch.Events, error)
	drops       watch.Drops
}

// begin starts a watcher on 25 November 2026 at nine in Berlin. The shop's weekly check was made on the 23rd.
func begin(t *testing.T, change ...func(*scene)) *scene {
	t.Helper()
	s := &scene{T: t, root: filepath.Join(t.TempDir(), "shop"), state: t.TempDir(), clock: newManual("2026-11-25T08:00:00Z")}
	if err := os.CopyFS(s.root, os.DirFS("../../testdata/shop")); err != nil {
		t.Fatal(err)
	}
	for _, c := range change {
		c(s)
	}
	s.start()
	t.Cleanup(func() { s.end() })
	return s
}

func (s *scene) start() {
	s.Helper()
	s.outlets = &outlets{results: make(chan dispatch.Result, 1000)}
	w := &watch.Watcher{
		Root: s.root, FS: os.DirFS(s.root), State: s.state, Clock: s.clock, Log: slog.New(slog.DiscardHandler), Outlets: s.outlets, Events: s.events, Drops: s.drops,
		Show: func(o *watch.Outcome) {
			s.mu.Lock()
			defer s.mu.Unlock()
			s.last = o
		},
	}
	s.reload = make(chan struct{}, 1)
	w.Reload = s.reload
	w.Report = func(*watch.Health) {
		s.mu.Lock()
		defer s.mu.Unlock()
		s.looks++
	}
	if err := w.Open(); err != nil {
		s.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	var running sync.WaitGroup
	running.Go(func() { w.Run(ctx) })
	s.end = sync.OnceFunc(func() {
		cancel()
		running.Wait()
		if err := w.Close(); err != nil {
			s.Error(err)
		}
	})
}

func (s *scene) looked() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.looks > 0
}

func (s *scene) outcome() *watch.Outcome {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.last
}

// until lets time pass, a second at a time, until something holds, for at most as many seconds.
func (s *scene) until(seconds int, what string, holds func() bool) {
	s.Helper()
	for range seconds {
		if holds() {
			return
		}
		s.clock.pass(time.Second)
		<-time.After(4 * time.Millisecond)
	}
	if !holds() {
		s.Fatalf("not so after %d s: %s; told: %q", seconds, what, s.outlets.told())
	}
}

// rest lets time pass.
func (s *scene) rest(seconds int) {
	for range seconds {
		s.clock.pass(time.Second)
		<-time.After(4 * time.Millisecond)
	}
}

func (s *scene) write(name, text string) {
	s.Helper()
	write(s.T, filepath.Join(s.root, name), text)
}

const laterCheck = "checks/scan-1/2026/2026-11-25T0900-bar-weekly.toml"

// check is a check of the shop's scanner with a distance so much too long, in mm.
func check(excess float64) string {
	return fmt.Sprintf(`device = "scan-1"
artifact = "bar-1"
procedure = "bar-weekly"
time = 2026-11-25T09:00:00+01:00
entered = 2026-11-25T09:00:00+01:00
by = "mk"
unit = "mm"
[conditions]
artifact-temperature = "21.4 °C"
temperature-uncertainty = "0.3 °C (k = 2)"
[[reading]]
feature = "A"
values = [29.9984, 30.0011, 29.9990]
[[reading]]
feature = "A-C"
values = [%.3f]
path = "2.6 m"
`, 800.031+excess)
}
