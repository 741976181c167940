package trace_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"plumbrule/records"
	"plumbrule/rules"
	"plumbrule/rules/trace"
)

const event = `subject = "%SUBJECT%"
kind = "%KIND%"
time = %TIME%
entered = %TIME%
by = "rs"
reason = "fell"
`

func eventOf(subject, kind, time, more string) edit {
	text := strings.NewReplacer("%SUBJECT%", subject, "%KIND%", kind, "%TIME%", time+"T09:00:00+01:00").Replace(event)
	return edit{"events/" + subject + "/" + time + "-" + kind + ".toml", "", text + more}
}

// gapCase breaks one link and says which gaps must be told, and where.
type gapCase struct {
	name    string
	subject string
	edits   []edit
	looked  map[string]trace.Look
	want    []string // "kind name: code"
}

const (
	theCheck   = "scan-1/2026/2026-11-23T0812-bar-weekly"
	noEvidence = "check " + theCheck + ": check-no-evidence"
	barPDF     = "file " + barFile
	review     = "[review]\nby = \"rs\"\ndate = 2025-01-10\noutcome = \"accepted\"\n"
)

func gapCases() []gapCase {
	look := func(state trace.LookState) map[string]trace.Look {
		return map[string]trace.Look{barFile: {State: state, SHA256: strings.Repeat("c", 64)}}
	}
	secondJob := strings.NewReplacer("j-1", "j-2", `by = "jt"`, "by = \"jt\"\namends = \"jobs/2026/j-1.toml\"\nreason = \"length\"")
	return []gapCase{
		{"a job corrected", "j-1", []edit{{"jobs/2026/j-2.toml", "", secondJob.Replace(jobText)}}, nil, []string{"job j-1: record-corrected"}},
		{
			"a check corrected", theCheck,
			[]edit{{"checks/scan-1/2026/2026-11-23T0812-bar-weekly-2.toml", "", strings.Replace(checkText, `by = "mk"`, "by = \"mk\"\namends = \""+check+"\"\nreason = \"path\"", 1)}},
			nil,
			[]string{"check " + theCheck + ": record-corrected"},
		},
		{"a device without record", "j-1", []edit{{job, `devices = ["scan-1"]`, `devices = ["scan-9"]`}}, nil, []string{"job j-1: device-unlisted"}},
		{"a device record that cannot be read", "j-1", []edit{{device, "mpe = ", "mpf = "}}, nil, []string{"device scan-1: step-unreadable"}},
		{"a certificate that cannot be read", theCheck, []edit{{ofScan, "number = ", "nimber = "}}, nil, []string{"device scan-1: step-unreadable", "device scan-1: certificate-missing", "device scan-1: certificate-missing"}},
		{"a quantity without limit", "j-1", []edit{{job, `quantity = "diameter"`, `quantity = "height"`}}, nil, []string{"job j-1: limit-unstated"}},
		{"a job without path", "j-1", []edit{{job, "path = \"2.5 m\"\n", ""}}, nil, []string{"device scan-1: path-unstated"}},
		{"a path longer than any shown", "j-1", []edit{{job, `path = "2.5 m"`, `path = "2.8 m"`}}, nil, []string{"device scan-1: range-uncovered"}},
		{"a device withdrawn on the second day", "j-1", []edit{eventOf("scan-1", "withdrawal", "2026-11-24", "")}, nil, []string{"device scan-1: device-not-fit"}},
		{
			"a failure after the job", "j-1",
			[]edit{{"checks/scan-1/2026/2026-11-24T1800-bar-weekly.toml", "", failing}},
			nil,
			[]string{"job j-1: job-in-doubt", "device scan-1: device-not-fit"},
		},
		{"an incident told after the job", "j-1", []edit{{job, "= 2026-11-24\n", "= 2026-11-23\n"}, eventOf("scan-1", "doubt", "2026-11-24", "since = 2026-11-23\n")}, nil, []string{"job j-1: job-in-doubt"}},
		{
			"no evidence of a quantity", "j-1 distance",
			[]edit{{check, distanceReading, ""}, {ofScan, distanceFound, ""}},
			nil,
			[]string{"device scan-1: device-not-fit", "device scan-1: evidence-missing", "device scan-1: certificate-missing"},
		},
		{
			"a reading that does not carry its test", theCheck + " A",
			[]edit{{"procedures/bar-weekly.toml", "name = \"A\"\n", "name = \"A\"\ntest = \"path-distance\"\n"}},
			nil,
			[]string{"check " + theCheck + ": check-no-evidence"},
		},
		{"a check that cannot be read", theCheck, []edit{{check, "unit = ", "unot = "}}, nil, []string{"check " + theCheck + ": step-unreadable"}},
		{"adjusted since its calibration", theCheck, []edit{eventOf("scan-1", "adjustment", "2026-11-20", "as-found = \"none\"\n")}, nil, []string{"certificate S-9: adjusted-since"}},
		{"an artifact in doubt", theCheck, []edit{eventOf("bar-1", "doubt", "2026-11-24", "since = 2026-11-01\n")}, nil, []string{noEvidence, "artifact bar-1: artifact-unsound"}},
		{"an artifact out of service", theCheck, []edit{eventOf("bar-1", "withdrawal", "2026-11-20", "")}, nil, []string{noEvidence, "artifact bar-1: artifact-unsound"}},
		{"no certificate of the artifact", theCheck, []edit{{ofBar, "", ""}}, nil, []string{noEvidence, "artifact bar-1: certificate-missing"}},
		{"a certificate never reviewed", theCheck, []edit{{ofBar, review, ""}}, nil, []string{noEvidence, "artifact bar-1: certificate-missing", "certificate K-113: never-reviewed"}},
		{
			"a certificate sent back", theCheck,
			[]edit{{ofBar, `outcome = "accepted"`, "outcome = \"sent back\"\nreason = \"C is missing\""}},
			nil,
			[]string{noEvidence, "artifact bar-1: certificate-missing", "certificate K-113: sent-back"},
		},
		{
			"a certificate accepted after the check", theCheck,
			[]edit{{ofBar, "date = 2025-01-10", "date = 2026-11-24"}, {ofBar, "entered = 2025-01-10T09", "entered = 2026-11-24T09"}},
			nil,
			[]string{noEvidence, "artifact bar-1: certificate-missing", "certificate K-113: certificate-not-yet"},
		},
		{"a certificate out of its interval", theCheck, []edit{{artifact, "24 months", "22 months"}}, nil, []string{noEvidence, "certificate K-113: certificate-expired"}},
		{"a device's certificate out of its interval", theCheck, []edit{{device, "12 months", "8 months"}}, nil, []string{"certificate S-9: certificate-expired"}},
		{"a feature without value", theCheck, []edit{{ofBar, "[[value]]\nfeature = \"A-C\"\nvalue = \"800.0150 mm\"\nuncertainty = \"1.6 µm (k = 2)\"\n", ""}}, nil, []string{noEvidence, "certificate K-113: feature-not-covered"}},
		{
			"a certificate accepted for another quantity", theCheck,
			[]edit{{ofBar, `outcome = "accepted"`, "outcome = \"accepted with limits\"\nquantities = [\"diameter\"]\nreason = \"U too large\""}},
			nil,
			[]string{noEvidence, "certificate K-113: feature-not-covered"},
		},
		{"no k of a value", theCheck, []edit{{ofBar, "1.6 µm (k = 2)", "u = 0.8 µm"}}, nil, []string{"certificate K-113: uncertainty-incomplete"}},
		{"an uncertainty of zero", theCheck, []edit{{ofScan, "6 µm (k = 2)", "0 µm (k = 2)"}}, nil, []string{"certificate S-9: uncertainty-incomplete"}},
		{"no accreditation", theCheck, []edit{{ofBar, "accreditation = \"CAL 1\"\n", ""}}, nil, []string{"laboratory Lab: accreditation-missing"}},
		{"no scope", theCheck, []edit{{ofScan, "scope = [\"diameter\", \"distance\"]\n", ""}}, nil, []string{"laboratory Lab: scope-missing"}},
		{"a quantity outside the scope", theCheck, []edit{{ofScan, `scope = ["diameter", "distance"]`, `scope = ["diameter"]`}}, nil, []string{"certificate S-9: outside-scope"}},
		{"a length outside the scope", theCheck, []edit{{ofBar, `up-to = "3 m"`, `up-to = "799 mm"`}}, nil, []string{"certificate K-113: outside-scope"}},
		{"no reference", theCheck, []edit{{ofBar, "traceability = \"Traceable to the SI through interferometer FI-1.\"\n", ""}}, nil, []string{"laboratory Lab: reference-missing"}},
		{"a standard out of its interval", theCheck, []edit{{ofBar, "until = 2025-06-30", "until = 2025-01-05"}}, nil, []string{"standard laser interferometer 3: standard-expired"}},
		{"a certificate without file", theCheck, []edit{{ofBar, "[attachment]\nfile = \"" + barFile + "\"\nsha256 = \"" + strings.Repeat("a", 64) + "\"\n", ""}}, nil, []string{"certificate K-113: file-unnamed"}},
		{"a file that is missing", theCheck, nil, look(trace.Missing), []string{barPDF + ": file-missing"}},
		{"a file that differs", theCheck, nil, look(trace.Differs), []string{barPDF + ": file-differs"}},
		{"a file outside", theCheck, nil, look(trace.Outside), []string{barPDF + ": file-outside"}},
		{"a file not looked at", theCheck, nil, map[string]trace.Look{barFile: {}}, []string{barPDF + ": file-unseen"}},
	}
}

