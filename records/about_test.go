package records

import (
	"bytes"
	"io/fs"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
)

const withdrawal = "subject = \"scan-02\"\nkind = \"withdrawal\"\ntime = 2026-10-06T10:00:00+02:00\nentered = 2026-10-06T10:05:00+02:00\nby = \"mk\"\nreason = \"dropped\"\n"

// TestAbout lays one file more into the good repository, with a second device
// scan-01, and says what cannot be judged for it: kind and subject.
func TestAbout(t *testing.T) {
	good := goodFiles(t)
	check, device := string(good[checkFile].Data), string(good[deviceFile].Data)
	const broken = "not TOML\n"
	for name, c := range map[string]struct {
		file, text string
		want       []string
	}{
		"event among another's":             {"events/scan-01/2026-10-06-withdrawal.toml", withdrawal, []string{"event scan-01", "event scan-02"}},
		"event among an artifact's":         {"events/bar-3s/2026-10-06-withdrawal.toml", withdrawal, []string{"event bar-3s", "event scan-02"}},
		"event of an artifact":              {"events/scan-01/2026-10-06-withdrawal.toml", strings.Replace(withdrawal, "scan-02", "bar-3s", 1), []string{"event bar-3s", "event scan-01"}},
		"check among another's":             {"checks/scan-01/2026/2026-10-05T0812-bar-weekly.toml", check, []string{"check scan-01", "check scan-02"}},
		"certificate among another's":       {"certificates/scan-01/2026-03-01-S-9.toml", string(good["certificates/scan-02/2026-03-01-S-9.toml"].Data), []string{"certificate scan-01", "certificate scan-02"}},
		"folder of other case":              {"events/Scan-02/2026-10-06-withdrawal.toml", withdrawal, []string{"event Scan-02", "event scan-02"}},
		"folder with a blank":               {"checks/scan-02 /2026/x.toml", broken, []string{"check scan-02", "check scan-02 "}},
		"folder of other case, unreadable":  {"events/SCAN-02/x.toml", broken, []string{"event SCAN-02", "event scan-02"}},
		"subject of other case":             {"events/scan-01/x.toml", strings.Replace(withdrawal, "scan-02", "Scan -02", 1), []string{"event scan-01", "event scan-02"}},
		"key of other case":                 {"events/scan-01/x.toml", strings.Replace(withdrawal, "subject", "Subject", 1), []string{"event scan-01", "event scan-02"}},
		"no TOML after the subject":         {"events/scan-01/x.toml", withdrawal + broken, []string{"event scan-01", "event scan-02"}},
		"quote left out":                    {"events/scan-01/x.toml", strings.Replace(withdrawal, `scan-02"`, "scan-02", 1), []string{"event scan-01", "event scan-02"}},
		"unknown folder":                    {"events/scan-20/x.toml", broken, []string{"event bar-3s", "event scan-01", "event scan-02", "event scan-20"}},
		"unknown folder of checks":          {"checks/scan-20/2026/x.toml", broken, []string{"check scan-20"}},
		"unknown device in the text":        {"checks/scan-01/2026/x.toml", strings.Replace(check, "scan-02", "scan-99", 1), []string{"check scan-01"}},
		"beside the folders":                {"events/x.toml", withdrawal, []string{"event scan-02"}},
		"beside the folders, unreadable":    {"events/x.toml", broken, []string{"event bar-3s", "event scan-01", "event scan-02"}},
		"beside the folders, not a record":  {"events/x.toml", "x = 1\n", []string{"event "}},
		"checks, unreadable":                {"checks/x.toml", broken, []string{"check scan-01", "check scan-02"}},
		"too deep":                          {"checks/scan-01/2026/10/x.toml", check, []string{"check scan-01", "check scan-02"}},
		"check among devices":               {"devices/x.toml", check, []string{"check scan-02", "device x"}},
		"check among jobs":                  {"jobs/2026/x.toml", check, []string{"check scan-02", "job x"}},
		"device among artifacts":            {"artifacts/scan-03.toml", strings.Replace(device, "HS-2", "HS-3", 1), []string{"artifact scan-03", "device scan-03"}},
		"event among certificates":          {"certificates/scan-01/x.toml", withdrawal, []string{"certificate scan-01", "certificate scan-02"}},
		"name of a copy":                    {"checks/scan-01/2026/x.toml.txt", broken, []string{"check scan-01"}},
		"name with a blank":                 {"events/scan-01/x.toml ", withdrawal, []string{"event scan-01", "event scan-02"}},
		"copy of a device":                  {"devices/scan-04.toml.orig", broken, []string{"device scan-04"}},
		"copy beside the record":            {checkFile + ".orig", check, nil},
		"no suffix":                         {"events/scan-01/2026-10-06-withdrawal", withdrawal, []string{"event scan-01", "event scan-02"}},
		"file for a subject":                {"events/scan-01", "../x\n", []string{"event scan-01"}},
		"file for a subject of other case":  {"events/Scan-01", "../x\n", []string{"event Scan-01", "event scan-01"}},
		"file for an unknown subject":       {"events/scan-20", "../x\n", []string{"event bar-3s", "event scan-01", "event scan-02", "event scan-20"}},
		"file for a device's checks":        {"checks/scan-01", "../x\n", []string{"check scan-01"}},
		"file for a year":                   {"checks/scan-01/2026", "../x\n", []string{"check scan-01"}},
		"file for a year of jobs":           {"jobs/2025", "../x\n", []string{"job "}},
		"folder for a record":               {"events/scan-01/x.toml/y", "x\n", []string{"event scan-01"}},
		"folder for a device":               {"devices/scan-05.toml/.keep", "", []string{"device scan-05"}},
		"hidden":                            {"events/scan-01/.x.toml", withdrawal, nil},
		"in a folder that is not read":      {"archive/x.toml", withdrawal, nil},
		"picture beside a subject's folder": {"checks/plan.jpg", "x\n", nil},
	} {
		t.Run(name, func(t *testing.T) {
			files := goodFiles(t)
			files["devices/scan-01.toml"] = &fstest.MapFile{Data: []byte(strings.Replace(device, "HS-2", "HS-1", 1))}
			files[c.file] = &fstest.MapFile{Data: []byte(c.text)}
			set, found := Load(files, Options{At: evaluated})
			accounted(t, files, set, found)
			var got []string
			for _, u := range set.Unreadable {
				got = append(got, u.Kind+" "+u.Subject)
			}
			slices.Sort(got)
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Errorf("-want +got:\n%s%s", diff, printed(found))
			}
			if c.want != nil && !HasErrors(found) || slices.Contains(set.DeviceIDs(), "scan-99") {
				t.Errorf("devices %v\n%s", set.DeviceIDs(), printed(found))
			}
		})
	}
}

