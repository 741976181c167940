package audit_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"plumbrule/rules/audit"
)

// spoilings are lines each of which gives an auditor something to find.
func spoilings() []string {
	return []string{
		"check 2026-11-12T08:12 A:+1,-1,+2 A-C:+170@2.6",
		"check 2026-11-19T08:12 A:+1,-1,+2 A-C:+170@2.6",
		"check 2026-11-12T08:12 A:+1,-1,+2 A-C:+20",
		"check 2026-11-12T08:12 A:+1,-1,+2 A-C:+20@2.6 entered=2026-11-22T08:13:00+01:00",
		"event scan-1 2026-11-20T10:00 adjustment as-found=\"none\" reason=\"field calibration loaded\"",
		"event scan-1 2026-11-13T10:00 withdrawal reason=\"flickers\"",
		"event scan-1 2026-11-15T09:00 firmware version=\"4.2\" reason=\"maker's notice\"",
		"event bar-1 2026-11-10T09:00 doubt since=2026-11-10 reason=\"fell\"",
		"job j-2 2026-11-16 2026-11-17 distance:2.0@2.4",
		"step 2026-10-scan-1 2026-10-20T10:00 opened subject=\"scan-1\" owner=\"rs\" reason=\"odd readings\"",
		"edit devices/scan-1.toml: location = \"hall 1\"\\n -> ",
		"edit certificates/scan-1/2026-09-22-S-9.toml: accreditation = \"CAL 1\"\\nscope = [\"diameter\", \"distance\"]\\n -> ",
		"rm checks/scan-1/2026/2026-11-05T0812-bar-weekly.toml",
		"rm certificates/bar-1/2025-01-06-K-113.toml",
	}
}

// spoilt is the shop with some of them, and a second scanner of which each
// record is the first one's as it was: with its own number and file names.
func spoilt(tb testing.TB, t *rapid.T) *shop {
	tb.Helper()
	s := opened(tb)
	for name, f := range s.files {
		if twin := strings.ReplaceAll(name, "scan-1", "scan-2"); twin != name {
			text := strings.NewReplacer("scan-1", "scan-2", "HS-2", "HS-3", "S-9", "S-10").Replace(string(f.Data))
			other := *f
			other.Data = []byte(text)
			s.files[strings.ReplaceAll(twin, "S-9", "S-10")] = &other
		}
	}
	for _, i := range rapid.SliceOfNDistinct(rapid.IntRange(0, len(spoilings())-1), 0, 5, rapid.ID).Draw(t, "spoilings") {
		s.line(tb, spoilings()[i])
	}
	return s
}

func about(list []audit.Finding, subject string) string {
	return text(slices.DeleteFunc(slices.Clone(list), func(f audit.Finding) bool { return f.Subject != subject }))
}

// What is wrong with one device is no matter of the records of another: a
// record of scan-1 taken away leaves the findings about scan-2 as they were.
func TestOneDeviceIsNoMatterOfAnother(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := spoilt(t, rt)
		before := about(audit.Findings(s.input(t)), "scan-2")
		var own []string
		for name := range s.files {
			if strings.Contains(name, "/scan-1") {
				own = append(own, name)
			}
		}
		slices.Sort(own)
		delete(s.files, rapid.SampledFrom(own).Draw(rt, "removed"))
		if diff := cmp.Diff(before, about(audit.Findings(s.input(t)), "scan-2")); diff != "" {
			rt.Errorf("(-before +after)\n%s", diff)
		}
	})
}

// A selection finds of its device what is found of it among all.
func TestSelection(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := spoilt(t, rt)
		all := audit.Findings(s.input(t))
		id := rapid.SampledFrom([]string{"scan-1", "scan-2", "bar-1"}).Draw(rt, "subject")
		s.devices = []string{id}
		if id == "bar-1" {
			s.devices = []string{"scan-1"} // is checked with it
		}
		chosen := audit.Findings(s.input(t))
		if diff := cmp.Diff(about(all, id), about(chosen, id)); diff != "" {
			rt.Errorf("%s (-all +chosen)\n%s", id, diff)
		}
		if other := about(chosen, "scan-2"); id != "scan-2" && other != "" {
			rt.Errorf("of %s it says %s", id, other)
		}
	})
}

// A later beginning of the period finds nothing that an earlier one did not.
func TestShorterPeriod(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := spoilt(t, rt)
		known := map[string]bool{}
		for _, f := range audit.Findings(s.input(t)) {
			known[f.Code+" "+f.Subject] = true
		}
		s.from = s.from.Add(time.Duration(rapid.IntRange(1, 80).Draw(rt, "days")) * 24 * time.Hour)
		for _, f := range audit.Findings(s.input(t)) {
			if !known[f.Code+" "+f.Subject] {
				rt.Errorf("only from %s on: %s %s: %s", s.from, f.Code, f.Subject, f.Sentence)
			}
		}
	})
}

// What had not been entered at the instant was not known: it finds and hides
// nothing.
func TestLaterRecords(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := spoilt(t, rt)
		before := text(audit.Findings(s.input(t)))
		s.line(t, rapid.SampledFrom([]string{
			"check 2026-11-25T08:12 A:+1,-1,+2 A-C:+170@2.6",
			"check 2026-11-24T07:12 A:+1,-1,+2 A-C:+170@2.6 entered=2026-12-06T08:13:00+01:00",
			"event scan-1 2026-11-26T10:00 adjustment as-found=\"none\" reason=\"field calibration loaded\"",
			"job j-9 2026-11-26 2026-11-27 distance:2.0@2.4",
			"step 2026-12-scan-1 2026-12-01T10:00 opened subject=\"scan-1\" owner=\"rs\" reason=\"odd readings\"",
		}).Draw(rt, "later"))
		if diff := cmp.Diff(before, text(audit.Findings(s.input(t)))); diff != "" {
			rt.Errorf("(-before +after)\n%s", diff)
		}
	})
}
