package alert

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

type fixed struct{ at time.Time }

func (f *fixed) Now() time.Time { return f.at }

func start() *fixed { return &fixed{time.Date(2026, 10, 5, 6, 0, 0, 0, time.UTC)} }

func finding(subject, code, severity, sentence string) Finding {
	return Finding{Key: Key{Subject: subject, Code: code}, Severity: severity, Sentence: sentence}
}

func mailAndHook() Settings {
	return Settings{Calm: 5 * time.Minute, Routes: []Route{
		{To: []Target{{"mail", "mk"}}, Remind: 2 * time.Hour},
		{To: []Target{{Channel: "hook"}}},
	}}
}

func mustOpen(tb testing.TB, f folder, c Clock) *Book {
	tb.Helper()
	b, err := open(f, c, mailAndHook())
	if err != nil {
		tb.Fatal(err)
	}
	return b
}

// sendAll delivers what is due and returns what was told to whom.
func sendAll(b *Book, at time.Time) (told []string) {
	for _, d := range b.Due(at) {
		for _, a := range d.Alerts {
			told = append(told, fmt.Sprintf("%s %s %s %s", d.Target, a.Why, a.Subject, a.Severity))
		}
		b.Delivered(d, nil)
	}
	return told
}

// What is read is what was written, with every field.
func TestLineRoundTrip(t *testing.T) {
	at := start().at
	e := &entry{
		Alert: Alert{
			Finding: Finding{
				Key: Key{"scan-02", "check-due", "bar\nü"}, Severity: Fit, Sentence: "a <b> \u202e c\u2028", Mend: "m", Kind: "k", Place: "p", Sources: []string{"a:1", "b:2"},
			},
			ID: "0123456789ab", Worst: Unfit, Raised: at, Since: at.Add(1), Changed: at.Add(2), Gone: at.Add(3), Cleared: at.Add(4),
			Acknowledged: &Acknowledgement{By: "mk", Why: "w", At: at.Add(5), Severity: Fit},
		},
		Returns: 3, Returned: at.Add(6),
		Ledger: map[Target]*Told{{"mail", "m.k"}: {At: at, Severity: Fit, Sentence: "s", Cleared: true, Escalated: Limited}, {Channel: "hook"}: {}},
	}
	text, err := encodeLine(e)
	if err != nil {
		t.Fatal(err)
	}
	if bytes.Count(text, []byte("\n")) != 1 {
		t.Errorf("%q is not one line", text)
	}
	got, err := decodeLine(text)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(e, got, cmp.AllowUnexported(entry{}), cmpopts.IgnoreFields(entry{}, "aims", "refused", "unsaved")); diff != "" {
		t.Errorf("-written +read:\n%s", diff)
	}
}

