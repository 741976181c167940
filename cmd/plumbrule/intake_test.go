package main

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"plumbrule/cmd/plumbrule/internal/inbox"
	"plumbrule/cmd/plumbrule/internal/repository"
	"plumbrule/cmd/plumbrule/internal/watch"
	"plumbrule/records"
)

// inboxOfWorks is a copy of the example works with an inbox, at a moment of the day its scans are of.
type inboxOfWorks struct {
	*testing.T
	*intake
	root string
	now  time.Time
	said bytes.Buffer

	broken bool // records may be
}

func newInboxOfWorks(t *testing.T, settings string) *inboxOfWorks {
	t.Helper()
	w := &inboxOfWorks{T: t, root: filepath.Join(t.TempDir(), "works"), now: time.Date(2026, 11, 2, 9, 30, 0, 0, time.UTC)}
	if err := os.CopyFS(w.root, os.DirFS("../../examples/propeller-works")); err != nil {
		t.Fatal(err)
	}
	site, err := os.ReadFile(filepath.Join(w.root, records.SiteFile))
	if err != nil {
		t.Fatal(err)
	}
	w.write(records.SiteFile, string(site)+settings)
	if err := os.Mkdir(filepath.Join(w.root, "inbox"), 0o755); err != nil {
		t.Fatal(err)
	}
	e := env{Stdin: strings.NewReader(""), Stdout: &w.said, Stderr: &w.said, Now: func() time.Time { return w.now }, LookupEnv: func(string) (string, bool) { return "", false }}
	repo, err := repository.Find(w.root)
	if err != nil {
		t.Fatal(err)
	}
	w.intake = e.intake(repo, filepath.Join(t.TempDir(), "state"))
	return w
}

func (w *inboxOfWorks) write(name, text string) {
	w.Helper()
	path := filepath.Join(w.root, name)
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		w.Fatal(err)
	}
	if err := os.Chtimes(path, time.Time{}, w.now.Add(-time.Hour)); err != nil {
		w.Fatal(err)
	}
}

func (w *inboxOfWorks) read(name string) string {
	w.Helper()
	text, err := os.ReadFile(filepath.Join(w.root, name))
	if err != nil {
		w.Fatal(err)
	}
	return string(text)
}

// drop copies a scan of the example into the inbox.
func (w *inboxOfWorks) drop(scan, as string) {
	w.Helper()
	w.write("inbox/"+as, w.read("scans/"+scan))
}

// trying is the watcher's way to try a record; whatever it says is held against a load of all records.
func (w *inboxOfWorks) trying() watch.Try {
	x := records.OpenIndex(w.repo.FS(), records.Options{}, func() time.Time { return w.now })
	return func(_ context.Context, q watch.Trial) ([]records.Diagnostic, bool) {
		if _, err := x.Update(q.Written...); err != nil {
			w.Error(err)
		}
		told, _, ok := x.Try(q.Files, q.Name, q.At)
		if !ok {
			w.Errorf("nothing can be told of %s", q.Name)
		}
		if _, want := records.Load(q.Files, records.Options{At: q.At}); !cmp.Equal(told, want) {
			w.Errorf("%s (-load +try): %s", q.Name, cmp.Diff(want, told))
		}
		return told, ok
	}
}

// look takes in what was dropped, with the records as they are.
func (w *inboxOfWorks) look() inbox.Report {
	w.Helper()
	set, list := records.Load(w.repo.FS(), records.Options{})
	if records.HasErrors(list) && !w.broken {
		w.Fatal(list)
	}
	w.use(set)
	w.try = w.trying()
	var all inbox.Report
	for range 2 {
		r, err := w.intake.look(w.Context())
		if err != nil {
			w.Fatal(err)
		}
		all.Taken, all.Refused = append(all.Taken, r.Taken...), append(all.Refused, r.Refused...)
		all.Waiting, all.Trouble = r.Waiting, r.Trouble
		w.now = w.now.Add(10 * time.Second)
	}
	return all
}

