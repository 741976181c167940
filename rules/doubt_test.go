package rules_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/txtar"

	"plumbrule/records"
	"plumbrule/rules"
)

// drawn loads the records that the lines of a scenario describe.
func drawn(tb testing.TB, lines string) (*records.Set, *scenario) {
	tb.Helper()
	s := read(tb, txtar.Parse([]byte(lines)))
	set, diagnostics := records.Load(s.files, records.Options{})
	if records.HasErrors(diagnostics) {
		tb.Fatalf("%v", diagnostics)
	}
	return set, s
}

// windows writes doubts in short: limit, kind, beginning and end, errors found, jobs.
func windows(list []rules.Doubt) string {
	var b strings.Builder
	stamp := func(t time.Time) string {
		if t.IsZero() {
			return "…"
		}
		return t.Format("01-02T15:04")
	}
	for _, d := range list {
		fmt.Fprintf(&b, "%s %s: %s to %s", d.Limit.Quantity, d.Kind, stamp(d.Since), stamp(d.Until))
		for _, e := range d.Findings {
			fmt.Fprintf(&b, " %+.0f", e.Decision.ErrorUM)
		}
		fmt.Fprintf(&b, " checks %d jobs", len(d.Checks))
		for _, j := range d.Jobs {
			fmt.Fprintf(&b, " %s", j.Job.ID)
		}
		b.WriteString("\n")
	}
	return b.String()
}

