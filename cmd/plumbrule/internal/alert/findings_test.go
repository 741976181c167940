package alert

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/google/go-cmp/cmp"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/rules"
)

// lines writes findings for people: subject, code, what about, severity, kind, place, sources.
func lines(list []Finding) (out []string) {
	for _, f := range list {
		out = append(out, fmt.Sprintf("%s %s %q %s %q %q %v", f.Subject, f.Code, f.About, f.Severity, f.Kind, f.Place, f.Sources))
	}
	return out
}

func TestFindingsOfDevices(t *testing.T) {
	at := []rules.Source{{File: "checks/a.toml", Line: 7}, {File: "devices/scan-02.toml"}}
	assessed := &rules.Assessment{Devices: []rules.Device{
		{ID: "scan-01", Reasons: []rules.Reason{
			{Code: "retired", Effect: rules.Unfit},
			{Code: "not-in-service", Effect: rules.Unfit},
			{Code: "calibration-not-required", Effect: rules.Fit},
			{Code: "chart-provisional", Effect: rules.Fit},
			{Code: "conditional", Effect: rules.Fit},
			{Code: "extension", Effect: rules.Fit},
		}},
		{ID: "scan-02", Record: &records.Device{Kind: "handheld scanner", Location: "hall 1"}, Service: rules.Service{Location: "hall 3"}, Reasons: []rules.Reason{
			{Code: "quantity-failed", Effect: rules.Limited, Sentence: "A-C: error +170.0 µm", Quantities: []records.Quantity{records.Distance}, Sources: at},
			{Code: "conditional", Effect: rules.Limited}, // by the site's policy
			{Code: "check-due", Effect: rules.Fit, Sentence: "check bar is due by 2026-10-12"},
		}},
	}}
	got := Findings(&records.Set{Site: &records.Site{}}, assessed, nil)
	if diff := cmp.Diff([]string{
		`scan-02 quantity-failed "distance" limited "handheld scanner" "hall 3" [checks/a.toml:7 devices/scan-02.toml]`,
		`scan-02 conditional "" limited "handheld scanner" "hall 3" []`,
		`scan-02 check-due "check bar is due by" fit "handheld scanner" "hall 3" []`,
	}, lines(got)); diff != "" {
		t.Error(diff)
	}
	if got[0].Mend == "" || got[0].Sentence != "A-C: error +170.0 µm" {
		t.Errorf("%+v", got[0])
	}
}

// What is not told asks for nothing by the catalogue's own words.
func TestWhatAsksForNothing(t *testing.T) {
	for _, c := range rules.ReasonCodes() {
		silent := !asks(&rules.Reason{Code: c.ID, Effect: c.Effect})
		nothing := strings.HasPrefix(c.Mend, "none") || strings.HasPrefix(c.Mend, "wait, or")
		if c.ID == "certificate-limited" {
			nothing = false // it limits the device
		}
		if silent != nothing {
			t.Errorf("%s, %s: told %v", c.ID, c.Mend, !silent)
		}
	}
}

func TestFindingsOfArtifacts(t *testing.T) {
	day, err := calendar.ParseDate("2026-10-12")
	if err != nil {
		t.Fatal(err)
	}
	record := &records.Artifact{Kind: "ball bar"}
	due := func(s rules.DueState) rules.Due {
		return rules.Due{State: s, Date: day, Sources: []rules.Source{{File: "artifacts/a.toml", Line: 4}}}
	}
	assessed := &rules.Assessment{Artifacts: []rules.Artifact{
		{ID: "bar-1", Record: record, Calibration: due(rules.Ahead)},
		{ID: "bar-2", Record: record, Calibration: due(rules.Soon)},
		{ID: "bar-3", Record: record, Calibration: due(rules.Overdue), Code: "artifact-expired", Objection: "its calibration ran out"},
		{ID: "bar-4", Record: record, Calibration: due(rules.Overdue)},
		{ID: "bar-5", Record: record, Calibration: due(rules.Overdue), Service: rules.Retired, Code: "artifact-expired"},
		{ID: "bar-6", Code: "record-unreadable", Objection: "its record cannot be read"},
	}}
	set := &records.Set{Site: &records.Site{}, Unreadable: []records.Unreadable{
		{File: "artifacts/bar-6.toml", Kind: "artifact", Subject: "bar-6", Position: records.Position{Line: 3}, Message: "x"},
	}}
	got := Findings(set, assessed, []records.Diagnostic{{File: "artifacts/bar-6.toml", Severity: records.Error, Message: "x"}})
	if diff := cmp.Diff([]string{
		`bar-2 calibration-due "" fit "ball bar" "" [artifacts/a.toml:4]`,
		`bar-3 artifact-expired "" unknown "ball bar" "" [artifacts/a.toml:4]`,
		`bar-4 calibration-overdue "" unknown "ball bar" "" [artifacts/a.toml:4]`,
		`bar-6 record-unreadable "" unknown "" "" [artifacts/bar-6.toml:3]`,
	}, lines(got)); diff != "" {
		t.Error(diff)
	}
	for _, f := range got {
		if f.Mend == "" || f.Sentence == "" {
			t.Errorf("%+v", f)
		}
	}
}

