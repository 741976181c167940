package alert

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"plumbrule/records"
	"plumbrule/rules"
)

// What becomes graver while a message is on its way is told after it; what is
// answered twice, or was never sent, changes nothing.
func TestOnItsWay(t *testing.T) {
	m, clock := newMemory(), start()
	b := mustOpen(t, m, clock)
	b.Observe(clock.at, []Finding{finding("scan-02", "a", Limited, "x")})
	list := b.Due(clock.at)
	if len(list) != 2 {
		t.Fatalf("%d deliveries", len(list))
	}
	b.Observe(clock.at, []Finding{finding("scan-02", "a", Unfit, "y")})
	if again := b.Due(clock.at); len(again) != 0 {
		t.Fatalf("a target got a second delivery before the answer to the first: %+v", again)
	}
	for _, d := range list {
		b.Delivered(d, nil)
	}
	second := b.Due(clock.at)
	if len(second) != 2 || second[0].Alerts[0].Told.Severity != Limited || second[0].Alerts[0].Severity != Unfit {
		t.Fatalf("%+v", second)
	}
	b.Delivered(list[0], nil) // once more
	b.Delivered(Delivery{ID: "x", Target: Target{Channel: "nobody"}}, nil)
	if third := b.Due(clock.at); len(third) != 0 {
		t.Errorf("an old answer freed the target: %+v", third)
	}
	if second[0].ID == list[0].ID {
		t.Error("two messages with one id")
	}
	failed := second[0]
	b.Delivered(failed, errors.New("away"))
	clock.at = clock.at.Add(time.Minute)
	if again := b.Due(clock.at); len(again) != 1 || again[0].ID != failed.ID || again[0].Attempt != 2 {
		t.Errorf("%+v", again)
	}
}

// A receiver that says how long it wants to be left alone is.
func TestRetryAfter(t *testing.T) {
	m, clock := newMemory(), start()
	b := mustOpen(t, m, clock)
	b.Observe(clock.at, []Finding{finding("scan-02", "a", Limited, "x")})
	for _, d := range b.Due(clock.at) {
		if d.Target.Channel == "hook" {
			b.Delivered(d, busy(10*time.Minute))
		} else {
			b.Delivered(d, nil)
		}
	}
	if next := b.Next(); !next.Equal(clock.at.Add(10 * time.Minute)) {
		t.Errorf("asked again at %s", next)
	}
}

type busy time.Duration

func (busy) Error() string               { return "429 Too Many Requests" }
func (b busy) RetryAfter() time.Duration { return time.Duration(b) }

// Waits double up to a bound, are at most a quarter shorter than that, and are
// the same each time.
func TestWaits(t *testing.T) {
	for failures, want := range map[int]time.Duration{1: 5 * time.Second, 2: 10 * time.Second, 8: 640 * time.Second, 9: 15 * time.Minute, 1000: 15 * time.Minute} {
		if got := doubled(firstWait, longestWait, failures); got != want {
			t.Errorf("after %d failures %v, want %v", failures, got, want)
		}
	}
	if got := refusedWait(20); got != 6*time.Hour {
		t.Errorf("after 20 refusals %v", got)
	}
	different := map[time.Duration]bool{}
	for i := range 100 {
		target := Target{"mail", fmt.Sprint(i)}
		got := jittered(time.Minute, target, i)
		if got > time.Minute || got < 45*time.Second || got != jittered(time.Minute, target, i) {
			t.Errorf("%v", got)
		}
		different[got] = true
	}
	if len(different) < 50 {
		t.Errorf("only %d different waits", len(different))
	}
}

// Two findings with one key are one alert, as grave as the graver.
func TestMerged(t *testing.T) {
	for _, order := range [][]string{{Limited, Unfit}, {Unfit, Limited}} {
		b := mustOpen(t, newMemory(), start())
		var list []Finding
		for _, severity := range order {
			f := finding("scan-02", "a", severity, severity+" sentence")
			f.Sources = []string{"both.toml", severity + ".toml"}
			list = append(list, f, f)
		}
		b.Observe(start().at, list)
		got := b.Alerts()
		if len(got) != 1 || got[0].Severity != Unfit || got[0].Sentence != "unfit sentence; limited sentence" ||
			!slices.Equal(got[0].Sources, []string{"both.toml", "unfit.toml", "limited.toml"}) {
			t.Errorf("%+v", got)
		}
	}
}