// TestAboutALostDevice misfiles an event of a device whose file cannot be read.
func TestAboutALostDevice(t *testing.T) {
	files := goodFiles(t)
	files["events/bar-3s/2026-10-06-withdrawal.toml"] = &fstest.MapFile{Data: []byte(withdrawal)}
	set, _ := Load(deniedFS{files, []string{"devices"}}, Options{At: evaluated})
	want := []string{"device scan-02 devices", "event bar-3s events/bar-3s/2026-10-06-withdrawal.toml", "event scan-02 events/bar-3s/2026-10-06-withdrawal.toml"}
	if diff := cmp.Diff(want, unreadable(set)); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
}

// TestSameTimeOfAFaultyCheck lets one of two checks of a second not count.
func TestSameTimeOfAFaultyCheck(t *testing.T) {
	files := goodFiles(t)
	text := string(files[checkFile].Data)
	files[strings.Replace(checkFile, suffix, "-2"+suffix, 1)] = &fstest.MapFile{Data: []byte(text)}
	files[checkFile] = &fstest.MapFile{Data: []byte(strings.Replace(text, "800.031", "80.0031", 1))}
	if _, found := Load(files, Options{At: evaluated}); len(found) != 1 || found[0].Code != "unit-doubtful" {
		t.Errorf("got:\n%s", printed(found))
	}
}

// TestPipesAreNeverOpened puts pipes where files are looked into.
func TestPipesAreNeverOpened(t *testing.T) {
	files := goodFiles(t)
	var pipes []string
	for _, name := range []string{
		attachedFile, "x.toml", "archive/x.toml", "events/x.toml", "events/scan-02/x.toml", "events/scan-02/x.toml.bak", "events/scan-02/.x.toml",
		"events/scan-02/x", "events/scan-01", "checks/.old/x.toml", "checks/scan-02/2026/photo.jpg",
	} {
		files[name] = &fstest.MapFile{Mode: fs.ModeNamedPipe}
		pipes = append(pipes, name)
	}
	opened := &openedFS{MapFS: files}
	_, found := Load(opened, Options{At: evaluated, CrossCheck: true, Attachments: true})
	for _, name := range opened.names {
		if slices.Contains(pipes, name) {
			t.Errorf("%s was opened", name)
		}
	}
	if !HasErrors(found) {
		t.Error("no errors")
	}
}

// openedFS remembers which names were opened.
type openedFS struct {
	fstest.MapFS
	names []string
}

func (o *openedFS) Open(name string) (fs.File, error) {
	o.names = append(o.names, name)
	return o.MapFS.Open(name)
}

// TestNumberedFilesAreSortedByNumber records eleven checks of one second.
func TestNumberedFilesAreSortedByNumber(t *testing.T) {
	files := goodFiles(t)
	text := files[checkFile].Data
	want := []string{checkFile}
	for range 10 {
		name := NextFree(checkFile, func(name string) bool { return files[name] != nil })
		files[name] = &fstest.MapFile{Data: bytes.Clone(text)}
		want = append(want, name)
	}
	set, _ := Load(files, Options{At: evaluated})
	var got []string
	for _, k := range set.Checks["scan-02"] {
		got = append(got, k.File)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
}
