package records

import (
	"cmp"
	"testing"
	"time"

	"plumbrule/records/calendar"
)

func TestPlaceOf(t *testing.T) {
	for file, want := range map[string]struct {
		kind, subject string
		ok            bool
	}{
		"devices/scan-02.toml":            {"device", "scan-02", true},
		"artifacts/bar.3s.toml":           {"artifact", "bar.3s", true},
		"procedures/p.toml":               {"procedure", "p", true},
		"certificates/bar-3s/a.toml":      {"certificate", "bar-3s", true},
		"events/scan-02/a.toml":           {"event", "scan-02", true},
		"checks/scan-02/2026/a.toml":      {"check", "scan-02", true},
		"jobs/2026/bracket.toml":          {"job", "bracket", true},
		"cases/2026-10-scan-02/a.toml":    {"case", "2026-10-scan-02", true},
		"cases/a.toml":                    {"case", "", false},
		"cases/2026/x/a.toml":             {"case", "2026", false},
		"devices/old/scan-02.toml":        {"device", "scan-02", false},
		"devices/scan-02.TOML":            {"device", "scan-02", false},
		"devices/scan-02.txt":             {"device", "scan-02.txt", false},
		"checks/scan-02/a.toml":           {"check", "scan-02", false},
		"checks/a.toml":                   {"check", "", false},
		"certificates/bar-3s/2026/a.toml": {"certificate", "bar-3s", false},
		"jobs/bracket.toml":               {"job", "bracket", false},
		"plumbrule.toml":                  {"", "", false},
		"inbox/scan.toml":                 {"", "", false},
		"device/scan-02.toml":             {"", "", false},
	} {
		p, ok := placeOf(file)
		if p.kind != want.kind || p.subject != want.subject || ok != want.ok {
			t.Errorf("%s: got %+v, %v", file, p, ok)
		}
	}
}

func TestPaths(t *testing.T) {
	berlin, err := calendar.Zone("Europe/Berlin")
	if err != nil {
		t.Fatal(err)
	}
	at := time.Date(2026, 12, 31, 23, 30, 0, 0, time.UTC) // the next year in Berlin
	for want, got := range map[string]string{
		"checks/scan-02/2027/2027-01-01T0030-bar.toml":       CheckPath(&Check{Device: "scan-02", Procedure: "bar", Time: at}, berlin),
		"events/scan-02/2027-01-01-repair.toml":              EventPath(&Event{Subject: "scan-02", Kind: Repair, Time: at}, berlin),
		"certificates/a/2026-03-01-D-K-12-3.toml":            CertificatePath(&Certificate{Subject: "a", Number: "D-K/12 3", Date: calendar.Date{Year: 2026, Month: 3, Day: 1}}),
		"jobs/2026/j.toml":                                   JobPath(&Job{ID: "j", End: calendar.Date{Year: 2026, Month: 3, Day: 1}}),
		"cases/2026-12-scan-02/2027-01-01T0030-release.toml": StepPath(&CaseStep{Case: "2026-12-scan-02", Step: CaseReleased, Time: at}, berlin),
	} {
		if got != want {
			t.Errorf("got %s, want %s", got, want)
		}
	}
}

func TestBelongs(t *testing.T) {
	const want = "events/a/2026-03-10-repair.toml"
	for file, belonging := range map[string]bool{
		want: true, "events/a/2026-03-10-repair-2.toml": true, "events/a/2026-03-10-repair-999.toml": true,
		"events/a/2026-03-10-repair-1.toml": false, "events/a/2026-03-10-repair-02.toml": false, "events/a/2026-03-10-repair-.toml": false,
		"events/a/2026-03-10-repair-x.toml": false, "events/a/2026-03-10-repairs.toml": false, "events/a/2026-03-10-repair-1000.toml": false,
		"events/b/2026-03-10-repair.toml": false, "events/a/2026-03-10-repair-2": false,
	} {
		if got := belongs(file, want); got != belonging {
			t.Errorf("%s: %v", file, got)
		}
	}
}

func TestNextFree(t *testing.T) {
	taken := map[string]bool{}
	for _, want := range []string{"a/b.toml", "a/b-2.toml", "a/b-3.toml"} {
		got := NextFree("a/b.toml", func(name string) bool { return taken[name] })
		if got != want || !belongs(got, "a/b.toml") {
			t.Errorf("got %s, want %s", got, want)
		}
		taken[got] = true
	}
}

func TestGoodNames(t *testing.T) {
	for id, good := range map[string]bool{
		"a": true, "scan-02": true, "A.b_c-9": true, "": false, "-a": false, "a-": false, ".a": false, "a b": false, "a/b": false, "ä": false,
		"0123456789012345678901234567890123456789012345678901234567890123": true, "01234567890123456789012345678901234567890123456789012345678901234": false,
	} {
		if goodID(id) != good {
			t.Errorf("id %q: %v", id, !good)
		}
	}
	for path, good := range map[string]bool{
		"a/b.pdf": true, "a": true, "": false, ".": false, "/a": false, "../a": false, "a/../b": false, `a\b`: false, "a//b": false, "a/": false, "C:\\a": false,
	} {
		if goodPath(path) != good {
			t.Errorf("path %q: %v", path, !good)
		}
	}
}

func TestCompareFiles(t *testing.T) {
	order := []string{"a/b.toml", "a/b-1.toml", "a/b-2.toml", "a/b-10.toml", "a/b-100.toml", "a/b-02.toml", "a/b-1000.toml", "a/c.toml"}
	for i, a := range order {
		for j, b := range order {
			if got := compareFiles(a, b); got != cmp.Compare(i, j) {
				t.Errorf("%s and %s: %d", a, b, got)
			}
		}
	}
}
