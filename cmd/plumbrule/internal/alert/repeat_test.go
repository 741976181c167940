package alert

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

func repeating() Settings {
	return Settings{Calm: 5 * time.Minute, Routes: []Route{{To: []Target{{Channel: "am"}}, Repeat: true, AnyHour: true}}}
}

// What is repeated each minute leaves nothing in the journal: it would be written anew all day.
func TestRepeatsAreNotWritten(t *testing.T) {
	clock, disk := start(), newMemory()
	b, err := open(disk, clock, repeating())
	if err != nil {
		t.Fatal(err)
	}
	b.Observe(clock.at, []Finding{finding("scan-02", "a", Limited, "x")})
	sendAll(b, clock.at)
	size := disk.used()
	ids := map[string]bool{}
	for range 60 {
		clock.at = b.Next()
		due := b.Due(clock.at)
		if len(due) != 1 {
			t.Fatalf("%d deliveries at %s", len(due), clock.at)
		}
		ids[due[0].ID] = true
		b.Delivered(due[0], nil)
	}
	if clock.at != start().at.Add(time.Hour) || len(ids) != 60 {
		t.Errorf("60 repetitions with %d ids until %s", len(ids), clock.at)
	}
	if got := disk.used(); got != size {
		t.Errorf("the journal grew from %d to %d bytes", size, got)
	}
}

// The clock is put back by a day: the next repetition does not wait for a day.
func TestRepeatsAfterTheClockWasPutBack(t *testing.T) {
	clock := start()
	b, err := open(newMemory(), clock, repeating())
	if err != nil {
		t.Fatal(err)
	}
	b.Observe(clock.at, []Finding{finding("scan-02", "a", Limited, "x")})
	sendAll(b, clock.at)
	clock.at = clock.at.Add(time.Minute)
	sendAll(b, clock.at)
	clock.at = clock.at.Add(-24 * time.Hour)
	sendAll(b, clock.at)
	if wait := b.Next().Sub(clock.at); wait > RepeatTime {
		t.Errorf("it waits for %s", wait)
	}
}

// That somebody knows is passed on at once.
func TestAcknowledgementIsRepeatedAtOnce(t *testing.T) {
	clock := start()
	b, err := open(newMemory(), clock, repeating())
	if err != nil {
		t.Fatal(err)
	}
	b.Observe(clock.at, []Finding{finding("scan-02", "a", Limited, "x")})
	sendAll(b, clock.at)
	clock.at = clock.at.Add(time.Second)
	if err := b.Acknowledge(Key{Subject: "scan-02"}, "mk", "sent for repair", clock.at); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([]string{"am reminder scan-02 limited"}, sendAll(b, clock.at)); diff != "" {
		t.Error(diff)
	}
	if got := sendAll(b, clock.at); len(got) > 0 {
		t.Errorf("again: %q", got)
	}
}