// A damaged journal is read as far as it goes, and what is amiss is named.
func TestDamagedJournal(t *testing.T) {
	m, clock := newMemory(), start()
	b := mustOpen(t, m, clock)
	b.Observe(clock.at, []Finding{finding("scan-02", "quantity-failed", Limited, "a"), finding("scan-03", "quantity-failed", Limited, "b")})
	sendAll(b, clock.at)
	b.Close()
	good := string(m.files[journalName].data)
	lines := strings.SplitAfter(strings.TrimSuffix(good, "\n"), "\n")
	lines[len(lines)-1] += "\n"
	for _, c := range []struct {
		name, text string
		notes      []string
		again      int // how much is told once more
	}{
		{"whole", good, nil, 0},
		{"empty", "", nil, 4},
		{"empty lines", "\n \n" + good + "\n\n", nil, 0},
		{"last line torn", good[:len(good)-9], []string{"was not written to its end"}, 1},
		{"only half a line", good[:40], []string{"line 1, was not written to its end"}, 4},
		{"without the last line feed", strings.TrimSuffix(good, "\n"), nil, 0},
		{"foreign line", "hello\n" + good, []string{"line 1 of alerts.jsonl is left out: it is no JSON", "kept as alerts.jsonl.damaged"}, 0},
		{"foreign JSON", good + `{"v":1}` + "\n", []string{"it was changed after it was written", "kept as"}, 0},
		{"another version", strings.Replace(good, `"v":1`, `"v":7`, 1) + lines[0], []string{"version 7, this program writes 1", "kept as"}, 2},
		{"a changed byte", strings.ReplaceAll(good, "limited", "fit"), []string{"line 1 of", "changed", "changed", "changed", "changed", "changed", "kept as"}, 4},
		{"binary", good + "\x00\xff\xfe\n", []string{"no JSON", "kept as"}, 0},
		{"no alert", good + mustLine(t, `{"id":""}`), []string{"it holds no alert", "kept as"}, 0},
		{"many", strings.Repeat("x\n", 50) + good, []string{"line 1 ", "", "", "", "", "", "", "", "", "line 10 ", "40 more lines", "kept as"}, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := newMemory()
			m.files[journalName] = &node{data: []byte(c.text)}
			b := mustOpen(t, m, clock)
			notes := b.Notes()
			if strings.HasPrefix(c.name, "a changed byte") {
				notes = slices.Concat(notes[:1], notes[1:])
			}
			if len(notes) != len(c.notes) {
				t.Fatalf("%d notes: %q", len(notes), notes)
			}
			for i, want := range c.notes {
				if !strings.Contains(notes[i], want) {
					t.Errorf("note %q, want %q", notes[i], want)
				}
			}
			b.Observe(clock.at, []Finding{finding("scan-02", "quantity-failed", Limited, "a"), finding("scan-03", "quantity-failed", Limited, "b")})
			if told := sendAll(b, clock.at); len(told) != c.again {
				t.Errorf("%d told again: %q", len(told), told)
			}
			if kept := m.files[damagedName]; kept != nil && string(kept.data) != c.text {
				t.Error("the damaged journal is not kept as it was")
			}
			b.Close()
			b = mustOpen(t, m, clock)
			if n := b.Notes(); len(n) > 0 {
				t.Errorf("still damaged: %q", n)
			}
			if told := sendAll(b, clock.at); len(told) != 0 || len(b.Alerts()) != 2 {
				t.Errorf("told again: %q, %d alerts", told, len(b.Alerts()))
			}
		})
	}
}

func mustLine(t *testing.T, alert string) string {
	t.Helper()
	return fmt.Sprintf(`{"v":1,"sum":"%s","alert":%s}`+"\n", sumOf([]byte(alert)), alert)
}

// Wherever the disk becomes full, the book goes on, says so once there is a list
// of alerts, and writes what it knows when there is room again.
func TestDiskFullAtEveryByte(t *testing.T) {
	clock := start()
	list := []Finding{finding("scan-02", "quantity-failed", Limited, "a")}
	for room := 0; ; room++ {
		m := newMemory()
		b := mustOpen(t, m, clock)
		b.Observe(clock.at, list)
		sendAll(b, clock.at)
		m.room = m.used() + room
		more := append(slices.Clone(list), finding("scan-03", "check-overdue", Unfit, "b"))
		err := b.Observe(clock.at, more)
		if err == nil {
			if room < 100 {
				t.Fatalf("room for %d bytes was enough", room)
			}
			break
		}
		if !errors.Is(err, syscall.ENOSPC) {
			t.Fatal(err)
		}
		if _, draft := m.files[journalName+".new"]; draft {
			t.Fatal("a draft takes the room that is missing")
		}
		told := strings.Join(sendAll(b, clock.at), "\n")
		for _, want := range []string{"mail:mk raised scan-03 unfit", "hook raised scan-03 unfit", "mail:mk raised watcher fault", "hook raised watcher fault"} {
			if !strings.Contains(told, want) {
				t.Fatalf("room for %d bytes: %q is missing in\n%s", room, want, told)
			}
		}
		// A crash now: the old alert is known, the new one is told again, and the journal is whole or torn at its end.
		crashed := newMemory()
		crashed.files[journalName] = &node{data: slices.Clone(m.files[journalName].data)}
		c := mustOpen(t, crashed, clock)
		c.Observe(clock.at, more)
		if again := strings.Join(sendAll(c, clock.at), "\n"); strings.Contains(again, "scan-02") || !strings.Contains(again, "scan-03") {
			t.Fatalf("room for %d bytes, after a crash: %s", room, again)
		}
		m.room = -1
		if err := b.Observe(clock.at, more); err != nil {
			t.Fatal(err)
		}
		d := mustOpen(t, m, clock)
		if n := d.Notes(); len(n) > 0 {
			t.Fatalf("room for %d bytes: %q", room, n)
		}
		if again := sendAll(d, clock.at); len(again) > 0 {
			t.Fatalf("room for %d bytes, told again: %q", room, again)
		}
		at := clock.at.Add(10 * time.Minute)
		if told := sendAll(b, at); !slices.Contains(told, "hook cleared watcher fault") {
			t.Fatalf("room for %d bytes: the fault is not cleared: %q", room, told)
		}
	}
}