// Windows of doubt, told by hand from the lines. The base has a good check on the 5th at 08:12 and a certificate of the
// diameter of 1 March.
func TestDoubts(t *testing.T) {
	for name, c := range map[string]struct{ lines, want string }{
		"a failure lasts": {
			"at 2026-10-14T12:00\ncheck 2026-10-12T08:12 A:+1,-1,+2 A-C:+170@2.6\njob j-0 2026-10-04 2026-10-04 distance:1@1\njob j-1 2026-10-06 2026-10-07 distance:1@1\njob j-2 2026-10-13 2026-10-13 distance:1@1\n",
			"distance outside its limit: 10-05T08:12 to … +170 checks 1 jobs j-1 j-2\n",
		},
		"a good check in between takes j-1 out": {
			"at 2026-10-14T12:00\ncheck 2026-10-09T08:12 A-C:+20@2.6\ncheck 2026-10-12T08:12 A:+1,-1,+2 A-C:+170@2.6\njob j-1 2026-10-06 2026-10-07 distance:1@1\njob j-2 2026-10-13 2026-10-13 distance:1@1\n",
			"distance outside its limit: 10-09T08:12 to … +170 checks 1 jobs j-2\n",
		},
		"measured between two good checks of the same day, and the second one names it": {
			"at 2026-10-14T12:00\ncheck 2026-10-09T08:12 A-C:+20@2.6\ncheck 2026-10-09T17:00 A-C:+20@2.6\ncheck 2026-10-12T08:12 A:+1,-1,+2 A-C:+170@2.6\n" +
				"job j-1 2026-10-09 2026-10-09 distance:1@1 checked-before=checks/scan-02/2026/2026-10-09T0812-bar-weekly checked-after=checks/scan-02/2026/2026-10-09T1700-bar-weekly\n" +
				"job j-2 2026-10-09 2026-10-09 distance:1@1\n",
			"distance outside its limit: 10-09T17:00 to … +170 checks 1 jobs j-2\n",
		},
		"measured after the check that passed again": {
			"at 2026-10-20T12:00\ncheck 2026-10-12T08:12 A-C:+170@2.6\ncheck 2026-10-14T09:00 A-C:+20@2.6\njob j-1 2026-10-14 2026-10-14 distance:1@1\n" +
				"job j-2 2026-10-14 2026-10-15 distance:1@1 checked-before=checks/scan-02/2026/2026-10-14T0900-bar-weekly\n",
			"distance outside its limit: 10-05T08:12 to 10-14T09:00 +170 checks 1 jobs j-1\n",
		},
		"a size check in between does not": {
			"at 2026-10-14T12:00\ncheck 2026-10-09T08:12 A:+1,0,+2\ncheck 2026-10-12T08:12 A:+1,-1,+2 A-C:+170@2.6\njob j-1 2026-10-06 2026-10-07 distance:1@1\n",
			"distance outside its limit: 10-05T08:12 to … +170 checks 2 jobs j-1\n",
		},
		"two failures of one window, told together; the pass ends it": {
			"at 2026-10-20T12:00\ncheck 2026-10-12T08:12 A-C:+170@2.6\ncheck 2026-10-12T09:00 A-C:+180@2.6\ncheck 2026-10-14T09:00 A-C:+20@2.6\njob j-1 2026-10-13 2026-10-13 distance:1@1\njob j-2 2026-10-15 2026-10-15 distance:1@1\n",
			"distance outside its limit: 10-05T08:12 to 10-14T09:00 +170 +180 checks 2 jobs j-1\n",
		},
		"fails, passes, fails again: two windows": {
			"at 2026-10-20T12:00\ncheck 2026-10-12T08:12 A-C:+170@2.6\ncheck 2026-10-14T09:00 A-C:+20@2.6\ncheck 2026-10-16T09:00 A-C:-190@2.6\njob j-1 2026-10-13 2026-10-13 distance:1@1\njob j-2 2026-10-15 2026-10-15 distance:1@1\n",
			"distance outside its limit: 10-05T08:12 to 10-14T09:00 +170 checks 1 jobs j-1\ndistance outside its limit: 10-14T09:00 to … -190 checks 1 jobs j-2\n",
		},
		"kept long after: a later calibration makes nothing undone": {
			"at 2027-10-20T12:00\ncheck 2026-10-12T08:12 A-C:+170@2.6\nevent scan-02 2026-10-13T10:00 adjustment as-found=\"checks/scan-02/2026/2026-10-12T0812-bar-weekly\" reason=\"x\"\ncheck 2026-10-13T11:00 A:+1,0,+2 A-C:+20@2.6 purpose=as_left\ncheck 2027-10-01T11:00 A:+1,0,+2 A-C:+20@2.6\njob j-1 2026-10-06 2026-10-07 distance:1@1\n",
			"distance outside its limit: 10-05T08:12 to 10-13T10:00 +170 checks 1 jobs j-1\n",
		},
		"a pass by another procedure does not end it": {
			"at 2026-10-20T12:00\ncheck 2026-10-12T08:12 A-C:+170@2.6\ncheck 2026-10-14T09:00 A-C:+20@2.6 procedure=other\njob j-1 2026-10-15 2026-10-15 distance:1@1\n" +
				"-- procedures/other.toml --\ntitle = \"Other\"\nrevision = \"1\"\nartifact-kind = \"ball bar\"\nentered = 2025-01-10T09:00:00+01:00\nby = \"mk\"\n[[feature]]\nname = \"A-C\"\n",
			"distance outside its limit: 10-05T08:12 to … +170 checks 2 jobs j-1\n",
		},
		"adjusted without as found after a failure: the failure tells more": {
			"at 2026-10-20T12:00\ncheck 2026-10-12T08:12 A:+1,0,+2 A-C:+170@2.6\nevent scan-02 2026-10-13T10:00 adjustment as-found=\"none\" reason=\"x\"\n",
			"distance outside its limit: 10-05T08:12 to 10-13T10:00 +170 checks 1 jobs\ndiameter adjusted without as found: 10-12T08:12 to 10-13T10:00 checks 0 jobs\n",
		},
		"found by the laboratory, which adjusted": {
			"at 2026-10-20T12:00\njob j-1 2026-10-06 2026-10-06 diameter:0.03\njob j-2 2026-10-08 2026-10-08 diameter:0.03\n" +
				"-- certificates/scan-02/2026-10-07-S-31.toml --\nsubject = \"scan-02\"\nnumber = \"S-31\"\ndate = 2026-10-07\nlaboratory = \"Lab\"\nentered = 2026-10-09T09:00:00+02:00\nby = \"mk\"\nadjusted = true\n" +
				"[[as-found]]\nquantity = \"diameter\"\nlength = \"30 mm\"\nerror = \"44 µm\"\nuncertainty = \"2 µm (k = 2)\"\n[[as-left]]\nquantity = \"diameter\"\nlength = \"30 mm\"\nerror = \"3 µm\"\nuncertainty = \"2 µm (k = 2)\"\n" +
				"[review]\nby = \"rs\"\ndate = 2026-10-09\noutcome = \"accepted\"\n",
			"diameter outside its limit: 10-05T08:12 to 10-07T00:00 +44 checks 0 jobs j-1\n",
		},
		"adjusted without as found: of unknown size, for every limit": {
			"at 2026-10-20T12:00\nevent scan-02 2026-10-13T10:00 adjustment as-found=\"none\" reason=\"x\"\ncheck 2026-10-13T11:00 A:+1,0,+2 A-C:+20@2.6 purpose=as_left\njob j-1 2026-10-06 2026-10-07 distance:1@1\njob j-2 2026-10-14 2026-10-14 distance:1@1\n",
			"diameter adjusted without as found: 10-05T08:12 to 10-13T10:00 checks 0 jobs\ndistance adjusted without as found: 10-05T08:12 to 10-13T10:00 checks 0 jobs j-1\n",
		},
		"an incident that nothing followed; a check of the size settles the size": {
			"at 2026-10-20T12:00\nevent scan-02 2026-10-13T10:00 doubt since=2026-10-12 reason=\"fell\"\ncheck 2026-10-14T11:00 A:+1,0,+2\njob j-1 2026-10-06 2026-10-07 distance:1@1\njob j-2 2026-10-12 2026-10-12 distance:1@1 diameter:0.03\n",
			"distance in doubt since an incident: 10-12T00:00 to … checks 1 jobs j-2\n",
		},
	} {
		t.Run(name, func(t *testing.T) {
			set, s := drawn(t, c.lines)
			if diff := cmp.Diff(c.want, windows(rules.Doubts(set, s.at, rules.Options{}, "scan-02"))); diff != "" {
				t.Errorf("(-want +got)\n%s", diff)
			}
		})
	}
}