// Foreign texts are bounded and UTF-8, so that a restart finds the same.
func TestForeignTexts(t *testing.T) {
	m, clock := newMemory(), start()
	f := finding("scan-02", "a", "no such severity", strings.Repeat("ä", 5000)+"\xff\x00\n\u202e")
	f.Sources = slices.Repeat([]string{"a\xff"}, 1000)
	for range 2 {
		b := mustOpen(t, m, clock)
		b.Observe(clock.at, []Finding{f})
		clock.at = clock.at.Add(time.Minute)
		got := b.Alerts()[0]
		if len(got.Sentence) > longestText+len("…") || len(got.Sources) != mostSources || !got.Changed.Equal(start().at) {
			t.Errorf("%d bytes, %d sources, changed %s", len(got.Sentence), len(got.Sources), got.Changed)
		}
		if Rank(got.Severity) <= Rank(Fault) {
			t.Error("an unknown severity is not the gravest")
		}
	}
}

// Of what is cleared the last is kept, and what nobody can be told of is given up
// after a month, with a note.
func TestForgotten(t *testing.T) {
	clock := start()
	b := mustOpen(t, newMemory(), clock)
	var list []Finding
	for i := range 2000 {
		list = append(list, finding(fmt.Sprint("scan-", i), "a", Limited, ""))
	}
	b.Observe(clock.at, list)
	sendAll(b, clock.at)
	b.Observe(clock.at, nil)
	clock.at = clock.at.Add(10 * time.Minute)
	sendAll(b, clock.at)
	sendAll(b, clock.at)
	if n := len(b.Alerts()); n != keptNumber {
		t.Errorf("%d alerts are kept", n)
	}
	b.Observe(clock.at, []Finding{finding("scan-x", "a", Limited, "")})
	b.Observe(clock.at, nil)
	for day := range 40 {
		clock.at = clock.at.Add(24 * time.Hour)
		for _, d := range b.Due(clock.at) {
			b.Delivered(d, errors.New("away"))
		}
		kept := slices.ContainsFunc(b.Alerts(), func(a Alert) bool { return a.Subject == "scan-x" })
		if kept != (day < 30) {
			t.Errorf("day %d: kept is %v", day, kept)
		}
	}
	if n := b.Notes(); len(n) != 1 || !strings.Contains(n[0], "scan-x, cleared 2026-10-05 06:15 UTC, could not be told in 30 days") {
		t.Errorf("%q", n)
	}
}

// Two lines of the journal say that alerts of one key stand: the younger does, and
// nobody is told that the older ended.
func TestTwoOfOneKey(t *testing.T) {
	m, clock := newMemory(), start()
	var text []byte
	for i := range 2 {
		at := clock.at.Add(time.Duration(i) * time.Hour)
		e := &entry{
			Alert:  Alert{Finding: finding("scan-02", "a", Limited, "x"), ID: fmt.Sprintf("%012d", i), Worst: Limited, Raised: at, Since: at, Changed: at},
			Ledger: map[Target]*Told{{"mail", "mk"}: {At: at, Severity: Limited}, {Channel: "hook"}: {At: at, Severity: Limited}},
		}
		line, err := encodeLine(e)
		if err != nil {
			t.Fatal(err)
		}
		text = append(text, line...)
	}
	m.files[journalName] = &node{data: text}
	clock.at = clock.at.Add(90 * time.Minute)
	b := mustOpen(t, m, clock)
	b.Observe(clock.at, []Finding{finding("scan-02", "a", Limited, "x")})
	if told := sendAll(b, clock.at); len(told) > 0 {
		t.Errorf("told: %q", told)
	}
	if list := b.Alerts(); len(list) != 2 || list[0].ID != "000000000001" || list[0].State() != Raised || list[1].State() != Cleared {
		t.Errorf("%+v", list)
	}
}

// Another program asks a running watcher to acknowledge.
func TestRequests(t *testing.T) {
	dir, clock := t.TempDir(), start()
	b, err := Open(dir, clock, mailAndHook())
	if err != nil {
		t.Fatal(err)
	}
	b.Observe(clock.at, []Finding{finding("scan-02", "a", Limited, "x"), finding("scan-03", "a", Limited, "x")})
	leave := func(subject string, at time.Time) {
		t.Helper()
		if err := Leave(dir, Request{Key: Key{Subject: subject}, By: "mk", Why: "sent for repair", At: at}); err != nil {
			t.Fatal(err)
		}
	}
	leave("scan-02", clock.at)
	leave("scan-03", clock.at.Add(-time.Minute)) // before it was raised
	if err := os.WriteFile(filepath.Join(dir, "acknowledge-z.json"), []byte("{"), 0o600); err != nil {
		t.Fatal(err)
	}
	var said []string
	for _, err := range b.Requests(dir, clock.at) {
		said = append(said, fmt.Sprint(err))
	}
	slices.Sort(said)
	if len(said) != 3 || said[0] != "<nil>" || !strings.Contains(said[1], "acknowledge-z.json is no request") || !strings.Contains(said[2], "look at it again") {
		t.Errorf("%q", said)
	}
	if more := b.Requests(dir, clock.at); len(more) > 0 {
		t.Errorf("asked again: %q", more)
	}
	list, _, err := Read(dir)
	if err != nil || list[0].State() != Acknowledged || list[0].Acknowledged.Why != "sent for repair" || list[1].State() != Raised {
		t.Errorf("%v %+v", err, list)
	}
	// While the journal cannot be written the request stays.
	if err := os.Remove(filepath.Join(dir, journalName)); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(filepath.Join(dir, journalName), 0o700); err != nil {
		t.Fatal(err)
	}
	leave("scan-03", clock.at)
	if said := b.Requests(dir, clock.at); len(said) != 1 || said[0] == nil {
		t.Errorf("%q", said)
	}
	if err := os.Remove(filepath.Join(dir, journalName)); err != nil {
		t.Fatal(err)
	}
	if said := b.Requests(dir, clock.at); len(said) != 1 || said[0] != nil {
		t.Errorf("%q", said)
	}
	if said := b.Requests(dir, clock.at); len(said) != 0 {
		t.Errorf("%q", said)
	}
}

