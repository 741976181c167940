package works_test

import (
	"bytes"
	"flag"
	"io/fs"
	"os"
	"path/filepath"
	"testing"
	"testing/fstest"
	"time"

	"plumbrule/examples/works"
	"plumbrule/records"
	"plumbrule/rules"
)

var update = flag.Bool("update", false, "write the checks of the example repository anew")

const repository = "../propeller-works"

// morning is the instant at which the walk-through begins.
func morning(t testing.TB) time.Time { return instant(t, "2026-11-02T07:00:00+01:00") }

func instant(t testing.TB, text string) time.Time {
	t.Helper()
	at, err := time.Parse(time.RFC3339, text)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

// Every file below checks is made, and every check made is there.
func TestCommitted(t *testing.T) {
	root := os.DirFS(repository)
	made, err := works.Checks(root)
	if err != nil {
		t.Fatal(err)
	}
	if *update {
		rewrite(t, made)
	}
	found := 0
	err = fs.WalkDir(root, "checks", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		found++
		if data, err := fs.ReadFile(root, name); err != nil || !bytes.Equal(data, made[name]) {
			t.Errorf("%s is not what is made; run go generate ./examples/...", name)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if found != len(made) {
		t.Errorf("%d checks are there, %d are made; run go generate ./examples/...", found, len(made))
	}
	if found > 750 {
		t.Errorf("%d checks, expected at most 750: the example is to be read", found)
	}
}

func rewrite(t *testing.T, made map[string][]byte) {
	t.Helper()
	if err := os.RemoveAll(filepath.Join(repository, "checks")); err != nil {
		t.Fatal(err)
	}
	for name, data := range made {
		path := filepath.Join(repository, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func load(t testing.TB) *records.Set {
	t.Helper()
	set, diagnostics := records.Load(os.DirFS(repository), records.Options{CrossCheck: true, At: morning(t)})
	for _, d := range append(diagnostics, rules.Check(set)...) {
		t.Errorf("%s", d)
	}
	return set
}

// The example has neither errors nor warnings, and the devices are what the
// walk-through says.
func TestMorning(t *testing.T) {
	assessment := rules.Evaluate(load(t), morning(t), rules.Options{})
	want := map[string]standing{
		"arm-01":     {rules.Unfit, "all-failed"},
		"bore-01":    {rules.Unknown, "artifact-expired"},
		"caliper-01": {rules.Fit, "extension"},
		"caliper-02": {rules.Unfit, "withdrawn"},
		"height-01":  {rules.Unfit, "calibration-overdue"},
		"mic-01":     {rules.Fit, ""},
		"mic-02":     {rules.Fit, "chart-signal"},
		"scan-01":    {rules.Fit, ""},
		"scan-02":    {rules.Fit, "chart-signal"},
		"scan-03":    {rules.Limited, "quantity-failed"},
		"scan-04":    {rules.Fit, "past-unproven"},
	}
	if len(assessment.Devices) != len(want) {
		t.Errorf("%d devices, expected %d", len(assessment.Devices), len(want))
	}
	for i := range assessment.Devices {
		d := &assessment.Devices[i]
		if got := standingOf(d); got != want[d.ID] {
			t.Errorf("%s is %v, expected %v", d.ID, got, want[d.ID])
		}
		if has(d, "chart-signal") != (d.ID == "scan-02" || d.ID == "mic-02") {
			t.Errorf("%s: a chart signal where the walk-through has none, or none where it has one", d.ID)
		}
	}
}

// Past mornings answer with what was known then.
func TestThen(t *testing.T) {
	set := load(t)
	for _, c := range []struct {
		at, device string
		want       standing
	}{
		{"2025-06-02T12:00:00+02:00", "scan-01", standing{rules.Fit, "chart-provisional"}},
		{"2026-04-20T12:00:00+02:00", "scan-01", standing{rules.Fit, "chart-signal"}}, // a false alarm
		{"2026-05-04T12:00:00+02:00", "scan-01", standing{rules.Fit, ""}},
		{"2026-01-02T12:00:00+01:00", "scan-01", standing{rules.Unfit, "check-overdue"}}, // the works is closed
		{"2026-06-17T12:00:00+02:00", "scan-01", standing{rules.Fit, "firmware-unchecked"}},
		{"2026-08-25T12:00:00+02:00", "scan-01", standing{rules.Unfit, "check-overdue"}}, // measured, not yet entered
		{"2026-08-27T12:00:00+02:00", "scan-01", standing{rules.Fit, ""}},
		{"2026-10-28T12:00:00+01:00", "scan-03", standing{rules.Fit, "check-due"}},
		{"2026-02-03T10:00:00+01:00", "arm-01", standing{rules.Unknown, "unproven-since-adjustment"}},
		{"2026-11-01T12:00:00+01:00", "arm-01", standing{rules.Fit, "check-due"}},
		{"2026-03-10T12:00:00+01:00", "mic-02", standing{rules.Unfit, "withdrawn"}},
		{"2026-03-17T12:00:00+01:00", "mic-02", standing{rules.Fit, ""}},
		{"2026-10-13T09:00:00+02:00", "mic-01", standing{rules.Unfit, "all-failed"}}, // the typing error
		{"2026-10-13T12:00:00+02:00", "mic-01", standing{rules.Fit, ""}},
		{"2026-10-22T12:00:00+02:00", "bore-01", standing{rules.Fit, ""}},
		{"2026-11-21T12:00:00+01:00", "caliper-01", standing{rules.Unfit, "calibration-overdue"}},
	} {
		assessment := rules.Evaluate(set, instant(t, c.at), rules.Options{})
		for i := range assessment.Devices {
			d := &assessment.Devices[i]
			if got := standingOf(d); d.ID == c.device && got != c.want {
				t.Errorf("%s at %s is %v, expected %v", c.device, c.at, got, c.want)
			}
		}
	}
}

type standing struct {
	fitness rules.Fitness
	worst   string // code of the worst reason
}

func standingOf(d *rules.Device) standing {
	s := standing{fitness: d.Fitness}
	if len(d.Reasons) > 0 {
		s.worst = d.Reasons[0].Code
	}
	return s
}

func has(d *rules.Device, code string) bool {
	for _, r := range d.Reasons {
		if r.Code == code {
			return true
		}
	}
	return false
}

// A large site has the size asked for, and every device of it is fit.
func TestMany(t *testing.T) {
	for _, n := range []int{0, 1, 500, 1203} {
		files, err := works.Many(n)
		if err != nil {
			t.Fatal(err)
		}
		site := fstest.MapFS{}
		for name, data := range files {
			site[name] = &fstest.MapFile{Data: data}
		}
		set, diagnostics := records.Load(site, records.Options{CrossCheck: true, At: morning(t)})
		for _, d := range diagnostics {
			t.Errorf("%s", d)
		}
		checks := 0
		for _, list := range set.Checks {
			checks += len(list)
		}
		if devices := (n + 499) / 500; checks != n || len(set.Devices) != devices {
			t.Errorf("%d checks of %d devices, expected %d of %d", checks, len(set.Devices), n, devices)
		}
		for _, d := range rules.Evaluate(set, morning(t), rules.Options{}).Devices {
			if d.Fitness != rules.Fit {
				t.Errorf("%s is %s: %v", d.ID, d.Fitness, d.Reasons)
			}
		}
	}
}

func TestManyRefused(t *testing.T) {
	for _, n := range []int{-1, 99999*500 + 1} {
		if _, err := works.Many(n); err == nil {
			t.Errorf("%d checks: no error", n)
		}
	}
}

func BenchmarkMany(b *testing.B) {
	for b.Loop() {
		if _, err := works.Many(100_000); err != nil {
			b.Fatal(err)
		}
	}
}