func TestFindingsOfFiles(t *testing.T) {
	fault := func(file, message string, s records.Severity) records.Diagnostic {
		return records.Diagnostic{File: file, Severity: s, Message: message, Position: records.Position{Line: 2}}
	}
	assessed := &rules.Assessment{Devices: []rules.Device{{ID: "scan-02", Reasons: []rules.Reason{
		{Code: "record-unreadable", Effect: rules.Unknown, Sources: []rules.Source{{File: "checks/known.toml"}}},
	}}}}
	set := &records.Set{Site: &records.Site{}, Unreadable: []records.Unreadable{
		{File: "jobs/lost.toml", Kind: "job", Message: "away"},
		{File: "jobs/lost.toml", Kind: "job", Subject: "b", Message: "away"},
		{File: "jobs/a.toml", Kind: "job", Message: "first"},
	}}
	found := []records.Diagnostic{
		fault("checks/known.toml", "said by the device", records.Error),
		fault("jobs/a.toml", "first", records.Error), fault("jobs/a.toml", "second", records.Error), fault("jobs/b.toml", "only a warning", records.Warning),
	}
	got := Findings(set, assessed, found)
	if diff := cmp.Diff([]string{
		`scan-02 record-unreadable "checks/known.toml" unknown "" "" [checks/known.toml]`,
		`site record-unusable "jobs/a.toml" unknown "" "" [jobs/a.toml:2]`,
		`site record-unusable "jobs/lost.toml" unknown "" "" [jobs/lost.toml]`,
	}, lines(got)); diff != "" {
		t.Error(diff)
	}
	if s := got[1].Sentence; s != "first; and 1 more" {
		t.Errorf("%q", s)
	}

	// What contradicts in settings that can be read is told; that they cannot be read is not told here.
	wrong := append(slices.Clone(found), fault(records.SiteFile, "no such rule", records.Error))
	if got := Findings(set, assessed, wrong); len(got) != 4 || got[3].About != records.SiteFile {
		t.Errorf("%v", lines(got))
	}
	// Without settings nothing is known of devices.
	set.Site = nil
	set.Unreadable = append(set.Unreadable, records.Unreadable{File: records.SiteFile, Kind: "site", Message: "no such zone"})
	if diff := cmp.Diff([]string{
		`site record-unusable "checks/known.toml" unknown "" "" [checks/known.toml:2]`,
		`site record-unusable "jobs/a.toml" unknown "" "" [jobs/a.toml:2]`,
		`site record-unusable "jobs/lost.toml" unknown "" "" [jobs/lost.toml]`,
	}, lines(Findings(set, assessed, wrong))); diff != "" {
		t.Error(diff)
	}

	found = nil
	for i := range 5000 {
		found = append(found, fault(fmt.Sprintf("checks/%04d.toml", i), "gone", records.Error))
	}
	got = Findings(&records.Set{}, nil, found)
	if len(got) != mostFiles+1 || !strings.HasPrefix(got[mostFiles].Sentence, "4900 more files cannot be used, from checks/0100.toml on") || len(got[mostFiles].Sources) != mostSources {
		t.Errorf("%d findings, the last %+v", len(got), got[len(got)-1])
	}
}

// The example's own records, whole and with a job that cannot be read.
func TestFindingsOfExample(t *testing.T) {
	whole := os.DirFS("../../../../examples/propeller-works")
	at := time.Date(2026, 10, 5, 12, 0, 0, 0, time.UTC)
	ofSite := func(set *records.Set, found []records.Diagnostic) (out []string) {
		for _, f := range Findings(set, rules.Evaluate(set, at, rules.Options{}), found) {
			if f.Subject == Site {
				out = append(out, f.Code+" "+f.About)
			}
			if f.Sentence == "" || f.Severity == "" || f.Code == "" {
				t.Errorf("%+v", f)
			}
		}
		return out
	}
	set, found := records.Load(whole, records.Options{})
	if got := ofSite(set, found); set.Count() == 0 || len(got) > 0 {
		t.Errorf("%d records, against the site stands %q", set.Count(), got)
	}
	broken := fstest.MapFS{
		records.SiteFile:        {Data: []byte("format = 1\nname = \"Works\"\ntime-zone = \"Europe/Berlin\"\nunit = \"mm\"\n[decision]\nrule = \"iso-14253-1\"\n")},
		"jobs/2026/part-1.toml": {Data: []byte("device = ")},
	}
	set, found = records.Load(broken, records.Options{})
	if got := ofSite(set, found); len(got) != 1 || got[0] != "record-unusable jobs/2026/part-1.toml" {
		t.Errorf("%q", got)
	}
}

// As long as the rest cannot be told, nothing is taken to be gone.
func TestAlso(t *testing.T) {
	clock := start()
	b := mustOpen(t, newMemory(), clock)
	if err := b.Observe(clock.at, []Finding{finding("scan-02", "a", Limited, "x")}); err != nil {
		t.Fatal(err)
	}
	sendAll(b, clock.at)
	clock.at = clock.at.Add(time.Minute)
	if err := b.Also(clock.at, []Finding{finding(Site, "settings-unreadable", Fault, "y")}); err != nil {
		t.Fatal(err)
	}
	clock.at = clock.at.Add(time.Hour)
	if diff := cmp.Diff([]string{"hook raised site fault", "mail:mk raised site fault", "mail:mk reminder scan-02 limited"}, sendAll(b, clock.at)); diff != "" {
		t.Error(diff)
	}
	if err := b.Observe(clock.at, []Finding{finding("scan-02", "a", Limited, "x")}); err != nil {
		t.Fatal(err)
	}
	clock.at = clock.at.Add(time.Hour)
	if diff := cmp.Diff([]string{"hook cleared site fault", "mail:mk reminder scan-02 limited", "mail:mk cleared site fault"}, sendAll(b, clock.at)); diff != "" {
		t.Error(diff)
	}
}