// check returns the record of the one check taken in.
func (w *inboxOfWorks) check(r inbox.Report) *records.Check {
	w.Helper()
	if len(r.Taken) == 0 || len(r.Refused)+len(r.Trouble)+len(r.Waiting) > 0 {
		w.Fatalf("%+v\n%s", r, &w.said)
	}
	set, list := records.Load(w.repo.FS(), records.Options{CrossCheck: true, At: w.now})
	for _, d := range list {
		if d.File == r.Taken[0].Record && d.Severity == records.Error {
			w.Error(d)
		}
	}
	for _, c := range set.Checks[r.Taken[0].Device] {
		if c.File == r.Taken[0].Record {
			return c
		}
	}
	w.Fatalf("no record %s", r.Taken[0].Record)
	return nil
}

const (
	sidecarOfBar = `device = "scan-01"
artifact = "bar-800"
procedure = "bar-weekly"
by = "mk"
unit = "mm"
paths = { "A-C" = "1.1 m" }

[conditions]
artifact-temperature = "21.4 °C"
temperature-uncertainty = "0.3 °C (k = 2)"
`
	direct = "2026-11-02-bar-800-direct.ply"
	loop   = "2026-11-02-bar-800-loop.ply"
)

// A scan with a sidecar gives the check that record check makes of it: the figures are those of the walk-through SCANS.md of
// the example, which are held against what is true of the scan there.
func TestIntakeOfAScan(t *testing.T) {
	w := newInboxOfWorks(t, "")
	w.drop(direct, "2026-11-02T0805 bar.ply")
	w.write("inbox/2026-11-02T0805 bar.ply.toml", sidecarOfBar)
	r := w.look()
	c := w.check(r)
	if want := "checks/scan-01/2026/2026-11-02T0805-bar-weekly.toml"; c.File != want {
		t.Errorf("the record is %s, want %s", c.File, want)
	}
	zone := c.Time.Location()
	if want := time.Date(2026, 11, 2, 7, 5, 0, 0, time.UTC); !c.Time.Equal(want) {
		t.Errorf("measured %s, want %s", c.Time, want.In(zone))
	}
	if !c.Entered.Equal(w.now.Add(-10*time.Second)) && !c.Entered.Equal(w.now.Add(-20*time.Second)) {
		t.Errorf("entered %s, want the moment it was taken in, near %s", c.Entered, w.now)
	}
	if a, ac := c.Readings[0].Values[0], c.Readings[1].Values[0]; math.Abs(a-30.0020) > 0.00005 || math.Abs(ac-800.0587) > 0.00005 {
		t.Errorf("readings %v and %v, want 30.0020 and 800.0587", a, ac)
	}
	if c.Readings[1].Path.Metres() != 1.1 || c.By != "mk" || c.Note != "its time is that in the name of 2026-11-02T0805 bar.ply" {
		t.Errorf("path %s, by %s, note %q", c.Readings[1].Path, c.By, c.Note)
	}
	if len(c.Scans) != 1 || c.Scans[0].File != "scans/scan-01/2026/2026-11-02T0805-bar.ply" || c.Scans[0].SHA256 != r.Taken[0].Digest {
		t.Errorf("%+v", c.Scans)
	}
	if w.read(c.Scans[0].File) != w.read("scans/"+direct) {
		t.Error("the archive has another scan")
	}
	if got := w.read(r.Taken[0].Sidecar); got != sidecarOfBar {
		t.Errorf("the sidecar was kept as %q", got)
	}

	// The same scan under another name is no second check, by the record alone.
	w.drop(direct, "again.ply")
	w.write("inbox/again.ply.toml", sidecarOfBar)
	r = w.look()
	if len(r.Taken) > 0 || len(r.Refused) == 0 || !strings.Contains(r.Refused[0].Reason, c.File) {
		t.Errorf("the same scan again: %+v", r)
	}
}

