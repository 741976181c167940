package watch_test

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"plumbrule/records"
)

func TestAFailedCheckIsToldOnce(t *testing.T) {
	s := begin(t)
	s.until(60, "the first outcome", func() bool { return s.outcome() != nil })
	s.rest(30)
	before := len(s.outlets.told())

	s.write(laterCheck, check(1))
	s.until(60, "the failure is told", func() bool { return s.outlets.count("raised scan-1 quantity-failed") == 1 })
	s.rest(1200) // across a look through everything
	if got := s.outlets.count("raised scan-1 quantity-failed"); got != 1 {
		t.Errorf("told %d times, want once: %q", got, s.outlets.told()[before:])
	}

	s.end()
	s.start()
	s.until(60, "the first outcome after a restart", func() bool { return s.outcome().Health.Started.After(s.clock.Now().Add(-time.Minute)) })
	s.rest(60)
	if told := s.outlets.told(); len(told) != 0 {
		t.Errorf("told after the restart: %q, want nothing", told)
	}

	if err := os.Remove(filepath.Join(s.root, laterCheck)); err != nil {
		t.Fatal(err)
	}
	s.until(600, "it is cleared", func() bool { return s.outlets.count("cleared scan-1 quantity-failed") == 1 })
}

func TestHalfAFileIsNotRead(t *testing.T) {
	s := begin(t)
	s.until(60, "the first outcome", func() bool { return s.outcome() != nil })
	s.until(60, "all was looked through for the first time", s.looked)
	text := check(0)
	for i := range 16 { // a little more four times a second, settling takes two
		s.write(laterCheck, text[:len(text)*(i+1)/16])
		<-time.After(100 * time.Millisecond) // the system tells of it in its own time
		if i == 6 {
			s.reload <- struct{}{} // a look through everything waits for the file as well
		}
		s.clock.pass(250 * time.Millisecond)
	}
	s.rest(30)
	for _, told := range s.outlets.told() {
		if strings.Contains(told, "unreadable") || strings.Contains(told, "unusable") {
			t.Errorf("told: %s", told)
		}
	}
	if n := len(s.outcome().Set.Checks["scan-1"]); n != 2 {
		t.Errorf("%d checks, want 2", n)
	}
}

// The weekly check falls due on 30 November and is overdue from the midnight after, local time.
func TestTimeIsAnEvent(t *testing.T) {
	s := begin(t)
	s.until(60, "the first outcome", func() bool { return s.outcome() != nil })
	midnight := time.Date(2026, 11, 30, 23, 0, 0, 0, time.UTC)
	s.clock.step(midnight.Add(-30 * time.Second).Sub(s.clock.Now())) // the machine slept
	s.rest(25)
	if n := s.outlets.count("raised scan-1 check-overdue"); n != 0 {
		t.Fatalf("overdue %d times before its time", n)
	}
	s.until(10, "it is overdue", func() bool { return s.outlets.count("raised scan-1 check-overdue") == 1 })
	if late := s.clock.Now().Sub(midnight); late < 0 || late > 5*time.Second {
		t.Errorf("told %s after midnight", late)
	}
}

func TestTheClockIsPutForwardAndBack(t *testing.T) {
	s := begin(t)
	s.until(60, "the first outcome", func() bool { return s.outcome() != nil })
	s.rest(30)
	s.clock.step(24 * time.Hour)
	s.rest(60)
	s.clock.step(-24 * time.Hour)
	s.rest(60)
	s.write(laterCheck, check(1))
	s.until(60, "the failure is told", func() bool { return s.outlets.count("raised scan-1 quantity-failed") == 1 })
	seen := map[string]int{}
	for _, told := range s.outlets.told() {
		if seen[told]++; seen[told] > 1 {
			t.Errorf("told twice: %s", told)
		}
	}
}

func TestMailIsDownForAnHour(t *testing.T) {
	s := begin(t)
	s.until(60, "the first outcome", func() bool { return s.outcome() != nil })
	s.rest(30)
	s.outlets.breaks(errors.New("connection refused"))
	s.write(laterCheck, check(1))
	s.rest(3600)
	if n := s.outlets.tried; n > 40 {
		t.Errorf("%d attempts in an hour, want them to become rarer", n)
	}
	s.outlets.breaks(nil)
	s.until(1000, "the failure is told", func() bool { return s.outlets.count("raised scan-1 quantity-failed") == 1 })
}