func TestAcknowledgeNeedsWords(t *testing.T) {
	b := mustOpen(t, newMemory(), start())
	b.Observe(start().at, []Finding{finding("scan-02", "a", Limited, "x")})
	for want, ask := range map[string][3]string{
		"which alert":      {"", "mk", "w"},
		"who acknowledges": {"scan-02", " ", "w"},
		"not said why":     {"scan-02", "mk", "\n"},
	} {
		if err := b.Acknowledge(Key{Subject: ask[0]}, ask[1], ask[2], start().at); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", ask, err)
		}
	}
}

// Sentences are those of package rules.
func TestAbout(t *testing.T) {
	for _, c := range []struct {
		reason rules.Reason
		want   string
	}{
		{rules.Reason{Code: "check-due", Sentence: "check bar-weekly is due by 2026-10-12"}, "check bar-weekly is due by"},
		{rules.Reason{Code: "check-overdue", Sentence: "check bar-3s, last made on 2026-10-05, was due by 2026-10-12"}, "check bar-3s, last made on was due by"},
		{rules.Reason{Code: "chart-signal", Sentence: "chart bar-weekly bar-3s A-C: point-beyond, +3.1 µm (check of 2026-10-05)"}, "chart bar-weekly bar-3s A-C"},
		{rules.Reason{Code: "quantity-failed", Sentence: "A-C: error +170.0 µm", Quantities: []records.Quantity{records.Distance}}, "distance"},
		{rules.Reason{Code: "record-unreadable", Sentence: "x", Sources: []rules.Source{{File: "checks/a.toml", Line: 7}, {File: "b"}}}, "checks/a.toml"},
		{rules.Reason{Code: "certificate-unreviewed"}, ""},
		{rules.Reason{Code: "withdrawn", Sentence: "withdrawn since 2026-10-05: a fall"}, ""},
	} {
		if got := About(&c.reason); got != c.want {
			t.Errorf("%s: %q, want %q", c.reason.Code, got, c.want)
		}
	}
	// The figures of a sentence are no part of it.
	a := About(&rules.Reason{Code: "check-due", Sentence: "an extra check bar is due since 2026-10-12"})
	if b := About(&rules.Reason{Code: "check-due", Sentence: "an extra check bar is due since 2026-11-01"}); a != b {
		t.Errorf("%q and %q", a, b)
	}
}

// Codes named in About are reason codes.
func TestAboutKnowsItsCodes(t *testing.T) {
	known := map[string]bool{}
	for _, c := range rules.ReasonCodes() {
		known[c.ID] = true
	}
	text, err := os.ReadFile("about.go")
	if err != nil {
		t.Fatal(err)
	}
	for word := range strings.SplitSeq(string(text), `"`) {
		if strings.Contains(word, "-") && !strings.ContainsAny(word, " /\n") && !known[word] {
			t.Errorf("there is no reason %q", word)
		}
	}
}

func TestFind(t *testing.T) {
	list := []Alert{
		{ID: "abc1", Finding: finding("scan-1", "a", Fit, "")},
		{ID: "abd1", Finding: finding("scan-2", "a", Fit, "")},
		{ID: "e000", Finding: finding("scan-3", "a", Fit, ""), Cleared: start().at},
	}
	for id, want := range map[string]string{"abc1": "scan-1", "ABD": "scan-2", "ab": "", "": "", "e000": "", "x": ""} {
		if key, ok := Find(list, id); key.Subject != want || ok != (want != "") {
			t.Errorf("%q: %v %v", id, key, ok)
		}
	}
}
