package alert

import (
	"errors"
	"fmt"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// world is a book among disks that fill up, channels that fail and machines that
// stop, with an account of what every reader got.
type world struct {
	book     *Book
	disk     *memory
	settings Settings
	now      time.Time
	restarts int

	standing []Finding
	broken   map[string]error // channels that fail

	raised map[string]Key  // alerts that the book has written down, by id
	got    map[receipt]int // what readers got
	ended  map[receipt]int // restarts until a reader was told of the end
	faults []string
}

// receipt is one thing a reader got to know.
type receipt struct {
	target Target
	id     string
	what   string // "first", "cleared"
}

func newWorld(settings Settings) *world {
	w := &world{
		disk: newMemory(), settings: settings, now: start().at, broken: map[string]error{},
		raised: map[string]Key{}, got: map[receipt]int{}, ended: map[receipt]int{},
	}
	w.open()
	return w
}

func (w *world) Now() time.Time { return w.now }

func (w *world) fault(format string, args ...any) {
	w.faults = append(w.faults, fmt.Sprintf(format, args...))
}

func (w *world) open() {
	var err error
	if w.book, err = open(w.disk, w, w.settings); err != nil {
		w.fault("open: %s", err)
	}
}

// survives does something during which the machine may stop; it is then started
// anew, as long as it takes.
func (w *world) survives(do func()) {
	for {
		if !w.stops(do) {
			return
		}
		for {
			w.restarts++
			w.disk.reboot()
			if !w.stops(w.open) {
				break
			}
		}
		do = w.observe // what a watcher does when it starts
	}
}

func (w *world) stops(do func()) (stop bool) {
	defer func() {
		if p := recover(); p != nil {
			if _, ours := p.(stopped); !ours {
				panic(p)
			}
			stop = true
		}
	}()
	do()
	return false
}

func (w *world) observe() {
	if err := w.book.Observe(w.now, w.standing); err != nil {
		return // not on the disk: a crash may forget it, and finds it again while it stands
	}
	for _, a := range w.book.Alerts() {
		if a.Cleared.IsZero() {
			w.raised[a.ID] = a.Key
		}
	}
}

// deliver sends what is due. Of the deliveries that arrive, the answer to one may
// be lost with the machine.
func (w *world) deliver(lost int) (sent int) {
	for i, d := range w.book.Due(w.now) {
		err := w.broken[d.Target.Channel]
		if err == nil {
			sent++
			w.receive(&d)
		}
		if lost == i+1 {
			panic(stopped{})
		}
		w.book.Delivered(d, err)
	}
	return sent
}

func (w *world) receive(d *Delivery) {
	if len(d.Alerts) == 0 {
		w.fault("an empty delivery to %s", d.Target)
	}
	for i := range d.Alerts {
		a := &d.Alerts[i]
		first := receipt{d.Target, a.ID, "first"}
		over := receipt{d.Target, a.ID, "cleared"}
		if a.Told == nil {
			w.got[first]++
		}
		if a.Why == KindCleared {
			w.got[over]++
			w.ended[over] = w.restarts
		} else if before, over := w.ended[over]; over && before == w.restarts {
			w.fault("%s is told %s of %s after its end", d.Target, a.Why, a.ID)
		}
		if a.Why == KindRaised && a.Told != nil && Rank(a.Severity) <= Rank(a.Told.Severity) {
			w.fault("%s is told of %s again without need", d.Target, a.ID)
		}
		if a.Why == KindReminder && a.State() == Acknowledged {
			w.fault("%s is reminded of %s, which is acknowledged", d.Target, a.ID)
		}
		for _, r := range []receipt{first, over} {
			if n := w.got[r]; n > 1+w.restarts {
				w.fault("%s got %s of %s %d times with %d restarts", r.target, r.what, r.id, n, w.restarts)
			}
		}
	}
}

// settle lets everything work, and a day pass in which nothing new happens.
func (w *world) settle() {
	w.disk.room, w.disk.badSync, w.disk.denied, w.disk.crashAt = -1, false, false, 0
	clear(w.broken)
	w.observe()
	end := w.now.Add(26 * time.Hour)
	for range 10_000 {
		for rounds := 0; w.deliver(0) > 0; rounds++ {
			if rounds > 100 {
				w.fault("there is no end of deliveries at %s", w.now)
				return
			}
		}
		next := w.book.Next()
		if next.IsZero() || next.After(end) {
			w.now = end
			break
		}
		if !next.After(w.now) {
			w.fault("there is no end of what is due at %s", w.now)
			break
		}
		w.now = next
	}
	w.deliver(0)
}

// account says what is amiss in the end: everybody was told of every alert that
// was written down, and of everything that stands; nobody too often.
func (w *world) account() []string {
	for id, key := range w.raised {
		for _, a := range w.settings.aims(&Finding{Key: key, Severity: Fit}) {
			if w.got[receipt{a.target, id, "first"}] == 0 {
				w.fault("%s was never told of %s %v", a.target, id, key)
			}
		}
	}
	stands := map[Key]string{}
	for _, a := range w.book.Alerts() {
		if a.Cleared.IsZero() {
			stands[a.Key] = a.ID
		}
	}
	for _, f := range w.standing {
		id, there := stands[f.Key]
		if !there {
			w.fault("%v stands, and no alert says so", f.Key)
		}
		if w.got[receipt{Target{"mail", "mk"}, id, "first"}] == 0 {
			w.fault("%v stands, and nobody knows", f.Key)
		}
		delete(stands, f.Key)
	}
	for key := range stands {
		w.fault("%v does not stand any more, and its alert is not cleared", key)
	}
	for _, e := range w.book.entries {
		for t, told := range e.Ledger {
			if !e.Cleared.IsZero() && !told.At.IsZero() && !told.Cleared {
				w.fault("%s was not told of the end of %s", t, e.ID)
			}
		}
	}
	return w.faults
}

// The machine stops at every single operation on the disk in turn, in the middle
// of a day with alerts, deliveries and a journal that is written anew.
func TestCrashAtEveryWrite(t *testing.T) {
	for _, kept := range []func(int) int{
		func(int) int { return 0 },
		func(n int) int { return n - 1 },
		func(n int) int { return n / 2 },
	} {
		stops := 0
		for at := 1; ; at++ {
			w := newWorld(mailAndHook())
			w.disk.surprise = kept
			w.disk.crashAt = at
			day := func(step int) {
				w.now = w.now.Add(40 * time.Minute)
				w.standing = []Finding{finding("scan-01", "a", Fit, "x")}
				for i := range step {
					w.standing = append(w.standing, finding(fmt.Sprint("scan-1", i), "b", growing(step), "y"))
				}
				w.survives(w.observe)
				w.survives(func() { w.deliver(0) })
			}
			for _, step := range []int{1, 2, 4, 3, 1} {
				day(step)
				w.survives(func() { _ = w.book.Acknowledge(Key{Subject: "scan-01"}, "mk", "seen", w.now) })
			}
			crashed := w.restarts > 0
			w.settle()
			for _, f := range w.account() {
				t.Errorf("stopped at operation %d: %s", at, f)
			}
			if !crashed || t.Failed() {
				break
			}
			stops++
		}
		if stops < 30 {
			t.Errorf("the machine stopped only %d times", stops)
		}
	}
}

// growing is a severity that grows with a number.
func growing(n int) string { return []string{Fit, Limited, Unknown, Unfit}[n%4] }

// Whatever happens, every alert that was written down is told at least once to
// everybody it concerns, and not more often than once for each restart.
func TestNothingLostNothingRepeated(t *testing.T) {
	quiet := mailAndHook()
	quiet.Quiet = hours(t, "22:00-06:00")
	quiet.Routes[0].Group = 10 * time.Second
	quiet.Routes[0].EscalateAfter, quiet.Routes[0].EscalateTo = time.Hour, []Target{{"mail", "ab"}}
	rapid.Check(t, func(t *rapid.T) {
		w := newWorld(rapid.SampledFrom([]Settings{mailAndHook(), quiet}).Draw(t, "settings"))
		w.disk.surprise = func(n int) int { return rapid.IntRange(0, n-1).Draw(t, "kept") }
		stood := map[Key]Finding{}
		t.Repeat(map[string]func(*rapid.T){
			"observe": func(t *rapid.T) {
				for range rapid.IntRange(0, 3).Draw(t, "changes") {
					f := finding(rapid.SampledFrom([]string{"scan-1", "scan-2"}).Draw(t, "subject"), rapid.SampledFrom([]string{"a", "b"}).Draw(t, "code"),
						rapid.SampledFrom([]string{Fit, Limited, Unfit}).Draw(t, "severity"), "x")
					if rapid.Bool().Draw(t, "stands") {
						stood[f.Key] = f
					} else {
						delete(stood, f.Key)
					}
				}
				w.standing = nil
				for _, f := range stood {
					w.standing = append(w.standing, f)
				}
				slices.SortFunc(w.standing, func(a, b Finding) int { return compareKeys(a.Key, b.Key) })
				w.survives(w.observe)
			},
			"deliver": func(t *rapid.T) {
				lost := rapid.SampledFrom([]int{0, 0, 0, 1, 2}).Draw(t, "answer lost")
				w.survives(func() { w.deliver(lost) })
			},
			"wait": func(t *rapid.T) {
				w.now = w.now.Add(rapid.SampledFrom([]time.Duration{time.Second, 20 * time.Second, 4 * time.Minute, 20 * time.Minute, 3 * time.Hour}).Draw(t, "wait"))
			},
			"step": func(t *rapid.T) {
				w.now = w.now.Add(rapid.SampledFrom([]time.Duration{-24 * time.Hour, 24 * time.Hour, -time.Second}).Draw(t, "step"))
			},
			"channel": func(t *rapid.T) {
				w.broken[rapid.SampledFrom([]string{"mail", "hook"}).Draw(t, "channel")] = rapid.SampledFrom([]error{nil, nil, errors.New("away"), refused("no")}).Draw(t, "state")
			},
			"acknowledge": func(t *rapid.T) {
				key := Key{Subject: rapid.SampledFrom([]string{"scan-1", "scan-2"}).Draw(t, "subject")}
				w.survives(func() { _ = w.book.Acknowledge(key, "mk", "seen", w.now) })
			},
			"disk": func(t *rapid.T) {
				w.disk.room = rapid.SampledFrom([]int{-1, -1, 0, 300, w.disk.used() + 100}).Draw(t, "room")
				w.disk.badSync = rapid.IntRange(0, 4).Draw(t, "sync") == 0
			},
			"crash": func(t *rapid.T) {
				w.disk.done, w.disk.crashAt = 0, rapid.IntRange(1, 12).Draw(t, "at")
			},
			"restart": func(*rapid.T) {
				w.restarts++
				w.survives(w.open)
				w.survives(w.observe)
			},
			"": func(t *rapid.T) {
				for _, f := range w.faults {
					t.Fatal(f)
				}
			},
		})
		w.settle()
		for _, f := range w.account() {
			t.Error(f)
		}
	})
}

func compareKeys(a, b Key) int {
	if a.Subject+" "+a.Code < b.Subject+" "+b.Code {
		return -1
	}
	return 1
}
