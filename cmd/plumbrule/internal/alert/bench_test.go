package alert

import (
	"fmt"
	"testing"
	"time"
)

// many is a fleet of 2 000 devices with three reasons each.
func many() []Finding {
	var out []Finding
	for device := range 2000 {
		for reason := range 3 {
			out = append(out, finding(fmt.Sprintf("scan-%04d", device), fmt.Sprintf("reason-%d", reason), Limited, "a sentence of the usual length, with figures +170.0 µm"))
		}
	}
	return out
}

// BenchmarkOneMore is what one new alert costs among 6 000 that stand: observed,
// written to disk, handed out and answered.
func BenchmarkOneMore(b *testing.B) {
	clock, list := start(), many()
	book, err := Open(b.TempDir(), clock, mailAndHook())
	if err != nil {
		b.Fatal(err)
	}
	book.Observe(clock.at, list)
	sendAll(book, clock.at)
	for i := 0; b.Loop(); i++ {
		clock.at = clock.at.Add(time.Millisecond)
		list[0].Severity = []string{Unknown, Limited}[i%2]
		list[0].About = fmt.Sprint(i)
		if err := book.Observe(clock.at, list); err != nil {
			b.Fatal(err)
		}
		sendAll(book, clock.at)
		book.Next()
	}
}

// BenchmarkNothingNew is what a look costs that finds what stood before.
func BenchmarkNothingNew(b *testing.B) {
	clock, list := start(), many()
	book, err := Open(b.TempDir(), clock, mailAndHook())
	if err != nil {
		b.Fatal(err)
	}
	book.Observe(clock.at, list)
	sendAll(book, clock.at)
	for b.Loop() {
		clock.at = clock.at.Add(time.Millisecond)
		if err := book.Observe(clock.at, list); err != nil {
			b.Fatal(err)
		}
		if len(book.Due(clock.at)) > 0 {
			b.Fatal("something was told again")
		}
	}
}