const later = `-- certificates/bar-3s/2026-10-10-K-200.toml --
subject = "bar-3s"
number = "K-200"
date = 2026-10-10
laboratory = "Lab"
entered = 2026-10-12T09:00:00+02:00
by = "mk"
[[value]]
feature = "A"
value = "29.9990 mm"
uncertainty = "0.6 µm (k = 2)"
[[value]]
feature = "C"
value = "29.9990 mm"
uncertainty = "0.6 µm (k = 2)"
[[value]]
feature = "A-C"
value = "%s mm"
uncertainty = "1.6 µm (k = 2)"
[review]
by = "rs"
date = 2026-10-12
outcome = "accepted"
`

// The bar was certified 800.015 mm; the check of the 5th read 800.031 mm at 21.4 °C, by hand 16 µm − 800 · 11.5e-6 · 1.4 = 3 µm
// off, that of the 8th 3 µm at 20 °C. With the bar found 200 µm shorter both are 203 µm off, beyond the limit of 155 µm over
// 2.6 m; with the bar found 2 µm shorter nothing fails; with no later calibration nothing is known, and only the device's own
// certificate of the diameter is left.
func TestDoubtsThroughAnArtifact(t *testing.T) {
	lines := "at 2026-10-14T12:00\ncheck 2026-10-08T08:12 A:+1,0,+2 A-C:+3@2.6\njob j-1 2026-10-06 2026-10-07 distance:1@1 diameter:0.03\n"
	for name, c := range map[string]struct{ more, want string }{
		"grown old": {fmt.Sprintf(later, "799.8150"), "distance outside its limit: … to … +203 +203 checks 2 jobs j-1\n"},
		"its old calibration had run out: no evidence before either": {
			strings.Replace(fmt.Sprintf(later, "799.8150"), "--", "edit artifacts/bar-3s.toml: 24 months -> 12 months\n--", 1), "",
		},
		"hardly changed":         {fmt.Sprintf(later, "800.0130"), ""},
		"never again calibrated": {"", "diameter evidence fallen away: 03-01T00:00 to … checks 2 jobs j-1\ndistance evidence fallen away: … to … checks 2 jobs j-1\n"},
	} {
		t.Run(name, func(t *testing.T) {
			set, s := drawn(t, lines+c.more)
			fallen, found := rules.DoubtsThrough(set, s.at, rules.Options{}, rules.Reference{Artifact: "bar-3s"})
			if !found {
				t.Fatal("not found")
			}
			if diff := cmp.Diff(c.want, windows(fallen.Doubts)); diff != "" {
				t.Errorf("(-want +got)\n%s", diff)
			}
		})
	}
	set, s := drawn(t, lines)
	if _, found := rules.DoubtsThrough(set, s.at, rules.Options{}, rules.Reference{Artifact: "bar-9"}); found {
		t.Error("an artifact that is not there was found")
	}
}