const jobText = `title = "Hub"
devices = ["scan-1"]
begin = 2026-11-23
end = 2026-11-24
entered = 2026-11-24T17:00:00+01:00
by = "jt"
[[measured]]
quantity = "diameter"
tolerance = "0.2 mm"
length = "120 mm"
`

const checkText = `device = "scan-1"
artifact = "bar-1"
procedure = "bar-weekly"
revision = "2"
time = 2026-11-23T08:12:00+01:00
entered = 2026-11-23T09:20:00+01:00
by = "mk"
unit = "mm"
[conditions]
artifact-temperature = "21.4 °C"
temperature-uncertainty = "0.3 °C (k = 2)"
[[reading]]
feature = "A"
values = [29.9984, 30.0011, 29.9990]
`

const failing = `device = "scan-1"
artifact = "bar-1"
procedure = "bar-weekly"
revision = "2"
time = 2026-11-24T18:00:00+01:00
entered = 2026-11-24T18:10:00+01:00
by = "mk"
unit = "mm"
[conditions]
artifact-temperature = "20 °C"
temperature-uncertainty = "0.3 °C (k = 2)"
[[reading]]
feature = "A"
values = [29.9984, 30.0011, 29.9990]
[[reading]]
feature = "A-C"
values = [800.515]
path = "2.6 m"
`

