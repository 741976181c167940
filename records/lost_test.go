package records

import (
	"slices"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
)

// TestUnreadable says what is shown as unjudgeable when something cannot be
// read: each line is kind, subject and file.
func TestUnreadable(t *testing.T) {
	for name, want := range map[string][]string{
		"file-unreadable":        {"check scan-02 " + checkFile},
		"file-unreadable+folder": {"check scan-02 checks/scan-02"},
		"file-unreadable+kind":   {"device scan-02 devices"},
		"file-unreadable+pipe":   {"check scan-02 " + checkFile},
		"not-utf-8":              {"device scan-02 " + deviceFile},
		"link-outside":           {"device scan-03 devices/scan-03.toml"},
		"link-outside+folder":    {"check scan-03 checks/scan-03"},
		"symbolic-link":          {"check scan-02 checks/scan-02/2026/2026-10-05T0812-bar-weekly-2.toml"},
		"symbolic-link+site":     {"site  plumbrule.toml"},
	} {
		t.Run(name, func(t *testing.T) {
			set, _ := Load(bytesCase(t, name), Options{At: evaluated})
			if diff := cmp.Diff(want, unreadable(set)); diff != "" {
				t.Errorf("-want +got:\n%s", diff)
			}
			if !slices.Contains(set.DeviceIDs(), "scan-02") {
				t.Errorf("scan-02 is not among the devices %v", set.DeviceIDs())
			}
		})
	}
}

func unreadable(set *Set) []string {
	var out []string
	for _, u := range set.Unreadable {
		out = append(out, u.Kind+" "+u.Subject+" "+u.File)
	}
	return out
}

// TestUnreadableTwins says the same of files that hold text.
func TestUnreadableTwins(t *testing.T) {
	for name, want := range map[string][]string{
		"misplaced-record":        {"check scan-02 checks/scan-02/2026-10-05T0812-bar-weekly.toml"},
		"misplaced-record+suffix": {"device scan-03 devices/scan-03.TOML"},
		"unknown-key":             {"check scan-02 " + checkFile},
		"toml-syntax+quote":       {"certificate bar-3s certificates/bar-3s/2025-01-06-K-113.toml"},
		"unknown-time-zone":       {"site  plumbrule.toml"},
		"duplicate-serial":        {"device scan-02 " + deviceFile, "device scan-03 devices/scan-03.toml"},
		"reviewed-twice":          {"event scan-02 events/scan-02/2026-03-10-review.toml"},
		"unknown-device":          {"job bracket-17 jobs/2026/bracket-17.toml"},
		"reading-missing":         nil,
		"stray-file":              nil,
	} {
		t.Run(name, func(t *testing.T) {
			set, found := Load(twin(t, readArchive(t, "testdata/diagnostics/"+name+".txtar")), Options{At: evaluated})
			if diff := cmp.Diff(want, unreadable(set)); diff != "" {
				t.Errorf("-want +got:\n%s", diff)
			}
			for _, u := range set.Unreadable {
				if u.Code != found[0].Code || u.Message != found[0].Message || u.Position != found[0].Position && u.File == found[0].File {
					t.Errorf("%+v does not repeat its error", u)
				}
			}
		})
	}
}

// TestLostEvidence names a check in a folder that cannot be read, and loses the
// checks of devices that nothing else names.
func TestLostEvidence(t *testing.T) {
	files := goodFiles(t)
	files["events/scan-02/2026-10-06-return-to-service.toml"] = &fstest.MapFile{Data: []byte("subject = \"scan-02\"\nkind = \"return-to-service\"\n" +
		"time = 2026-10-06T10:00:00+02:00\nentered = 2026-10-06T10:05:00+02:00\nby = \"mk\"\nevidence = \"checks/scan-02/2026/2026-10-05T0812-bar-weekly\"\n")}
	if _, found := Load(deniedFS{files, []string{"checks/scan-02/2026"}}, Options{At: evaluated}); len(found) != 1 {
		t.Errorf("diagnostics:\n%s", printed(found))
	}
	set, _ := Load(deniedFS{fstest.MapFS{SiteFile: files[SiteFile], checkFile: files[checkFile]}, []string{"checks"}}, Options{})
	if len(set.DeviceIDs()) != 0 || len(set.Unreadable) != 1 {
		t.Errorf("devices %q, unreadable %v", set.DeviceIDs(), set.Unreadable)
	}
}

// TestLostFolders takes away the right to read whole folders of records.
func TestLostFolders(t *testing.T) {
	for folder, want := range map[string][]string{
		"artifacts":    {"artifact bar-3s artifacts"},
		"cases":        {"case  cases"},
		"certificates": {"certificate bar-3s certificates", "certificate scan-02 certificates"},
		"checks":       {"check scan-02 checks"},
		"devices":      {"device scan-02 devices"},
		"events":       {"event bar-3s events", "event scan-02 events"},
		"jobs":         {"job  jobs"},
		"jobs/2026":    {"job  jobs/2026"},
		"procedures":   {"procedure bar-weekly procedures"},
	} {
		t.Run(folder, func(t *testing.T) {
			set, found := Load(deniedFS{goodFiles(t), []string{folder}}, Options{At: evaluated})
			if diff := cmp.Diff(want, unreadable(set)); diff != "" {
				t.Errorf("-want +got:\n%s", diff)
			}
			if len(found) != 1 {
				t.Errorf("diagnostics:\n%s", printed(found))
			}
		})
	}
}
