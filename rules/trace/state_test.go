package trace_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"plumbrule/records"
	"plumbrule/rules/trace"
)

// A job of five days is looked at on all of them, and not before or after: a device that was away on one of them was away.
func TestEveryDayOfAJob(t *testing.T) {
	longJob := edit{job, "begin = 2026-11-23\n", "begin = 2026-11-20\n"}
	earlier := edit{"checks/scan-1/2026/2026-11-18T0812-bar-weekly.toml", "", strings.NewReplacer("2026-11-23T", "2026-11-18T").Replace(string(base(t)[check].Data))}
	later := edit{"checks/scan-1/2026/2026-11-24T0700-bar-weekly.toml", "", strings.NewReplacer("2026-11-23T08:12:00", "2026-11-24T07:00:00", "2026-11-23T08:20", "2026-11-24T07:10").Replace(string(base(t)[check].Data))}
	proof := "evidence = \"" + check + "\"\n"
	for _, c := range []struct {
		name     string
		from, to string // withdrawn, returned
		want     string // day on which it is told; empty: nothing is
	}{
		{"away on the first day", "2026-11-20", "2026-11-24", "on 2026-11-20 scan-1 was unfit"},
		{"away in the middle", "2026-11-21", "2026-11-24", "on 2026-11-21 scan-1 was unfit"},
		{"away on the last day", "2026-11-24", "", "on 2026-11-24 scan-1 was unfit"},
		{"away before", "2026-11-18", "2026-11-19", ""},
		{"away after", "2026-11-25", "", ""},
	} {
		edits := []edit{longJob, earlier, later, eventOf("scan-1", "withdrawal", c.from, "")}
		if c.to != "" {
			evidence := proof
			if c.to == "2026-11-19" {
				evidence = "evidence = \"" + earlier.file + "\"\n"
			}
			edits = append(edits, eventOf("scan-1", "return-to-service", c.to, evidence))
		}
		if c.name == "away before" { // the return must rest on a check made after the withdrawal
			edits[3] = edit{"events/scan-1/2026-11-17-withdrawal.toml", "", strings.ReplaceAll(eventOf("scan-1", "withdrawal", "2026-11-17", "").new, "2026-11-18", "2026-11-17")}
		}
		chain := follow(t, edited(t, edits...), "j-1", "", nil)
		var told []string
		for _, g := range chain.Gaps() {
			if g.Gap.Code == "device-not-fit" {
				told = append(told, g.Gap.Sentence)
			}
		}
		switch {
		case c.want == "" && len(told) > 0:
			t.Errorf("%s: %q", c.name, told)
		case c.want != "" && !slices.ContainsFunc(told, func(s string) bool { return strings.HasPrefix(s, c.want) }):
			t.Errorf("%s: %q, want %s", c.name, told, c.want)
		}
	}
}

// Beside a certificate out of its interval stand those that might have taken its place, and none that is older.
func TestWhatMightHaveTakenItsPlace(t *testing.T) {
	another := func(number, date, review string) edit {
		text := strings.NewReplacer("K-113", number, "2025-01-06", date, "2025-01-10", date, "until = 2025-06-30\n", "").Replace(string(base(t)[ofBar].Data))
		return edit{"certificates/bar-1/" + date + "-" + number + ".toml", "", strings.Replace(text, `outcome = "accepted"`, review, 1)}
	}
	c := follow(t, edited(t,
		edit{artifact, "24 months", "22 months"},
		another("K-90", "2024-12-02", "outcome = \"sent back\"\nreason = \"late\""),
		another("K-300", "2026-11-20", "outcome = \"sent back\"\nreason = \"A is missing\""),
	), check, "A", nil)
	want := []string{
		"check " + theCheck + ": check-no-evidence", "certificate K-300: sent-back", "certificate K-113: certificate-expired",
	}
	if diff := cmp.Diff(want, gaps(c)); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}