// After a sync that failed the whole journal is written anew.
func TestSyncFails(t *testing.T) {
	m, clock := newMemory(), start()
	b := mustOpen(t, m, clock)
	b.Observe(clock.at, []Finding{finding("scan-02", "a", Limited, "")})
	sendAll(b, clock.at)
	m.badSync = true
	if err := b.Observe(clock.at, []Finding{finding("scan-02", "a", Limited, ""), finding("scan-03", "a", Limited, "")}); err == nil {
		t.Fatal("nothing said")
	}
	sendAll(b, clock.at)
	m.badSync = false
	if err := b.Observe(clock.at, []Finding{finding("scan-02", "a", Limited, ""), finding("scan-03", "a", Limited, "")}); err != nil {
		t.Fatal(err)
	}
	m.reboot()
	c := mustOpen(t, m, clock)
	if told := sendAll(c, clock.at); len(told) > 0 || len(c.Notes()) > 0 || m.files[journalName].synced != len(m.files[journalName].data) {
		t.Errorf("told %q, notes %q", told, c.Notes())
	}
}

// Somebody deletes the journal, or its folder, under a running book.
func TestJournalTakenAway(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "state")
	clock := start()
	b, err := Open(dir, clock, mailAndHook())
	if err != nil {
		t.Fatal(err)
	}
	for i, subject := range []string{"scan-01", "scan-02", "scan-03"} {
		list := []Finding{finding("scan-01", "a", Limited, "")}
		if i > 0 {
			list = append(list, finding(subject, "a", Limited, ""))
		}
		if err := b.Observe(clock.at, list); err != nil {
			t.Fatal(err)
		}
		sendAll(b, clock.at)
		if err := os.RemoveAll(dir); err != nil {
			t.Fatal(err)
		}
	}
	if err := b.Observe(clock.at, []Finding{finding("scan-01", "a", Unknown, "")}); err != nil {
		t.Fatal(err)
	}
	b.Close()
	list, notes, err := Read(dir)
	if err != nil || len(notes) > 0 || len(list) != 3 {
		t.Errorf("%v, %q, %d alerts", err, notes, len(list))
	}
	info, err := os.Stat(filepath.Join(dir, journalName))
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("%v, %v", err, info.Mode())
	}
}

// A journal that is there and cannot be read stops the start; where it cannot be
// written, that is an alert.
func TestPermissions(t *testing.T) {
	dir := t.TempDir()
	if err := os.Mkdir(filepath.Join(dir, journalName), 0o700); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(dir, start(), Settings{}); err == nil || !strings.Contains(err.Error(), "everything would be told again") {
		t.Errorf("%v", err)
	}
	m, clock := newMemory(), start()
	m.denied = true
	b := mustOpen(t, m, clock)
	if err := b.Observe(clock.at, []Finding{finding("scan-02", "a", Limited, "")}); !errors.Is(err, fs.ErrPermission) {
		t.Errorf("%v", err)
	}
	if list := b.Alerts(); len(list) != 2 || list[0].Code != journalFailing || !strings.Contains(list[0].Sentence, "permission denied") {
		t.Errorf("%+v", list)
	}
}

