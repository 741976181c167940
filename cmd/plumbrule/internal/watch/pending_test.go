package watch

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func instant(seconds float64) time.Time {
	return time.Date(2026, 11, 2, 7, 0, 0, 0, time.UTC).Add(time.Duration(seconds * float64(time.Second)))
}

// A file is told once it has stood still for the settle time, whatever happens to others meanwhile.
func TestPendingWaitsForEachFile(t *testing.T) {
	p := newPending(time.Second)
	p.change("a", instant(0))
	p.change("b", instant(0.8))
	if at, waiting := p.due(); !waiting || !at.Equal(instant(1)) {
		t.Errorf("due %v", at)
	}
	if b, ready := p.take(instant(0.9)); ready {
		t.Errorf("too early: %v", b)
	}
	if b, ready := p.take(instant(1)); !ready || !slices.Equal(b.Paths, []string{"a"}) || b.All {
		t.Errorf("%v %t, want a", b, ready)
	}
	if b, ready := p.take(instant(1.8)); !ready || !slices.Equal(b.Paths, []string{"b"}) {
		t.Errorf("%v %t, want b", b, ready)
	}
	if _, waiting := p.due(); waiting {
		t.Error("something still waits")
	}
}

// A storm ends in one look at everything, once it is over.
func TestPendingStorm(t *testing.T) {
	p := newPending(time.Second)
	for i := range 3 * storm {
		p.change(fmt.Sprint("checks/", i), instant(float64(i)/1000))
	}
	end := float64(3*storm-1) / 1000
	if _, ready := p.take(instant(end + 0.9)); ready {
		t.Error("told before the storm was over")
	}
	if b, ready := p.take(instant(end + 1)); !ready || !b.All || len(b.Paths) > 0 {
		t.Errorf("%v %t, want everything", b, ready)
	}
}

// A storm that does not end is looked at now and then all the same.
func TestPendingEndlessStorm(t *testing.T) {
	p := newPending(time.Second)
	told := 0
	for i := range 30_000 {
		now := instant(float64(i) / 1000)
		p.change(fmt.Sprint("checks/", i), now)
		if _, ready := p.take(now); ready {
			told++
		}
	}
	if told < 5 || told > 8 { // every five seconds of thirty
		t.Errorf("told %d times in 30 s", told)
	}
}

// A clock set back does not hold a file up.
func TestPendingClockSetBack(t *testing.T) {
	p := newPending(time.Second)
	p.change("a", instant(3600))
	if b, ready := p.take(instant(2)); !ready || !slices.Equal(b.Paths, []string{"a"}) {
		t.Errorf("%v %t", b, ready)
	}
}

// Whatever happens in whatever order: every change is told after it, by name or as part of everything, and nothing else is.
func TestPendingLosesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := newPending(time.Second)
		now := 0.0
		changed := map[string]float64{} // what must still be told, and when it changed last
		for range rapid.IntRange(1, 60).Draw(t, "steps") {
			now += rapid.Float64Range(0, 2).Draw(t, "pause")
			switch rapid.IntRange(0, 3).Draw(t, "what") {
			case 0, 1:
				path := rapid.SampledFrom([]string{"a", "b", "c"}).Draw(t, "path")
				p.change(path, instant(now))
				changed[path] = now
			case 2:
				if rapid.IntRange(0, 9).Draw(t, "overflow") == 0 {
					p.everything(instant(now))
				}
			case 3:
				b, ready := p.take(instant(now))
				if !ready {
					continue
				}
				if b.All {
					clear(changed)
				}
				for _, path := range b.Paths {
					if _, waits := changed[path]; !waits {
						t.Fatalf("%s was told without a change", path)
					}
					if at := changed[path]; now-at < 1-1e-9 {
						t.Fatalf("%s was told %g s after its change", path, now-at)
					}
					delete(changed, path)
				}
			}
		}
		for range 20 {
			now += 1
			if b, ready := p.take(instant(now)); ready {
				if b.All {
					clear(changed)
				}
				for _, path := range b.Paths {
					delete(changed, path)
				}
			}
		}
		if len(changed) > 0 {
			t.Fatalf("never told: %v", changed)
		}
	})
}