// Jobs are in doubt through the certificate of a device where nothing else of its state shows the device good: of the diameter,
// the check of the 5th does.
func TestDoubtsThroughACertificate(t *testing.T) {
	lines := "at 2026-10-14T12:00\njob j-1 2026-06-06 2026-06-07 distance:1@1 diameter:0.03\n"
	for rm, want := range map[string]string{
		"": "",
		"rm checks/scan-02/2026/2026-10-05T0812-bar-weekly.toml\n": "diameter evidence fallen away: … to … checks 0 jobs j-1\n",
	} {
		set, s := drawn(t, rm+lines)
		fallen, found := rules.DoubtsThrough(set, s.at, rules.Options{}, rules.Reference{Certificate: "certificates/scan-02/2026-03-01-S-9"})
		if diff := cmp.Diff(want, windows(fallen.Doubts)); diff != "" || !found {
			t.Errorf("%q found %v (-want +got)\n%s", rm, found, diff)
		}
	}
	set, s := drawn(t, lines)
	fallen, found := rules.DoubtsThrough(set, s.at, rules.Options{}, rules.Reference{Artifact: "bar-3s", Certificate: "certificates/bar-3s/2025-01-06-K-113.toml"})
	if want := "diameter evidence fallen away: 03-01T00:00 to … checks 1 jobs j-1\ndistance evidence fallen away: … to … checks 1 jobs j-1\n"; !found || windows(fallen.Doubts) != want {
		t.Errorf("found %v\n%s", found, windows(fallen.Doubts))
	}
	if _, found := rules.DoubtsThrough(set, s.at, rules.Options{}, rules.Reference{Certificate: "certificates/bar-3s/none"}); found {
		t.Error("a certificate that is not there was found")
	}
}

// From a day on, as asked: with the errors found since, and without any where none was.
func TestDoubtsSince(t *testing.T) {
	set, s := drawn(t, "at 2026-10-14T12:00\ncheck 2026-10-12T08:12 A:+1,-1,+2 A-C:+170@2.6\njob j-1 2026-10-02 2026-10-03 distance:1@1 diameter:0.03\n")
	since := time.Date(2026, 10, 2, 0, 0, 0, 0, set.Site.Zone)
	want := "diameter supposed: 10-02T00:00 to … checks 2 jobs j-1\ndistance outside its limit: 10-02T00:00 to … +170 checks 2 jobs j-1\n"
	if got := windows(rules.DoubtsSince(set, s.at, rules.Options{}, "scan-02", since)); got != want {
		t.Errorf("%s", got)
	}
}

// What an artifact's case lacks: it is released by a certificate that came after the case was opened, or by the one that
// showed the finding, and by nobody who repaired it.
func TestCaseOfAnArtifact(t *testing.T) {
	head := "at 2026-10-20T12:00\n" +
		"step c 2026-10-12T10:00 opened subject=\"bar-3s\" owner=\"qm\" reason=\"dropped\"\nstep c 2026-10-12T11:00 verified outcome=\"confirmed\" reason=\"a dent\"\n" +
		"step c 2026-10-12T12:00 window since=2026-10-01 jobs=[\"j-1\"]\nstep c 2026-10-12T13:00 decision jobs=[\"j-1\"] decision=\"no effect\" reason=\"x\"\n" +
		"step c 2026-10-12T14:00 cause reason=\"no case\"\nevent bar-3s 2026-10-13T10:00 repair reason=\"new sphere\"\nstep c 2026-10-13T10:00 correction by=mk reason=\"new sphere\"\n" +
		"job j-1 2026-10-06 2026-10-06 distance:1@1\n"
	for release, want := range map[string]string{
		"": "the release",
		"step c 2026-10-19T10:00 release by=qm evidence=\"certificates/bar-3s/2025-01-06-K-113\"\n":           "a release with proof: the certificate it names was there before the case was opened",
		"step c 2026-10-19T10:00 release by=qm evidence=\"checks/scan-02/2026/2026-10-05T0812-bar-weekly\"\n": "a release with proof: the evidence it names is no accepted certificate of the artifact",
		"step c 2026-10-19T10:00 release by=mk evidence=\"certificates/bar-3s/2026-10-14-K-200\"\n":           "a release by somebody else than mk, who adjusted it",
		"step c 2026-10-19T10:00 release by=qm evidence=\"certificates/bar-3s/2026-10-14-K-200\"\n":           "",
	} {
		cert := strings.NewReplacer("2026-10-10", "2026-10-14", "2026-10-12", "2026-10-15").Replace(fmt.Sprintf(later, "800.0150"))
		set, s := drawn(t, head+release+cert)
		a := rules.Evaluate(set, s.at, rules.Options{}).Artifacts[0]
		if got := strings.Join(a.Cases[0].Lacks, "; "); len(a.Cases) != 1 || got != want {
			t.Errorf("%s: lacks %q, want %q", release, got, want)
		}
	}
}