// Loading refuses records that name what is not there; a set put together otherwise leaves gaps all the same.
func TestSetsWithHoles(t *testing.T) {
	for _, c := range []struct {
		name, subject, want string
		hole                func(*records.Set)
	}{
		{"a check without its device", check, "device scan-1: device-unlisted", func(s *records.Set) { delete(s.Devices, "scan-1") }},
		{"a job without its device", "j-1", "device scan-1: device-unlisted", func(s *records.Set) { delete(s.Devices, "scan-1") }},
		{"a check without its artifact", check, "artifact bar-1: step-unreadable", func(s *records.Set) { delete(s.Artifacts, "bar-1") }},
		{"a check without its procedure", check, "check " + theCheck + ": check-no-evidence", func(s *records.Set) { delete(s.Procedures, "bar-weekly") }},
	} {
		set, _ := records.Load(base(t), records.Options{})
		c.hole(set)
		chain := followIn(t, set, c.subject, "", nil)
		if !slices.Contains(gaps(chain), c.want) {
			t.Errorf("%s: gaps %v, want %s", c.name, gaps(chain), c.want)
		}
	}
}

// A file that two records name is looked at once.
func TestFilesAreListedOnce(t *testing.T) {
	set, _ := records.Load(edited(t, edit{ofScan, "certificates/scan-1/2026-03-01-S-9.pdf", barFile}, edit{ofScan, strings.Repeat("b", 64), strings.Repeat("a", 64)}), records.Options{})
	c, err := trace.For(trace.Query{Set: set, At: asked(), Subject: check})
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Files) != 1 || c.Files[0].File != barFile {
		t.Errorf("files %v", c.Files)
	}
}

// The scans of a check are files like any other; an archive outside the repository is named, and not looked into.
func TestScansOfACheck(t *testing.T) {
	const scan = "scans/2026/bar.ply"
	inside := edit{check, "[conditions]", "[[scan]]\nfile = \"" + scan + "\"\nsha256 = \"" + strings.Repeat("d", 64) + "\"\n[conditions]"}
	c := follow(t, edited(t, inside), check, "A", map[string]trace.Look{scan: {State: trace.Differs, SHA256: strings.Repeat("e", 64)}})
	if diff := cmp.Diff([]string{"file " + scan + ": file-differs"}, gaps(c)); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	outside := edit{"plumbrule.toml", "[decision]", "[scans]\narchive = \"//archive/scans\"\n[decision]"}
	c = follow(t, edited(t, inside, outside), check, "A", nil)
	said := strings.Join(c.Steps[0].Words, "; ")
	if len(gaps(c)) > 0 || !strings.Contains(said, "not looked at: //archive/scans/"+scan) {
		t.Errorf("gaps %v, said %q", gaps(c), said)
	}
	for _, f := range c.Files {
		if f.File == scan {
			t.Error("a file of the archive is to be looked at in the repository")
		}
	}
}

// A check that failed before a repair tells of the time until then: the chain of the device leads over those since.
func TestFoundBeforeARepair(t *testing.T) {
	const failed = "checks/scan-1/2026/2026-11-16T0812-bar-weekly.toml"
	found := strings.NewReplacer("2026-11-23", "2026-11-16", "30.00", "30.50").Replace(string(base(t)[check].Data))
	with := func(edits ...edit) string {
		return tree(follow(t, edited(t, append(edits, edit{failed, "", found})...), "scan-1", "", nil))
	}
	const name = "check scan-1/2026/2026-11-16T0812-bar-weekly"
	if last := with(edit{check, "", ""}); !strings.Contains(last, name) {
		t.Errorf("the last check is not in the chain\n%s", last)
	}
	repaired := with(eventOf("scan-1", "repair", "2026-11-18", "as-found = \""+failed+"\"\n"))
	if strings.Contains(repaired, name) || !strings.Contains(repaired, "check "+theCheck) {
		t.Errorf("what was found before the repair is in the chain, or the check since is not\n%s", repaired)
	}
}