// What a pattern says needs no sidecar; three scans are the repeats of one check.
func TestIntakeByPatternAndOfRepeats(t *testing.T) {
	w := newInboxOfWorks(t, `
[[drop]]
name = "{device}+bar-*.ply"
procedure = "bar-weekly"
artifact = "bar-800"
by = "mk"
artifact-temperature = "21.4 °C"
temperature-uncertainty = "0.3 °C (k = 2)"
paths = { "A-C" = "1.1 m" }
`)
	w.drop(direct, "scan-01+bar-1.ply")
	c := w.check(w.look())
	if !c.Time.Equal(time.Date(2026, 11, 2, 8, 30, 0, 0, time.UTC)) || c.Note != "its time is when scan-01+bar-1.ply was last written" {
		t.Errorf("measured %s, %s", c.Time, c.Note)
	}

	w.drop(loop, "b.ply")
	w.drop("2026-11-02-bar-800-detour.ply", "a.ply")
	w.write("inbox/x.toml", "scans = [\"b.ply\", \"a.ply\"]\ntime = 2026-11-02T10:00:00+01:00\n"+sidecarOfBar)
	c = w.check(w.look())
	if len(c.Scans) != 2 || len(c.Readings[0].Values) != 2 || !strings.HasSuffix(c.Scans[0].File, "/b.ply") || c.Note != "" {
		t.Errorf("%+v, readings %v, note %q", c.Scans, c.Readings, c.Note)
	}
}

// An export and a sidecar with readings become checks as well.
func TestIntakeOfReadings(t *testing.T) {
	const export = "feature;value;unit;path\nA;30.0021;mm;\nA;30.0019;mm;\nA;30.0020;mm;\nA-C;800.0201;mm;1.1 m\nA-C;800.0210;mm;1.1 m\nA-C;800.0190;mm;\n"
	want := []records.Reading{
		{Feature: "A", Values: []float64{30.0021, 30.0019, 30.0020}},
		{Feature: "A-C", Values: []float64{800.0201, 800.0210, 800.0190}},
	}
	w := newInboxOfWorks(t, "")
	w.write("inbox/bar.csv", export)
	w.write("inbox/bar.csv.toml", "time = 2026-11-02T10:00:00+01:00\n"+strings.Replace(sidecarOfBar, "paths", "#", 1))
	w.write("inbox/typed.toml", "time = 2026-11-02T10:10:00+01:00\n"+sidecarOfBar+`
[[reading]]
feature = "A"
values = [30.0021, 30.0019, 30.0020]
[[reading]]
feature = "A-C"
values = [800.0201, 800.0210, 800.0190]
`)
	r := w.look()
	if len(r.Taken) != 2 {
		t.Fatalf("%+v", r)
	}
	for i := range r.Taken {
		one := r
		one.Taken = r.Taken[i:]
		c := w.check(one)
		for k := range want {
			if c.Readings[k].Feature != want[k].Feature || !cmp.Equal(c.Readings[k].Values, want[k].Values) {
				t.Errorf("%s: %+v, want %+v", c.File, c.Readings[k], want[k])
			}
		}
		if c.Readings[1].Path.Metres() != 1.1 || len(c.Scans) != 1 || c.Scans[0].SHA256 != r.Taken[i].Digest {
			t.Errorf("%s: path %s, %+v", c.File, c.Readings[1].Path, c.Scans)
		}
	}
	if got := w.read("scans/scan-01/2026/bar.csv"); got != export {
		t.Errorf("the archive has %q", got)
	}
}

// A drop is tried beside what was taken in before it in the same look, of which the watcher has not heard yet.
func TestIntakeOfTwoAtOneInstant(t *testing.T) {
	const readings = "[[reading]]\nfeature = \"A\"\nvalues = [30.0021, 30.0019, 30.00%s]\n[[reading]]\nfeature = \"A-C\"\nvalues = [800.0201, 800.0210, 800.0190]\n"
	w := newInboxOfWorks(t, "")
	for name, digits := range map[string]string{"a": "20", "b": "23"} {
		w.write("inbox/"+name+".toml", "time = 2026-11-02T10:10:00+01:00\n"+sidecarOfBar+fmt.Sprintf(readings, digits))
	}
	r := w.look()
	if len(r.Taken) != 2 || len(r.Taken[0].Remarks) > 0 {
		t.Fatalf("%+v", r)
	}
	if got := strings.Join(r.Taken[1].Remarks, "; "); !strings.Contains(got, "recorded for the same second") {
		t.Errorf("of the second it is remarked %q", got)
	}
}