const distanceReading = "[[reading]]\nfeature = \"A-C\"\nvalues = [800.031]\npath = \"2.6 m\"\n"

const distanceFound = "[[as-found]]\nquantity = \"distance\"\nlength = \"2500 mm\"\npath = \"2.7 m\"\nerror = \"31 µm\"\nuncertainty = \"6 µm (k = 2)\"\n"

func TestEachGapIsTold(t *testing.T) {
	told := map[string]bool{}
	for _, c := range gapCases() {
		t.Run(c.name, func(t *testing.T) {
			subject, feature, _ := strings.Cut(c.subject, " ")
			chain := follow(t, edited(t, c.edits...), subject, feature, c.looked)
			if diff := cmp.Diff(c.want, gaps(chain)); diff != "" {
				t.Errorf("(-want +got)\n%s\n%+v", diff, chain.Gaps())
			}
			for _, g := range chain.Gaps() {
				told[g.Gap.Code] = true
				if g.Gap.Sentence == "" || len(g.Gap.Sources) == 0 {
					t.Errorf("a gap without sentence or source: %+v", g)
				}
			}
		})
	}
	for _, c := range trace.GapCodes() {
		if !told[c.ID] {
			t.Errorf("no case tells %s", c.ID)
		}
		delete(told, c.ID)
	}
	for code := range told {
		t.Errorf("%s is told and not in the catalogue", code)
	}
}

// The clause that each gap is about: ISO/IEC 17025:2017, in the words a clause list for auditors gives them. 6.4.13 and 8.4
// were read; the others are from memory.
func TestClausesOfGaps(t *testing.T) {
	clauses := map[string][]string{
		"6.4.5":              {"limit-unstated", "path-unstated"},                                                                // accurate enough for a valid result
		"6.4.6 and 6.4.13 f": {"certificate-missing"},                                                                            // calibrated; reference materials with results and validity
		"6.4.7 and 6.4.8":    {"certificate-expired"},                                                                            // programme; period of validity
		"6.4.9":              {"device-not-fit", "artifact-unsound"},                                                             // taken out of service until proven
		"6.4.10":             {"check-no-evidence"},                                                                              // intermediate checks by a procedure
		"6.4.11":             {"certificate-not-yet"},                                                                            // reference values of the certificate in force
		"6.4.13 a and b":     {"device-unlisted"},                                                                                // identity
		"6.4.13 c":           {"evidence-missing", "range-uncovered"},                                                            // evidence of conformity
		"6.4.13 e":           {"adjusted-since"},                                                                                 // calibrations and adjustments
		"6.5.1":              {"feature-not-covered", "standard-expired"},                                                        // unbroken documented chain
		"6.5.1 and 7.8.4":    {"uncertainty-incomplete", "reference-missing"},                                                    // U and traceability on the certificate
		"6.5.2 and annex A":  {"accreditation-missing", "scope-missing", "outside-scope"},                                        // competence of the laboratory
		"6.6":                {"never-reviewed", "sent-back"},                                                                    // bought-in work checked on return
		"7.5.2":              {"record-corrected"},                                                                               // amendments
		"7.10":               {"job-in-doubt"},                                                                                   // earlier results evaluated
		"8.4":                {"step-unreadable", "file-unnamed", "file-missing", "file-differs", "file-outside", "file-unseen"}, // legible, kept, retrievable
	}
	want := map[string]string{}
	for clause, codes := range clauses {
		for _, code := range codes {
			want[code] = "ISO/IEC 17025:2017, " + clause
		}
	}
	got := map[string]string{}
	for _, c := range trace.GapCodes() {
		got[c.ID] = c.Clause
		if c.Title == "" || c.Meaning == "" || c.Mend == "" {
			t.Errorf("%s is not documented", c.ID)
		}
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	if len(got) != len(trace.GapCodes()) {
		t.Error("a code twice")
	}
}

// A code means one thing: explain finds it by its name alone.
func TestGapCodesAreTheirOwn(t *testing.T) {
	taken := map[string]bool{}
	for _, c := range rules.ReasonCodes() {
		taken[c.ID] = true
	}
	for _, c := range append(records.Codes(), rules.Codes()...) {
		taken[c.ID] = true
	}
	for _, c := range trace.GapCodes() {
		if taken[c.ID] {
			t.Errorf("%s is a reason or a diagnostic too", c.ID)
		}
	}
}