// The journal does not grow with time.
func TestJournalIsBounded(t *testing.T) {
	m, clock := newMemory(), start()
	b := mustOpen(t, m, clock)
	largest := 0
	for i := range 4_000 {
		clock.at = clock.at.Add(time.Hour)
		b.Observe(clock.at, []Finding{finding("scan-02", "a", Limited, fmt.Sprintf("day %d", i)), finding(fmt.Sprint("scan-", i), "a", Limited, "")})
		sendAll(b, clock.at)
		largest = max(largest, m.used())
	}
	if most := 5 * compactFrom; largest > most {
		t.Errorf("the journal grew to %d bytes", largest)
	}
	if n := len(b.Alerts()); n > keptNumber+2 {
		t.Errorf("%d alerts are kept", n)
	}
	if n := len(b.ids); n != len(b.entries) {
		t.Errorf("%d ids of %d alerts", n, len(b.entries))
	}
}

func FuzzJournal(f *testing.F) {
	m, clock := newMemory(), start()
	b := mustOpen(f, m, clock)
	b.Observe(clock.at, []Finding{finding("scan-02", "a", Limited, "s"), finding("scan-03", "a", Fit, "")})
	sendAll(b, clock.at)
	good := m.files[journalName].data
	f.Add(good)
	f.Add([]byte("{\n\x00"))
	for line := range bytes.Lines(good) {
		l := strings.SplitAfterN(strings.TrimSpace(string(line)), `"alert":`, 2)
		f.Add([]byte(strings.TrimSuffix(l[1], "}")))
	}
	f.Add([]byte(`{"v":1,"sum":"00000000","alert":null}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		// Whatever is there, the book opens, works, and can be opened again without a note.
		m := newMemory()
		m.files[journalName] = &node{data: text}
		clock := start()
		b := mustOpen(t, m, clock)
		if err := b.Observe(clock.at, []Finding{finding("scan-02", "a", Limited, "s")}); err != nil {
			t.Fatal(err)
		}
		sendAll(b, clock.at)
		if again := mustOpen(t, m, clock); len(again.Notes()) > 0 || len(again.Alerts()) != len(b.Alerts()) || len(sendAll(again, clock.at)) > 0 {
			t.Fatalf("%q", again.Notes())
		}
		// The same text as the content of a line that is whole.
		if alert := bytes.ReplaceAll(text, []byte("\n"), []byte(" ")); json.Valid(alert) {
			m := newMemory()
			m.files[journalName] = &node{data: []byte(fmt.Sprintf(`{"v":1,"sum":"%s","alert":%s}`, sumOf(bytes.TrimSpace(alert)), bytes.TrimSpace(alert)))}
			b := mustOpen(t, m, clock)
			b.Observe(clock.at, []Finding{finding("scan-02", "a", Limited, "s")})
			sendAll(b, clock.at)
			if told := sendAll(b, clock.at); len(told) > 0 {
				t.Fatalf("told twice: %q", told)
			}
			b.Next()
			b.Observe(clock.at, nil)
			sendAll(b, clock.at.Add(30*24*time.Hour))
		}
		// Foreign text in front of good lines takes none of them away.
		m = newMemory()
		m.files[journalName] = &node{data: slices.Concat(bytes.ReplaceAll(text, []byte("alert"), nil), []byte("\n"), good)}
		c := mustOpen(t, m, clock)
		if c.current[Key{"scan-02", "a", ""}] == nil || c.current[Key{"scan-03", "a", ""}] == nil {
			t.Fatal("a good line was lost")
		}
	})
}