func TestTheRepositoryIsMovedAwayAndBack(t *testing.T) {
	s := begin(t)
	s.write(laterCheck, check(1))
	s.until(60, "the failure is told", func() bool { return s.outlets.count("raised scan-1 quantity-failed") == 1 })
	away := s.root + "-away"
	if err := os.Rename(s.root, away); err != nil {
		t.Fatal(err)
	}
	s.until(120, "that it is gone is told", func() bool { return s.outlets.count("raised watcher records-unreachable") == 1 })
	s.rest(900)
	if s.outcome().Health.Blind == "" {
		t.Error("the watcher does not say that it sees nothing")
	}
	if n := s.outlets.count("cleared scan-1 quantity-failed"); n != 0 {
		t.Error("what stood was cleared because nothing could be seen")
	}
	if err := os.Rename(away, s.root); err != nil {
		t.Fatal(err)
	}
	s.until(900, "that it is back is told", func() bool { return s.outlets.count("cleared watcher records-unreachable") == 1 })
	if why := s.outcome().Health.Blind; why != "" {
		t.Errorf("it sees again, and says %q", why)
	}
	if err := os.Remove(filepath.Join(s.root, laterCheck)); err != nil {
		t.Fatal(err)
	}
	s.until(900, "changes are noticed again", func() bool { return s.outlets.count("cleared scan-1 quantity-failed") == 1 })
}

func TestBrokenSettingsLeaveTheOldOnesInForce(t *testing.T) {
	s := begin(t)
	s.until(60, "the first outcome", func() bool { return s.outcome() != nil })
	was, err := os.ReadFile(filepath.Join(s.root, records.SiteFile))
	if err != nil {
		t.Fatal(err)
	}
	s.write(records.SiteFile, string(was)+"\n[watch\n")
	s.until(60, "that the settings are broken is told", func() bool { return s.outlets.count("raised watcher settings-unreadable") == 1 })
	s.write(laterCheck, check(1))
	s.until(60, "checks are judged all the same", func() bool { return s.outlets.count("raised scan-1 quantity-failed") == 1 })
	s.write(records.SiteFile, string(was))
	s.until(600, "that they are mended is told", func() bool { return s.outlets.count("cleared watcher settings-unreadable") == 1 })
}

func TestPermissionIsTakenAwayAndGivenBack(t *testing.T) {
	if os.Geteuid() == 0 {
		t.Skip("nothing is closed to the superuser")
	}
	s := begin(t)
	s.until(60, "the first outcome", func() bool { return s.outcome() != nil })
	folder := filepath.Join(s.root, "checks", "scan-1")
	if err := os.Chmod(folder, 0); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = os.Chmod(folder, 0o755) }) //nolint:gosec // as before
	s.until(1200, "that records cannot be read is told", func() bool { return s.outlets.count("raised scan-1 record-unreadable") == 1 })
	if err := os.Chmod(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	s.until(1200, "that they can is told", func() bool { return s.outlets.count("cleared scan-1 record-unreadable") == 1 })
	s.write(laterCheck, check(1))
	s.until(60, "and changes are noticed", func() bool { return s.outlets.count("raised scan-1 quantity-failed") == 1 })
}

// A checkout of many files is one matter, not thousands.
func TestAStormIsOneEvaluation(t *testing.T) {
	const files = 50_000
	if testing.Short() {
		t.Skip("writes 50 000 files")
	}
	s := begin(t)
	s.until(60, "the first outcome", func() bool { return s.outcome() != nil })
	s.rest(10)
	before := s.outcome().Health.Evaluations
	for i := range files {
		name := fmt.Sprintf("jobs/2026/J-%05d.toml", i)
		s.write(name, fmt.Sprintf("title = \"Blade %d\"\ncustomer = \"C-1\"\ndevices = [\"scan-1\"]\nbegin = 2026-11-24\nend = 2026-11-24\nentered = 2026-11-24T09:00:00+01:00\nby = \"mk\"\n[[measured]]\nquantity = \"distance\"\ntolerance = \"1.5 mm\"\nlength = \"1 m\"\npath = \"2 m\"\n", i))
		if i%1000 == 0 {
			s.clock.pass(100 * time.Millisecond)
		}
	}
	for limit := time.Now().Add(time.Minute); s.outcome().Set.Count() < files; s.clock.pass(20 * time.Millisecond) {
		if time.Now().After(limit) {
			t.Fatalf("%d records are known", s.outcome().Set.Count())
		}
		<-time.After(20 * time.Millisecond)
	}
	s.rest(10)
	if n := s.outcome().Health.Evaluations - before; n > 5 {
		t.Errorf("%d evaluations of one storm", n)
	}
}

func TestTheTreeCannotBeWrittenTo(t *testing.T) {
	s := begin(t)
	s.until(60, "the first outcome", func() bool { return s.outcome() != nil })
	err := filepath.WalkDir(s.root, func(name string, entry fs.DirEntry, err error) error {
		if err != nil || !entry.IsDir() {
			return err
		}
		t.Cleanup(func() { _ = os.Chmod(name, 0o755) }) //nolint:gosec // as before
		return os.Chmod(name, 0o555)
	})
	if err != nil {
		t.Fatal(err)
	}
	s.rest(700)
	for _, told := range s.outlets.told() {
		if strings.HasPrefix(told, "raised watcher") {
			t.Errorf("told: %s, although it only reads", told)
		}
	}
}