// What can be no check is put aside with what is wrong and what would mend it.
func TestIntakeRefuses(t *testing.T) {
	for what, c := range map[string]struct{ name, text, sidecar, want string }{
		"unknown device": {"a.csv", "feature,value\nA,30\n", strings.Replace(sidecarOfBar, "scan-01", "scan-10", 1), `There is no device "scan-10". What would mend it: did you mean "scan-01"?`},
		"nothing said":   {"a.csv", "feature,value\nA,30\n", "device = \"scan-01\"\n", "Nothing says its artifact and procedure and by."},
		"no scan":        {"a.ply", "this is no scan", sidecarOfBar, "a.ply"},
		"bad cell":       {"a.csv", "feature,value\nA,30\nA-C,\"800,1\"\n", sidecarOfBar, `a.csv:3:5: "800,1" has a decimal comma`},
		"strange column": {"a.csv", "feature,value,sigma\nA,30,1\n", sidecarOfBar, `a.csv:1:15: column "sigma" is none of an export's`},
		"other units":    {"a.csv", "feature,value,unit\nA,30,mm\nA,30,in\n", sidecarOfBar, `a.csv:3:6: the unit in, and mm was said before`},
		"other feature":  {"a.csv", "feature,value\nB,30\nA-C,800\n", sidecarOfBar, `feature "B"`},
		"future":         {"2026-11-03T0800.csv", "feature,value\nA,30\nA-C,800\n", sidecarOfBar, "has not come yet"},
		"twice an hour":  {"2026-10-25T0230.csv", "feature,value\nA,30\nA-C,800\n", sidecarOfBar, "comes twice at the site"},
		"bar of others":  {direct, "", strings.Replace(sidecarOfBar, "bar-800", "bar-2500", 1), direct},
	} {
		t.Run(what, func(t *testing.T) {
			w := newInboxOfWorks(t, "")
			if c.text == "" {
				w.drop(direct, c.name)
			} else {
				w.write("inbox/"+c.name, c.text)
			}
			w.write("inbox/"+c.name+".toml", c.sidecar)
			r := w.look()
			if len(r.Refused) != 2 || !strings.Contains(r.Refused[0].Reason, c.want) {
				t.Fatalf("%+v\nwant %q", r, c.want)
			}
			if reason := w.read("inbox/refused/" + c.name + ".reason.txt"); !strings.Contains(strings.Join(strings.Fields(reason), " "), c.want) {
				t.Errorf("the reason is\n%s", reason)
			}
			if strings.Contains(r.Refused[0].Reason, "--") {
				t.Errorf("it speaks of flags: %s", r.Refused[0].Reason)
			}
		})
	}
}

// A record that somebody is about to write is no fault of the drop.
func TestIntakeWaitsForRecords(t *testing.T) {
	w := newInboxOfWorks(t, "")
	device := w.read("devices/scan-01.toml")
	w.write("devices/scan-01.toml", device[:len(device)/2]+"\nx = ")
	w.drop(direct, "2026-11-02T0805.ply")
	w.write("inbox/2026-11-02T0805.ply.toml", sidecarOfBar)
	w.broken = true
	if r := w.look(); len(r.Trouble) != 2 || len(r.Refused) > 0 || !strings.Contains(r.Trouble[0].Why, "devices/scan-01.toml") {
		t.Fatalf("%+v", r)
	}
	w.write("devices/scan-01.toml", device)
	w.now = w.now.Add(time.Minute)
	w.check(w.look())
}

// An archive that cannot be reached is no fault of the drop.
func TestIntakeWaitsForTheArchive(t *testing.T) {
	archive := filepath.Join(t.TempDir(), "archive")
	w := newInboxOfWorks(t, "\n[scans]\narchive = \""+archive+"\"\n")
	w.drop(direct, "2026-11-02T0805.ply")
	w.write("inbox/2026-11-02T0805.ply.toml", sidecarOfBar)
	if r := w.look(); len(r.Trouble) == 0 || len(r.Refused) > 0 || !strings.Contains(r.Trouble[0].Why, archive) {
		t.Fatalf("%+v", r)
	}
	if err := os.Mkdir(archive, 0o755); err != nil {
		t.Fatal(err)
	}
	w.now = w.now.Add(time.Minute)
	r := w.look()
	c := w.check(r)
	if c.Scans[0].File != "scan-01/2026/2026-11-02T0805.ply" {
		t.Errorf("%+v", c.Scans)
	}
	text, err := os.ReadFile(filepath.Join(archive, c.Scans[0].File))
	if err != nil || string(text) != w.read("scans/"+direct) {
		t.Errorf("the archive has another scan: %v", err)
	}
}
